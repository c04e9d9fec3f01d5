/* The store by itself: what is booked once, when it was taken, and what a killed process leaves behind. */
import { spawn } from 'node:child_process';
import { existsSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { migrations } from '../../../dashboard/server/store/schema.js';
import { openStore, type OutboxBatch, type Store } from '../../../dashboard/server/store/store.js';
import { folderOnTrial } from './dashboard-on-trial.js';
import { eventRow, recordRow } from './quiet-bath.js';

const DAY_MS = 1_768_000_000_000;

function batch(fields: Partial<OutboxBatch>): OutboxBatch {
  return {
    controllerId: 'north-bench',
    incarnation: 7,
    boot: 1,
    uptimeTenths: 10_000,
    receivedAtMs: DAY_MS,
    records: [],
    events: [],
    ...fields,
  };
}
const takenAt = (store: Store): unknown[] =>
  store.database.prepare('SELECT taken_at_ms FROM records ORDER BY first').pluck().all();

describe('a store of an earlier version', () => {
  it('keeps every record and gets the conditions above 32 as none; of doubled calls the delivered one stays', () => {
    const file = join(folderOnTrial(), 'bathkeeper.sqlite');
    const old = new Database(file);
    old.exec(migrations[0]!);
    old.pragma('user_version = 1');
    const columns = 20;
    const record = ['north-bench', 7, ...new Array<number>(columns - 2).fill(0)];
    const insert = old.prepare(`INSERT INTO records VALUES (${record.map(() => '?').join(', ')})`);
    for (let first = 1; first <= 500; first++)
      insert.run(...record.slice(0, 2), first, 1, ...record.slice(4, 9), 4, ...record.slice(10));
    const call = old.prepare('INSERT INTO notifications VALUES (?, ?, ?, ?, ?, 0, ?, NULL)');
    const alarm = old.prepare(
      "INSERT INTO alarms VALUES (?, 'north-bench', 'trip', 'high', 'Tripped', '', '', 5, 5, NULL, NULL, NULL)",
    );
    for (const alarmId of [1, 2]) alarm.run(alarmId);
    call.run('first', 1, '{}', 10, 10, null);
    call.run('delivered', 1, '{}', 20, 20, 25);
    call.run('early', 2, '{}', 10, 10, null);
    call.run('late', 2, '{}', 20, 20, null);
    const before = old.prepare('SELECT * FROM records').all() as Record<string, unknown>[];
    old.close();

    const store = openStore(file);
    expect(store.database.prepare('SELECT * FROM records').all()).toEqual(
      before.map((row) => ({ ...row, conditions_high: 0 })),
    );
    const calls = store.database
      .prepare(
        `SELECT c.call_id, c.next_round_at_ms, n.delivered_at_ms FROM notifications n JOIN calls c ON c.call_number = n.call_number
         ORDER BY n.alarm_id`,
      )
      .all();
    // What was delivered is over, what was not is called still.
    expect(calls).toEqual([
      { call_id: 'delivered', next_round_at_ms: null, delivered_at_ms: 25 },
      { call_id: 'early', next_round_at_ms: 10, delivered_at_ms: null },
    ]);
    expect(() =>
      store.database.exec('INSERT INTO notifications (alarm_id, call_number, joined_round) VALUES (1, 1, 1)'),
    ).toThrow(/UNIQUE/);
    store.takeOutbox(batch({ records: [recordRow({ first: 501, conditionsHigh: 0x80000001 })] }));
    expect(store.database.prepare('SELECT conditions_high FROM records WHERE first = 501').pluck().get()).toBe(
      0x80000001,
    );
    store.close();
    expect(openStore(file).database.pragma('user_version', { simple: true })).toBe(migrations.length);
  });
});

describe('store', () => {
  it('knows when a record was taken from its uptime and the arrival of its message', () => {
    const store = openStore(':memory:');
    store.takeOutbox(
      batch({ records: [recordRow({ first: 1, uptime: 9_000 }), recordRow({ first: 2, uptime: 9_010 })] }),
    );
    expect(takenAt(store)).toEqual([DAY_MS - 100_000, DAY_MS - 99_000]);
  });

  it('takes the quickest message for the start of a boot: a slow network does not shift the night', () => {
    const store = openStore(':memory:');
    store.takeOutbox(batch({ receivedAtMs: DAY_MS, records: [recordRow({ first: 1, uptime: 10_000 })] }));
    store.takeOutbox(
      batch({ receivedAtMs: DAY_MS + 8_000, uptimeTenths: 10_010, records: [recordRow({ first: 2, uptime: 10_010 })] }),
    );
    expect(takenAt(store)).toEqual([DAY_MS, DAY_MS + 1_000]);
  });

  it('puts a boot that was never heard before the one that was', () => {
    const store = openStore(':memory:');
    store.takeOutbox(
      batch({ boot: 3, uptimeTenths: 100, records: [recordRow({ first: 1, boot: 2, uptime: 50_000 })] }),
    );
    const [at] = takenAt(store) as number[];
    expect(at).toBeLessThan(DAY_MS - 10_000);
    expect(at).toBeGreaterThan(DAY_MS - 60_000);
  });

  it('keeps whole numbers whole, also beyond 32 bits', () => {
    const store = openStore(':memory:');
    store.takeOutbox(batch({ records: [recordRow({ first: 1, charge: 2 ** 40 + 1 })] }));
    expect(
      store.database.prepare('SELECT charge_millicoulombs AS c, typeof(charge_millicoulombs) AS t FROM records').get(),
    ).toEqual({ c: 2 ** 40 + 1, t: 'integer' });
  });

  it('counts a record that is partly known as missing for what it cannot store', () => {
    const store = openStore(':memory:');
    store.takeOutbox(batch({ records: [recordRow({ first: 1, span: 10 })] }));
    const { recordsThrough } = store.takeOutbox(batch({ records: [recordRow({ first: 8, span: 10 })] }));
    expect(recordsThrough).toBe(17);
    expect(store.database.prepare('SELECT records_stored, records_doubled, records_missing FROM queues').get()).toEqual(
      { records_stored: 10, records_doubled: 3, records_missing: 7 },
    );
  });

  it('hands on each event once', () => {
    const store = openStore(':memory:');
    const events = [eventRow({ sequence: 1, kind: 1 }), eventRow({ sequence: 2, kind: 1 })];
    expect(store.takeOutbox(batch({ events })).freshEvents).toHaveLength(2);
    expect(
      store.takeOutbox(batch({ events: [...events, eventRow({ sequence: 3, kind: 1 })] })).freshEvents,
    ).toHaveLength(1);
  });

  it('keeps the queues of two memories of one controller apart', () => {
    const store = openStore(':memory:');
    store.takeOutbox(batch({ incarnation: 7, records: [recordRow({ first: 1, span: 100 })] }));
    expect(store.takeOutbox(batch({ incarnation: 8, records: [recordRow({ first: 1 })] })).recordsThrough).toBe(1);
  });

  it('loses and doubles nothing, however often messages come again', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 1, maxLength: 20 }),
        fc.array(fc.nat(19), { maxLength: 40 }),
        (spans, again) => {
          const store = openStore(':memory:');
          let first = 1;
          const rows = spans.map((span) => {
            const row = recordRow({ first, span });
            first += span;
            return row;
          });
          rows.forEach((row, index) => {
            store.takeOutbox(batch({ records: [row] }));
            const earlier = rows[again[index] ?? -1];
            if (earlier !== undefined && rows.indexOf(earlier) <= index)
              store.takeOutbox(batch({ records: [earlier] }));
          });
          expect(store.database.prepare('SELECT sum(span) FROM records').pluck().get()).toBe(first - 1);
          expect(store.database.prepare('SELECT records_missing FROM queues').pluck().get()).toBe(0);
          store.close();
        },
      ),
      { numRuns: 30 },
    );
  });

  it('refuses a file that a newer version wrote, and says what to do', () => {
    const file = join(folderOnTrial(), 'newer.sqlite');
    const database = new Database(file);
    database.pragma('user_version = 999');
    database.close();
    expect(() => openStore(file)).toThrow(/schema 999.*newer version.*BATHKEEPER_DATA/s);
  });

  it('may be read by its owner only, its log as well, also where an older version left it open to others', () => {
    const file = join(folderOnTrial(), 'store.sqlite');
    writeFileSync(file, '', { mode: 0o644 });
    const store = openStore(file);
    for (const name of [file, `${file}-wal`]) expect(statSync(name).mode & 0o777, name).toBe(0o600);
    store.close();
  });

  it('syncs every commit to the disk', () => {
    const store = openStore(join(folderOnTrial(), 'store.sqlite'));
    // SQLite's documentation of PRAGMA synchronous: 2 is FULL.
    expect(store.database.pragma('synchronous', { simple: true })).toBe(2);
    expect(store.database.pragma('journal_mode', { simple: true })).toBe('wal');
    store.close();
  });

  it.skipIf(!existsSync(fileURLToPath(new URL('../../../dashboard/dist/server/store/store.js', import.meta.url))))(
    'has everything that was acknowledged before the process was killed (needs the built server)',
    async () => {
      const file = join(folderOnTrial(), 'killed.sqlite');
      const writer = spawn(process.execPath, [fileURLToPath(new URL('writer-to-kill.mjs', import.meta.url)), file], {
        stdio: ['ignore', 'pipe', 'inherit'],
      });
      let said = '';
      await new Promise<void>((done) => {
        writer.stdout.on('data', (bytes: Buffer) => {
          said += bytes.toString();
          if (said.split('\n').length > 100) writer.kill('SIGKILL');
        });
        writer.on('close', () => {
          done();
        });
      });
      const acknowledged = Number(said.split('\n').at(-2));
      expect(acknowledged).toBeGreaterThanOrEqual(490);
      const store = openStore(file);
      expect(store.database.prepare('SELECT count(*) FROM records WHERE first <= ?').pluck().get(acknowledged)).toBe(
        acknowledged,
      );
      expect(store.database.pragma('integrity_check', { simple: true })).toBe('ok');
      store.close();
    },
  );
});
