/* Records read in a thread of its own (the compiled one), and what becomes of a question whose thread ends. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { openReading, type Reading, UnreadRecords } from '../../../../dashboard/server/keeping/reading.js';
import { seriesOf } from '../../../../dashboard/server/keeping/series.js';
import { openStore, type Store } from '../../../../dashboard/server/store/store.js';
import { CONTROLLER, EVENING_MS, folderOnTrial } from '../dashboard-on-trial.js';
import { recordRow } from '../quiet-bath.js';

const closings: (() => Promise<void> | void)[] = [];
afterEach(async () => {
  for (const close of closings.splice(0).reverse()) await close();
});

const ASKED = { controllerId: CONTROLLER, fromMs: EVENING_MS, toMs: EVENING_MS + 600_000, points: 1000 };

function storeOnTrial(): { store: Store; file: string; folder: string } {
  const folder = folderOnTrial();
  const file = join(folder, 'store.sqlite');
  const store = openStore(file);
  closings.push(() => {
    store.close();
  });
  return { store, file, folder };
}
function take(store: Store, first: number): void {
  store.takeOutbox({ controllerId: CONTROLLER, incarnation: 7, boot: 1, uptimeTenths: first * 10, receivedAtMs: EVENING_MS + first * 1000, records: [recordRow({ first, uptime: first * 10 })], events: [] }); // prettier-ignore
}
function reading(file: string, threadFile?: string): { reading: Reading; faults: unknown[] } {
  const faults: unknown[] = [];
  const opened = openReading(file, (_what, fault) => faults.push(fault), threadFile);
  closings.push(() => opened.close());
  return { reading: opened, faults };
}

/** A thread that answers `{ n }` by n + 1 and ends at "end"; its first `ends` starts end at every question. Starts are counted in a file. */
function threadThatEnds(folder: string, ends: number): string {
  const file = join(folder, 'thread.mjs');
  writeFileSync(
    file,
    `import { parentPort } from 'node:worker_threads';
     import { appendFileSync, readFileSync } from 'node:fs';
     const starts = ${JSON.stringify(join(folder, 'starts'))};
     appendFileSync(starts, 'x');
     const mustEnd = readFileSync(starts, 'utf8').length <= ${String(ends)};
     parentPort.on('message', ({ asked }) => {
       if (mustEnd || asked.end) process.exit(3);
       parentPort.postMessage({ answer: asked.n + 1 });
     });`,
  );
  return file;
}
const ask = (one: Reading, asked: { n?: number; end?: boolean }): Promise<unknown> => one.ask('series', asked as never);

describe('reading in a thread of its own', () => {
  it('answers as the records say, with what was written since the thread began', async () => {
    const { store, file } = storeOnTrial();
    const { reading: read } = reading(file);
    for (let first = 1; first <= 3; first++) take(store, first);
    expect(await read.ask('series', ASKED)).toEqual(seriesOf(store.database, ASKED));
    take(store, 4);
    const series = await read.ask('series', ASKED);
    expect(series.startMs).toHaveLength(4);
    expect(series).toEqual(seriesOf(store.database, ASKED));
  });

  it('lets the store be written while it reads: a transaction that is open for reading holds up none that writes', async () => {
    const { store, file } = storeOnTrial();
    take(store, 1);
    const { reading: read } = reading(file);
    // Asked, and not awaited: what is written meanwhile must go through, whichever of the two is first.
    const asked = read.ask('series', ASKED);
    for (let first = 2; first <= 50; first++) take(store, first);
    expect((await asked).startMs.length).toBeGreaterThanOrEqual(1);
    expect((await read.ask('series', ASKED)).startMs).toHaveLength(50);
  });

  it('tells what the store said where it cannot be read, and answers the next question', async () => {
    const { store, file } = storeOnTrial();
    take(store, 1);
    const { reading: read, faults } = reading(file);
    store.database.exec('ALTER TABLE minutes RENAME TO elsewhere');
    const byMinutes = { ...ASKED, toMs: ASKED.fromMs + 20 * 3_600_000 };
    await expect(read.ask('series', byMinutes)).rejects.toThrow(/no such table: minutes.*Ask again/);
    expect((await read.ask('series', ASKED)).startMs).toHaveLength(1);
    expect(faults).toEqual([]);
  });

  it('starts a thread that ended once more, and answers the question that it was at and those that waited', async () => {
    const { file, folder } = storeOnTrial();
    const { reading: read, faults } = reading(file, threadThatEnds(folder, 1));
    expect(await Promise.all([ask(read, { n: 1 }), ask(read, { n: 2 })])).toEqual([2, 3]);
    expect(faults).toMatchObject([{ message: 'it ended with code 3' }]);
  });

  it('refuses the question that ended two threads, in words, and answers those behind it', async () => {
    const { file, folder } = storeOnTrial();
    const { reading: read, faults } = reading(file, threadThatEnds(folder, 0));
    const [first, second] = await Promise.allSettled([ask(read, { end: true }), ask(read, { n: 2 })]);
    expect(first).toMatchObject({ status: 'rejected', reason: expect.any(UnreadRecords) as unknown });
    expect((first as PromiseRejectedResult).reason).toMatchObject({ message: expect.stringMatching(/ended twice.*stored all the same.*Ask again/) as unknown }); // prettier-ignore
    expect(second).toEqual({ status: 'fulfilled', value: 3 });
    expect(faults).toHaveLength(2);
  });

  it('does not ask for somebody who has gone before their turn', async () => {
    const { file, folder } = storeOnTrial();
    const { reading: read } = reading(file, threadThatEnds(folder, 0));
    const answered: string[] = [];
    const gone = new AbortController();
    const first = ask(read, { n: 1 });
    // It would end the thread if it were asked.
    void read.ask('series', { end: true } as never, gone.signal).then(
      () => answered.push('answered'),
      () => answered.push('refused'),
    );
    gone.abort();
    expect(await Promise.all([first, ask(read, { n: 5 })])).toEqual([2, 6]);
    expect(answered).toEqual([]);
  });

  it('refuses what waits when it is closed, and whatever comes afterwards', async () => {
    const { file, folder } = storeOnTrial();
    const { reading: read, faults } = reading(file, threadThatEnds(folder, 0));
    const asked = Promise.allSettled([ask(read, { n: 1 }), ask(read, { n: 2 })]);
    await read.close();
    const later = await Promise.allSettled([ask(read, { n: 3 })]);
    for (const one of [...(await asked), ...later])
      expect(one).toMatchObject({ status: 'rejected', reason: { message: expect.stringMatching(/being closed/) as unknown } }); // prettier-ignore
    expect(faults).toEqual([]);
  });
});
