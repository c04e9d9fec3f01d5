/*
 * Benchmarks of calling at a thousand controllers: from the moment in which a controller says it to the moment in which the receiver of the call has
 * it, through broker, ingest, store, watch, queue and HTTP, while all the others report. And two hundred kills between raising and sending.
 */
import { type ChildProcess, fork } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { createDashboard, PAIRED_RIG, systemClock } from '@bathkeeper/dashboard';
import type { CallPayload } from '@bathkeeper/shared-core/messages';
import { killedWhileCalling } from '../dashboard/server/call-kills.js';
import type { Benchmark } from './benchmark.js';
import { controllerAt, type FleetOrder } from './calling-fleet.js';
import { addPerson } from '../dashboard/server/called-person.js';

const CONTROLLERS = 1000;
const CALLS = 200;
const BETWEEN_CALLS_MS = 100;
const KILLS = 200;
const SETTLE_MS = 10_000;
const LATE_MS = 30_000;
const SECRET = 'c0'.repeat(32);

function inFolder<T>(work: (folder: string) => Promise<T>): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-bench-'));
  return work(folder).finally(() => {
    rmSync(folder, { recursive: true, force: true });
  });
}
const pause = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms));

/** Milliseconds of each call, in order of size. One run serves both benchmarks. */
let measured: Promise<readonly number[]> | undefined;

function measure(): Promise<readonly number[]> {
  return inFolder(async (folder) => {
    const arrivedAt = new Map<string, number>();
    const receiver = createServer((request, response) => {
      let text = '';
      request.on('data', (bytes: Buffer) => (text += bytes.toString()));
      request.on('end', () => {
        const { controller } = JSON.parse(text) as CallPayload;
        if (!arrivedAt.has(controller)) arrivedAt.set(controller, Date.now());
        response.writeHead(204).end();
      });
    });
    await new Promise<void>((done) => void receiver.listen(0, '127.0.0.1', done));
    const dashboard = await createDashboard({ clock: systemClock(), dataFolder: folder });
    const address = `http://127.0.0.1:${String((receiver.address() as AddressInfo).port)}/`;
    addPerson(dashboard, address);
    dashboard.calling.settings.setEscalation({ againAfterMinutes: 240, nextPersonAfterMinutes: 240 });
    for (let place = 0; place < CONTROLLERS; place++)
      await dashboard.pair(controllerAt(place), `Bath ${String(place)}`, false, PAIRED_RIG, SECRET);
    const port = await dashboard.broker.listen('127.0.0.1', 0, 1);
    const order: FleetOrder = { port, count: CONTROLLERS, secret: SECRET };
    const fleet: ChildProcess = fork(fileURLToPath(new URL('calling-fleet.js', import.meta.url)), [
      JSON.stringify(order),
    ]);
    const saidAt = new Map<string, number>();
    try {
      await new Promise<void>((done, failed) => {
        fleet.on('message', (told: 'ready' | { place: number; atMs: number }) => {
          if (told === 'ready') done();
          else saidAt.set(controllerAt(told.place), told.atMs);
        });
        fleet.once('exit', () => {
          failed(new Error('the fleet ended'));
        });
      });
      await pause(SETTLE_MS);
      // Spread over the fleet: 383 is prime to 1000, so that each is another one.
      const places = Array.from({ length: CALLS }, (_, index) => (index * 383) % CONTROLLERS);
      for (const place of places) {
        fleet.send(place);
        await pause(BETWEEN_CALLS_MS);
      }
      const untilMs = Date.now() + LATE_MS;
      while (places.some((place) => !arrivedAt.has(controllerAt(place))) && Date.now() < untilMs) await pause(50);
      return places
        .map((place) => (arrivedAt.get(controllerAt(place)) ?? Infinity) - (saidAt.get(controllerAt(place)) ?? 0))
        .sort((one, other) => one - other);
    } finally {
      fleet.kill();
      receiver.closeAllConnections();
      receiver.close();
      await dashboard.close();
    }
  });
}

const note = (all: readonly number[]): string =>
  `${String(all.length)} calls at ${String(CONTROLLERS)} controllers: median ${String(all[all.length >> 1])}, 95 % ${String(all[Math.floor(all.length * 0.95)])}, worst ${String(all.at(-1))} ms`;

export const callingBenchmarks: readonly Benchmark[] = [
  {
    name: 'call-handed-over-median',
    unit: 'ms',
    bound: 300,
    run: async () => {
      const all = await (measured ??= measure());
      return { value: all[all.length >> 1]!, note: note(all) };
    },
  },
  {
    name: 'call-handed-over-worst',
    unit: 'ms',
    bound: 2000,
    run: async () => {
      const all = await (measured ??= measure());
      return { value: all.at(-1)!, note: note(all) };
    },
  },
  {
    name: 'calls-lost-or-needlessly-repeated-in-200-kills',
    unit: 'calls',
    bound: 0,
    run: () =>
      inFolder(async (folder) => {
        const { lost, forgotten, underOtherIds, needless, storedCount, repeatedCount, instants } =
          await killedWhileCalling(folder, KILLS, Number(process.env.BATHKEEPER_SEED ?? 4));
        return {
          value: lost.length + forgotten.length + underOtherIds.length + needless.length,
          note: `${String(storedCount)} alarms stored; ${String(repeatedCount)} deliveries repeated under the same id; kills: ${JSON.stringify(instants)}`,
        };
      }),
  },
];
