/* What a controller may say and what becomes of everything else: through a real broker, in process, on a clock moved by hand. */
import fc from 'fast-check';
import { pino } from 'pino';
import { describe, expect, it } from 'vitest';
import { SEQUENCE_JUMP_MAX } from '../../../dashboard/server/store/store.js';
import { CONTROLLER, dashboardOnTrial, rowsOf } from './dashboard-on-trial.js';
import { storedEvent, storedRecord } from '../../firmware/link/stored-text.js';
import { eventRow, liveMessage, outbox, recordRow } from './quiet-bath.js';

const storedRecords = 'SELECT first, span FROM records ORDER BY first';

describe('ingest', () => {
  it('acknowledges what is on disk, records and events through the last of each', async () => {
    const { dashboard, bath } = await dashboardOnTrial();
    bath.say(
      'outbox',
      outbox([recordRow({ first: 1 }), recordRow({ first: 2, span: 3 })], [eventRow({ sequence: 1, kind: 1 })]),
    );
    await dashboard.settle();
    expect(bath.acks).toEqual([{ v: 1, i: 7, r: 4, e: 1 }]);
    expect(rowsOf(dashboard, storedRecords)).toEqual([
      { first: 1, span: 1 },
      { first: 2, span: 3 },
    ]);
  });

  it('takes rows as a controller keeps them: every column, a large charge and all bits of the conditions', async () => {
    const { dashboard, bath } = await dashboardOnTrial();
    const record = recordRow({
      first: 1,
      charge: 5 * 2 ** 32 + 7,
      conditions: 0xffffffff,
      conditionsHigh: 2 ** 31,
      currentMin: -12,
      electricCount: 1,
    });
    const event = eventRow({ sequence: 1, kind: 1, a: -5, b: 6 });
    bath.say('outbox', outbox([storedRecord(record)], [storedEvent(event)]));
    await dashboard.settle();
    expect(bath.acks).toEqual([{ v: 1, i: 7, r: 1, e: 1 }]);
    const columns = 'charge_millicoulombs, conditions, conditions_high, current_min, current_sum, temperature_sum';
    expect(rowsOf(dashboard, `SELECT ${columns} FROM records`)).toEqual([
      {
        charge_millicoulombs: 5 * 2 ** 32 + 7,
        conditions: 0xffffffff,
        conditions_high: 2 ** 31,
        current_min: -12,
        current_sum: 1900,
        temperature_sum: 2400,
      },
    ]);
    expect(rowsOf(dashboard, 'SELECT sequence, kind, a, b FROM events')).toEqual([
      { sequence: 1, kind: 1, a: -5, b: 6 },
    ]);
  });

  it('sets a row aside whose check sum is wrong, and does not acknowledge it: the controller sends it again', async () => {
    const { dashboard, bath } = await dashboardOnTrial();
    const [first, second] = [1, 2].map((number) => storedRecord(recordRow({ first: number })));
    const damaged = second!.replace(/^.../, (digits) => (digits === 'AgA' ? 'BgA' : 'AgA'));
    bath.say('outbox', outbox([first, damaged, 'rubbish', '']));
    await dashboard.settle();
    expect(bath.acks).toEqual([{ v: 1, i: 7, r: 1, e: 0 }]);
    expect(rowsOf(dashboard, 'SELECT count(*) AS aside FROM quarantine')).toEqual([{ aside: 3 }]);
    bath.say('outbox', outbox([second]));
    await dashboard.settle();
    expect(bath.acks.at(-1)).toEqual({ v: 1, i: 7, r: 2, e: 0 });
  });

  it('counts a record that comes twice and stores it once', async () => {
    const { dashboard, bath } = await dashboardOnTrial();
    for (let times = 0; times < 2; times++) bath.say('outbox', outbox([recordRow({ first: 1, span: 5 })]));
    await dashboard.settle();
    expect(rowsOf(dashboard, 'SELECT records_stored, records_doubled, records_missing FROM queues')).toEqual([
      { records_stored: 5, records_doubled: 5, records_missing: 0 },
    ]);
  });

  it('counts the seconds that are missing between two records', async () => {
    const { dashboard, bath } = await dashboardOnTrial();
    bath.say('outbox', outbox([recordRow({ first: 1 }), recordRow({ first: 5 })]));
    await dashboard.settle();
    expect(rowsOf(dashboard, 'SELECT records_stored, records_missing FROM queues')).toEqual([
      { records_stored: 2, records_missing: 3 },
    ]);
    expect(bath.acks.at(-1)?.r).toBe(5);
  });

  it('sets a bad record aside and acknowledges it, so that it does not block the queue', async () => {
    const { dashboard, bath } = await dashboardOnTrial();
    bath.say('outbox', outbox([recordRow({ first: 1, phase: 99 })]));
    await dashboard.settle();
    expect(bath.acks.at(-1)?.r).toBe(1);
    bath.say('outbox', outbox([recordRow({ first: 2 })]));
    await dashboard.settle();
    expect(bath.acks.at(-1)?.r).toBe(2);
    expect(rowsOf(dashboard, storedRecords)).toEqual([{ first: 2, span: 1 }]);
    expect(rowsOf(dashboard, 'SELECT why FROM quarantine')).toEqual([{ why: 'phase is 99, expected 0 to 9' }]);
  });

  it.each([
    ['a bad row', recordRow({ first: SEQUENCE_JUMP_MAX + 200, phase: 99 })],
    ['a row that looks sound', recordRow({ first: SEQUENCE_JUMP_MAX + 200 })],
  ])('does not follow a number that jumps by months in %s: the records after it are still stored', async (_of, row) => {
    const { dashboard, bath } = await dashboardOnTrial();
    bath.say('outbox', outbox([recordRow({ first: 1 })]));
    await dashboard.settle();
    bath.say('outbox', outbox([row]));
    await dashboard.settle();
    expect(bath.acks.at(-1)?.r).toBe(1);
    bath.say('outbox', outbox([recordRow({ first: 2 })]));
    await dashboard.settle();
    expect(bath.acks.at(-1)?.r).toBe(2);
    expect(rowsOf(dashboard, storedRecords)).toHaveLength(2);
    expect(rowsOf(dashboard, 'SELECT id FROM quarantine')).toHaveLength(1);
  });

  it('acknowledges one second of a bad row that does not say how many it covers', async () => {
    const { dashboard, bath } = await dashboardOnTrial();
    bath.say('outbox', outbox([recordRow({ first: 1, span: 70_000 })]));
    await dashboard.settle();
    expect(bath.acks.at(-1)?.r).toBe(1);
  });

  it.each([
    ['not JSON', 'outbox', '{"v":1,'],
    ['an unknown version', 'outbox', '{"v":2,"i":7,"b":1,"u":1}'],
    ['no fields', 'live', '{"v":1}'],
    ['a number where a list is expected', 'outbox', '{"v":1,"i":7,"b":1,"u":1,"r":3}'],
    ['a negative uptime', 'outbox', '{"v":1,"i":7,"b":1,"u":-1,"r":[]}'],
    ['a status that is neither', 'status', '{"v":1,"o":2}'],
    ['bytes that are no text', 'live', Buffer.from([0xff, 0xfe, 0x00])],
    ['a phase that does not exist', 'live', JSON.stringify(liveMessage({ phase: 10 }))],
  ] as const)('counts a message with %s, stores nothing of it and goes on', async (_what, kind, payload) => {
    const { dashboard, bath } = await dashboardOnTrial();
    bath.say(kind, payload);
    await dashboard.settle();
    expect(Object.values(dashboard.ingest.counts).reduce((sum, count) => sum + count, 0)).toBe(1);
    expect(rowsOf(dashboard, storedRecords)).toEqual([]);
    expect(dashboard.snapshot().controllers[0]?.live).toBeNull();
    expect(dashboard.snapshot().alarms.map((alarm) => alarm.name)).toEqual(['message-refused']);
    bath.say('live', liveMessage());
    await dashboard.settle();
    expect(dashboard.snapshot().controllers[0]?.live?.cathodeCurrentAmps).toBe(19);
  });

  it('keeps only the first of a flood of rubbish to look at', async () => {
    const { dashboard, bath } = await dashboardOnTrial();
    for (let count = 0; count < 300; count++) bath.say('live', 'rubbish');
    await dashboard.settle();
    expect(dashboard.ingest.counts['not JSON']).toBe(300);
    expect(rowsOf(dashboard, 'SELECT id FROM quarantine')).toHaveLength(50);
  });

  it('takes whatever JSON comes without a crash, and sound records before and after it', async () => {
    const { dashboard, bath } = await dashboardOnTrial();
    let first = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom('outbox' as const, 'live' as const, 'status' as const),
        fc.oneof(
          fc.json(),
          fc
            .record({
              v: fc.constant(1),
              i: fc.constant(7),
              b: fc.nat(3),
              u: fc.nat(),
              r: fc.array(fc.array(fc.oneof(fc.integer(), fc.string())), { maxLength: 3 }),
            })
            .map((value) => JSON.stringify(value)),
        ),
        async (kind, payload) => {
          bath.say(kind, payload);
          first++;
          bath.say('outbox', outbox([recordRow({ first })]));
          await dashboard.settle();
          expect(bath.isConnected).toBe(true);
          expect(bath.acks.at(-1)?.r).toBeGreaterThanOrEqual(first);
        },
      ),
      { numRuns: 150 },
    );
  });

  it('drops a controller that publishes to another one, and stores nothing of it', async () => {
    const { dashboard, bath } = await dashboardOnTrial();
    bath.sayTo('bathkeeper/1/south-bench/outbox', JSON.stringify(outbox([recordRow({})])));
    await dashboard.settle();
    expect(bath.isConnected).toBe(false);
    expect(rowsOf(dashboard, storedRecords)).toEqual([]);
  });

  it('drops a controller that sends more than 16 KB in one message', async () => {
    const { dashboard, bath } = await dashboardOnTrial();
    bath.say('outbox', 'x'.repeat(17 * 1024));
    await dashboard.settle();
    expect(bath.isConnected).toBe(false);
    expect(dashboard.snapshot().alarms[0]?.detail).toContain('17408 bytes');
  });

  it('keeps what the store does not take: nothing is acknowledged, and it is taken when the store is well again', async () => {
    const { dashboard, bath } = await dashboardOnTrial();
    dashboard.store.database.exec(
      `CREATE TRIGGER full BEFORE INSERT ON raw_records BEGIN SELECT RAISE(ABORT, 'disk full'); END`,
    );
    bath.say('outbox', outbox([recordRow({ first: 1 })]));
    await dashboard.settle();
    expect(bath.acks).toEqual([]);
    dashboard.store.database.exec('DROP TRIGGER full');
    bath.say('outbox', outbox([recordRow({ first: 1 })]));
    await dashboard.settle();
    expect(bath.acks.at(-1)?.r).toBe(1);
    expect(dashboard.book.bath(CONTROLLER)?.lastHeardAtMs).not.toBeNull();
  });
});

describe('firmware of another version', () => {
  it('that sends fewer columns, or more, is stored as far as the columns are known', async () => {
    const { dashboard, bath } = await dashboardOnTrial();
    const older = recordRow({ first: 1 }).slice(0, 17);
    const newer = [...recordRow({ first: 2, conditionsHigh: 5 }), 99];
    bath.say('outbox', outbox([older, newer]));
    await dashboard.settle();
    expect(rowsOf(dashboard, 'SELECT first, conditions_high FROM records ORDER BY first')).toEqual([
      { first: 1, conditions_high: 0 },
      { first: 2, conditions_high: 5 },
    ]);
  });
});

describe('whatever a stranger or a broken controller sends', () => {
  it('is taken as far as it is sound, and never stops the ingest', async () => {
    const mistakes: string[] = [];
    const logger = pino({ level: 'error' }, { write: (line: string) => mistakes.push(line) });
    const { dashboard, bath } = await dashboardOnTrial({ logger });
    const goods = [
      ['outbox', JSON.stringify(outbox([recordRow({ first: 1 })], [eventRow({ sequence: 1, kind: 1 })]))],
      ['live', JSON.stringify(liveMessage())],
      ['status', '{"v":1,"o":1}'],
    ] as const;
    const bytes = fc.uint8Array({ maxLength: 400 }).map((list) => Buffer.from(list));
    const spoiled = fc.constantFrom(...goods).chain(([kind, good]) =>
      fc
        .oneof(
          bytes,
          fc.nat(good.length - 1).map((length) => Buffer.from(good.slice(0, length))),
          fc
            .array(fc.tuple(fc.nat(good.length - 1), fc.integer({ min: 0, max: 7 })), { minLength: 1, maxLength: 4 })
            .map((flips) => {
              const flipped = Buffer.from(good);
              for (const [at, bit] of flips) flipped[at]! ^= 1 << bit;
              return flipped;
            }),
          fc.json({ maxDepth: 4 }).map((text) => Buffer.from(text)),
        )
        .map((payload) => ({ kind, payload })),
    );
    for (const { kind, payload } of fc.sample(spoiled, { seed: 20_260_112, numRuns: 600 })) bath.say(kind, payload);
    await dashboard.settle();
    expect(mistakes).toEqual([]);
    for (const row of rowsOf(dashboard, 'SELECT * FROM records')) {
      expect(row.phase).toBeLessThanOrEqual(9);
      expect(row.electric_count).toBeLessThanOrEqual(row.span as number);
    }
    // Commands only ever come from the desk: whatever is heard sends none.
    expect(bath.commandPayloads).toEqual([]);
    bath.say('live', liveMessage({ current: 1234 }));
    await dashboard.settle();
    expect(dashboard.snapshot().controllers[0]?.live?.cathodeCurrentAmps).toBe(12.34);
  });
});
