/*
 * The bundle in the real interpreter and in real time, over Mosquitto, which meanwhile is frozen, killed, started again and parted from it.
 * A stand-in for the dashboard keeps what it is sent and acknowledges it. Nothing may be lost or changed, memory stays, the run goes on.
 *
 * Short here. For half an hour: HALF_HOUR_MINUTES=30 npx vitest run tests/interpreter/half-hour.test.ts
 */
import { createHmac } from 'node:crypto';
import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { readFile } from 'node:fs/promises';
import { crc32 } from 'node:zlib';
import { connect } from 'mqtt';
import { describe, expect, it, onTestFinished } from 'vitest';
import { Command, Phase } from '@bathkeeper/shared-core/control';
import { RecordColumn, SIGN_OF_LIFE_PROVED, topicOf } from '@bathkeeper/shared-core/messages';
import { outboxRows } from '@bathkeeper/firmware/bench';
import { BOOT_FILE, buildFirmware, quotedBytes } from '@bathkeeper/firmware/build';
import { mosquittoPath } from '../programs/mosquitto.js';
import { ESPRUINO_BIN, prelude, runInInterpreter, SKIPPED_WITHOUT } from './interpreter-run.js';
import { troubledBroker, type TroubledBroker } from './troubled-broker.js';

const CONTROLLER = 'north-bench';
const SECRET = '7b'.repeat(32);
const MINUTES = Number(process.env['HALF_HOUR_MINUTES'] ?? 2);
/** No trouble in the last part: what waits has to come through. */
const QUIET_SECONDS = 45;
const MOSQUITTO = mosquittoPath();
const proof = (text: string): string => createHmac('sha256', Buffer.from(SECRET, 'hex')).update(text).digest('hex');
const after = (seconds: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, seconds * 1000));

function settingsText(port: number, signOfLifePort: number): string {
  const json = JSON.stringify({
    v: 1,
    controllerId: CONTROLLER,
    simulated: 1,
    wifi: { ssid: '', password: '' },
    link: { address: '127.0.0.1', port, signOfLifePort },
    secret: SECRET,
    rig: { currentAmpsMax: 35, terminalVoltsMax: 8, bathCelsiusMax: 40, runSecondsMax: 50_400 },
    shunt: { microOhms: 1500, currentGain: 1, currentOffsetAmps: 0, measured: 1 },
    supply: { codeAtZero: 0, codesPerAmp: 100, measured: 1, baud: 9600 },
    probe: { offsetCelsius: 0, measured: 1, rom: '' },
    fitted: { leak: 0, smoke: 0, agitation: 0, filter: 0, level: 0, clock: 0, clips: [] },
  });
  return crc32(json).toString(16).padStart(8, '0') + json;
}

/** Signs of life until the test ends, to a port that was free a moment ago. */
async function giveSignsOfLife(): Promise<number> {
  const probe = createSocket('udp4');
  probe.bind(0, '127.0.0.1');
  await once(probe, 'listening');
  const { port } = probe.address();
  probe.close();
  const sender = createSocket('udp4');
  let seconds = 1_750_000_000;
  const beat = setInterval(() => {
    const text = JSON.stringify({ v: 1, d: CONTROLLER, t: (seconds += 5) });
    sender.send(proof(SIGN_OF_LIFE_PROVED + text) + text, port, '127.0.0.1');
  }, 5000);
  onTestFinished(() => {
    clearInterval(beat);
    sender.close();
  });
  return port;
}

/** The dashboard's end: keeps records by their first number, counts what came again, acknowledges, and sends the recipe once. */
function standInDashboard(port: number) {
  const client = connect({ host: '127.0.0.1', port, reconnectPeriod: 500, connectTimeout: 3000, keepalive: 5 });
  const records = new Map<number, string>();
  const kept = {
    records,
    through: 0,
    eventsThrough: 0,
    doubled: 0,
    changed: 0,
    overlapping: 0,
    events: 0,
    phase: -1,
    lives: 0,
  };
  let recipeIsSent = false;
  client.on('connect', () => client.subscribe(topicOf(CONTROLLER, '') + '+', { qos: 1 }));
  client.on('error', () => undefined);
  client.on('message', (topic, payload) => {
    if (topic === topicOf(CONTROLLER, 'live')) {
      const live = JSON.parse(payload.toString()) as { i: number; b: number; u: number; p: number };
      kept.phase = live.p;
      kept.lives++;
      if (recipeIsSent || live.p !== Phase.idle) return;
      recipeIsSent = true;
      const command = topicOf(CONTROLLER, 'command');
      const recipe = [7, 15.5, 4, 10, 20, 20, 1e9, 2, 60, 5, 36000, 6, 18, 28, 32];
      const fields = {
        v: 1,
        d: 41,
        n: 1_750_000_000_000,
        k: Command.recipe,
        i: live.i,
        b: live.b,
        x: live.u + 600,
        g: recipe,
      };
      const text = JSON.stringify(fields);
      client.publish(command, proof(`${command}\n${text}`) + text, { qos: 1 });
    }
    if (topic !== topicOf(CONTROLLER, 'outbox')) return;
    const message = JSON.parse(payload.toString()) as { i: number };
    const { i } = message;
    const { records: r, events: e, foreign } = outboxRows({ ...message });
    kept.changed += foreign.length;
    for (const row of r) {
      const first = row[RecordColumn.first]!;
      const text = JSON.stringify(row);
      const known = records.get(first);
      if (known !== undefined) {
        kept.doubled++;
        if (known !== text) kept.changed++;
      } else if (first <= kept.through) kept.overlapping++;
      else records.set(first, text);
      kept.through = Math.max(kept.through, first + row[RecordColumn.span]! - 1);
    }
    for (const row of e) {
      kept.events++;
      kept.eventsThrough = Math.max(kept.eventsThrough, row[0]!);
    }
    const text = JSON.stringify({ v: 1, i, r: kept.through, e: kept.eventsThrough });
    client.publish(topicOf(CONTROLLER, 'ack'), text, { qos: 1 });
  });
  onTestFinished(() => {
    client.end(true);
  });
  return kept;
}

/** One trouble after the other, until so many seconds have passed. */
async function befall(broker: TroubledBroker, seconds: number): Promise<number> {
  const endsAt = Date.now() + seconds * 1000;
  const left = (): number => (endsAt - Date.now()) / 1000;
  const pauseSeconds = MINUTES < 10 ? 12 : 60;
  let troubles = 0;
  for (;;) {
    for (const [lasts, begin, end] of [
      [4, () => broker.kill(), () => broker.start()],
      [18, () => broker.part(), () => broker.join()],
      [15, () => broker.freeze(), () => broker.goOn()],
    ] as const) {
      await after(Math.min(pauseSeconds, Math.max(left(), 0)));
      if (left() < lasts) return troubles;
      await begin();
      await after(lasts);
      await end();
      troubles++;
    }
  }
}

describe.skipIf(!ESPRUINO_BIN || !MOSQUITTO)(
  `${SKIPPED_WITHOUT}${MOSQUITTO ? '' : 'SKIPPED, needs Mosquitto: '}the bundle in real time over a broker in trouble`,
  () => {
    it(
      'loses no record, keeps its memory, and plates on through it all',
      async () => {
        const broker = await troubledBroker(MOSQUITTO!);
        onTestFinished(() => broker.close());
        const signOfLifePort = await giveSignsOfLife();
        const kept = standInDashboard(broker.brokerPort);
        const { bootPart, tokens } = await buildFirmware();
        const unattended = await readFile(new URL('./scenarios/unattended.js', import.meta.url), 'utf8');
        const powerCut = new AbortController();
        const states: number[][] = [];
        const run = runInInterpreter({
          espruinoBin: ESPRUINO_BIN!,
          scripts: [
            await prelude({ clock: 'real', network: 'real' }),
            'world.removeWifi();',
            `world.files['bathkeeper.json'] = ${JSON.stringify(settingsText(broker.dialledPort, signOfLifePort))};`,
            unattended,
            // The program's text lies in flash, as on a board.
            `world.realRequire('Storage').write('${BOOT_FILE}', ${JSON.stringify(bootPart)});`,
            `world.realRequire('Storage').write('bundle', ${quotedBytes(tokens)});`,
            `world.files['${BOOT_FILE}'] = world.realRequire('Storage').read('${BOOT_FILE}');`,
            "eval(world.realRequire('Storage').read('bundle'));",
          ],
          timeoutMs: MINUTES * 60_000 + 90_000,
          endsItself: true,
          powerCut: powerCut.signal,
          onLine: (line) => {
            if (line.startsWith('STATE ')) states.push(line.split(' ').slice(1).map(Number));
            else if (/^(Uncaught|Execution|New interp|Step|Link|Memory)/.test(line)) console.log(`controller: ${line}`);
          },
        });
        onTestFinished(async () => {
          powerCut.abort();
          await run;
        });
        const startedAt = Date.now();
        const troubles = await befall(broker, MINUTES * 60 - QUIET_SECONDS);
        await after(MINUTES * 60 - (Date.now() - startedAt) / 1000);
        const last = states.at(-1)!;
        const first = states[Math.min(2, states.length - 1)]!;
        console.log(
          `${MINUTES} min, ${troubles} troubles: records through ${kept.through} in ${kept.records.size} rows, ` +
            `${kept.doubled} came again, ${kept.events} events, ${kept.lives} live messages; variables ${first[1]} after ${first[0]} s, ` +
            `${last[1]} after ${last[0]} s; worst step ${last[2]} us, worst beat ${last[3]} us, longest from step to step ${last[4]} us`,
        );
        powerCut.abort();
        await run;

        let next = 1;
        for (const [number, text] of [...kept.records].sort((a, b) => a[0] - b[0])) {
          expect(number).toBe(next);
          next = number + (JSON.parse(text) as number[])[RecordColumn.span]!;
        }
        expect(kept.through).toBeGreaterThan(MINUTES * 60 - 30);
        expect(kept.changed + kept.overlapping).toBe(0);
        expect(troubles).toBeGreaterThan(0);
        expect(kept.phase).toBe(Phase.plate);
        // Contactor drops and restarts.
        expect(last[6]).toBe(0);
        expect(last[7]).toBe(0);
        expect(last[1]! - first[1]!).toBeLessThan(60);
      },
      MINUTES * 60_000 + 120_000,
    );
  },
);
