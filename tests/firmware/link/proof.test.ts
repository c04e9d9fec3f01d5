/* The proof of a message against the published vectors of HMAC-SHA-256 and against Node's own; what is not proved is not read. */
import './interpreter-globals.js';
import { createHmac } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hexDigits, provedText, prover } from '../../../firmware/src/link/proof.js';

const SECRET = '0f'.repeat(32);
const nodesProof = (secret: string, text: string): string =>
  createHmac('sha256', Buffer.from(secret, 'hex')).update(Buffer.from(text, 'latin1')).digest('hex');
const bytes = (hex: string): string => Buffer.from(hex, 'hex').toString('latin1');

describe('a proof', () => {
  // RFC 4231, test cases 1 to 4 and 5's key: keys of at most 64 bytes, as ours of 32. Cases 6 and 7 have longer keys, which we never hold.
  it.each([
    ['0b'.repeat(20), 'Hi There', 'b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7'],
    ['4a656665', 'what do ya want for nothing?', '5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843'],
    ['aa'.repeat(20), bytes('dd'.repeat(50)), '773ea91e36800e46854db8ebd09181a72959098b3ef8c122d9635514ced565fe'],
    [
      '0102030405060708090a0b0c0d0e0f10111213141516171819',
      bytes('cd'.repeat(50)),
      '82558a389a443c0ea4cc819899f2083a85f0faa3e578f8077a2e3ff46729665b',
    ],
  ])('under %s is that of RFC 4231', (key, text, expected) => {
    expect(hexDigits(prover(key)(text))).toBe(expected);
  });

  it('is that of Node for every key of 32 bytes and every text', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 32, maxLength: 32 }), fc.uint8Array({ maxLength: 700 }), (key, text) => {
        const secret = Buffer.from(key).toString('hex');
        const said = Buffer.from(text).toString('latin1');
        expect(hexDigits(prover(secret)(said))).toBe(nodesProof(secret, said));
      }),
    );
  });
});

/** The digits are compared as numbers of eight: capitals, or a space for a leading zero, spell the same proof. */
function isSameProof(spelled: string, right: string): boolean {
  const words = (text: string): number[] => [0, 1, 2, 3, 4, 5, 6, 7].map((at) => parseInt(text.substr(8 * at, 8), 16));
  return spelled.slice(64) === right.slice(64) && words(spelled).every((word, at) => word === words(right)[at]);
}

describe('a message', () => {
  const prove = prover(SECRET);
  const said = (text: string, before = 'topic\n'): string => nodesProof(SECRET, before + text) + text;

  it('with the right proof gives its text', () => {
    expect(provedText(said('{"v":1}'), 'topic\n', prove)).toBe('{"v":1}');
  });

  it('is nothing when the proof is of another topic, another text or another secret, is cut or spoiled anywhere, or is missing', () => {
    expect(provedText(said('{"v":1}', 'other\n'), 'topic\n', prove)).toBeUndefined();
    expect(provedText(said('{"v":1}') + ' ', 'topic\n', prove)).toBeUndefined();
    expect(provedText(nodesProof('11'.repeat(32), 'topic\n{"v":1}') + '{"v":1}', 'topic\n', prove)).toBeUndefined();
    const right = said('{"v":1}');
    for (let at = 0; at < 64; at++) {
      for (const digit of ['0', 'f', 'g', ' ', '\0']) {
        const spoiled = right.slice(0, at) + digit + right.slice(at + 1);
        expect(provedText(spoiled, 'topic\n', prove)).toBe(isSameProof(spoiled, right) ? '{"v":1}' : undefined);
      }
      expect(provedText(right.slice(0, at) + right.slice(at + 1), 'topic\n', prove)).toBeUndefined();
    }
    expect(provedText('{"v":1}', 'topic\n', prove)).toBeUndefined();
    expect(provedText('', 'topic\n', prove)).toBeUndefined();
  });

  it('of more than 512 characters is not even proved', () => {
    expect(provedText(said(' '.repeat(512)), 'topic\n', prove)).toBe(' '.repeat(512));
    expect(provedText(said(' '.repeat(513)), 'topic\n', prove)).toBeUndefined();
  });

  it('of which any one bit was changed is nothing', () => {
    const text = '{"v":1,"d":5,"n":9,"k":1,"i":3,"b":2,"x":1000}';
    const whole = said(text);
    for (let at = 0; at < whole.length; at++) {
      for (let bit = 1; bit < 256; bit *= 2) {
        const changed = String.fromCharCode(whole.charCodeAt(at) ^ bit);
        const spoiled = whole.substring(0, at) + changed + whole.substring(at + 1);
        expect(provedText(spoiled, 'topic\n', prove)).toBe(isSameProof(spoiled, whole) ? text : undefined);
      }
    }
  });
});
