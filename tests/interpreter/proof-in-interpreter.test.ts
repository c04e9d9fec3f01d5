/*
 * The proof of commands, the pairing text and the check of what comes from afar in the real interpreter: its SHA-256, its numbers above 32 bits
 * and its lenient JSON are not those of Node. The same lines are expected of both, from the published vectors.
 */
import { createHmac } from 'node:crypto';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { pairingText } from '@bathkeeper/shared-core/messages';
import { describe, expect, it } from 'vitest';
import { buildFirmware } from '@bathkeeper/firmware/build';
import { programFile } from '../firmware/build/lamp-program.js';
import { ESPRUINO_BIN, prelude, runInInterpreter, runInNode, SKIPPED_WITHOUT } from './interpreter-run.js';

const source = (path: string): string => JSON.stringify(fileURLToPath(new URL(`../../${path}`, import.meta.url)));
const SECRET = 'fedcba98'.repeat(8);
const TOPIC = 'bathkeeper/1/north-bench/command\n';
const proof = (text: string): string =>
  createHmac('sha256', Buffer.from(SECRET, 'hex')).update(Buffer.from(text, 'latin1')).digest('hex');

const PROGRAM = `
import { hexDigits, provedText, prover } from ${source('firmware/src/link/proof.ts')};
import { receivedCommand } from ${source('firmware/src/link/messages.ts')};
import { pairingText } from ${source('shared-core/src/messages/pairing-text.ts')};
const texts = global['texts'] as string[];
print(hexDigits(prover('0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b')('Hi There')));
print(hexDigits(prover('4a656665')('what do ya want for nothing?')));
print(pairingText('${SECRET}'));
print(pairingText('00000000000000000000000000000000000000000000000000000000ffffffff'));
const prove = prover('${SECRET}');
print(hexDigits(prove('mqtt password')));
const good = provedText(texts[0]!, 'bathkeeper/1/north-bench/command\\n', prove);
const taken = receivedCommand(good!, 4123456789, 3, 12345600);
print(taken!.id, taken!.counter, taken!.command, taken!.answer, taken!.lowerToAmps);
let believed = 0;
let read = 0;
for (let i = 1; i < texts.length; i++) {
  if (provedText(texts[i]!, 'bathkeeper/1/north-bench/command\\n', prove)) believed++;
  // Even what is proved is checked field by field: here as if it all were.
  if (receivedCommand(texts[i]!.substr(64), 4123456789, 3, 0)) read++;
}
print('believed ' + believed, 'read at most ' + (read < texts.length));
`;

const COMMAND = JSON.stringify({ v: 1, d: 41, n: 1_764_000_000_123, k: 5, i: 4_123_456_789, b: 3, x: 200_000, c: 420 });
const GOOD = proof(TOPIC + COMMAND) + COMMAND;

/** The good command, and many things that a stranger might make of it. */
function texts(): string[] {
  const change = fc.tuple(fc.nat(GOOD.length - 1), fc.integer({ min: 1, max: 255 }));
  const spoiled = fc.oneof(
    change.map(
      ([at, bits]) => GOOD.substring(0, at) + String.fromCharCode(GOOD.charCodeAt(at) ^ bits) + GOOD.substring(at + 1),
    ),
    fc.nat(GOOD.length - 1).map((length) => GOOD.substring(0, length)),
    fc.uint8Array({ maxLength: 600 }).map((bytes) => Buffer.from(bytes).toString('latin1')),
    fc.json({ maxDepth: 3 }).map((json) => 'a'.repeat(64) + Buffer.from(json, 'utf8').toString('latin1')),
  );
  // (The same digits in capitals are the same proof.)
  return [GOOD, ...fc.sample(spoiled, { seed: 4711, numRuns: 300 }).filter((text) => text.toLowerCase() !== GOOD)];
}

/** As a program: ASCII only, each byte that is not a plain character as \xHH. */
function script(list: readonly string[]): string {
  const literal = (text: string): string =>
    `'${[...text].map((one) => (/[ -&(-[\]-~]/.test(one) ? one : `\\x${one.charCodeAt(0).toString(16).padStart(2, '0')}`)).join('')}'`;
  return `texts = [];\n${list.map((text) => `texts.push(${literal(text)});`).join('\n')}`;
}

const LINES = [
  // RFC 4231, test cases 1 and 2.
  'b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7',
  '5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843',
  pairingText(SECRET),
  pairingText('0'.repeat(56) + 'f'.repeat(8)),
  proof('mqtt password'),
  '41 1764000000123 5 0 4.2',
  'believed 0 read at most true',
];

async function scripts(): Promise<string[]> {
  const { code } = await buildFirmware({ entry: programFile(PROGRAM) });
  // In Node the prelude's global is an object of its own.
  const handedOver = 'if (!global.texts) global.texts = texts;';
  return [await prelude({ clock: 'virtual', network: 'memory' }), 'var texts;', script(texts()), handedOver, code];
}

describe('proofs and pairing', () => {
  it('say in Node what is published', async () => {
    const { lines, thrown } = runInNode(await scripts());
    expect(thrown, lines.join('\n')).toBeUndefined();
    expect(lines).toEqual(LINES);
  });

  it.skipIf(!ESPRUINO_BIN)(
    `${SKIPPED_WITHOUT}say the same in the interpreter`,
    async () => {
      const run = await runInInterpreter({ espruinoBin: ESPRUINO_BIN!, scripts: await scripts(), timeoutMs: 55_000 });
      expect(run.hasEnded, run.stdout.slice(-2_000)).toBe(true);
      expect(run.lines).toEqual(LINES);
    },
    60_000,
  );
});
