/* A copy of the store while it is written, opened again as a store. */
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { backUp } from '../../../../dashboard/server/keeping/backup.js';
import { openStore, type Store } from '../../../../dashboard/server/store/store.js';
import { CONTROLLER, EVENING_MS, folderOnTrial } from '../dashboard-on-trial.js';
import { recordRow } from '../quiet-bath.js';

function take(store: Store, first: number): void {
  store.takeOutbox({ controllerId: CONTROLLER, incarnation: 7, boot: 1, uptimeTenths: first * 10, receivedAtMs: EVENING_MS + first * 1000, records: [recordRow({ first })], events: [] }); // prettier-ignore
}

describe('a backup', () => {
  it('holds everything that was acknowledged until then, is its owner’s alone, and opens as a store that goes on', () => {
    const folder = folderOnTrial();
    const store = openStore(join(folder, 'store.sqlite'));
    for (let first = 1; first <= 200; first++) take(store, first);
    const copy = join(folder, 'copy.sqlite');
    backUp(join(folder, 'store.sqlite'), copy);
    take(store, 201);
    store.close();
    expect(statSync(copy).mode & 0o777).toBe(0o600);
    const restored = openStore(copy);
    expect(restored.database.prepare('SELECT count(*) FROM records').pluck().get()).toBe(200);
    expect(restored.database.prepare('SELECT sum(seconds) FROM minutes').pluck().get()).toBe(200);
    take(restored, 201);
    expect(restored.database.prepare('SELECT records_through FROM queues').pluck().get()).toBe(201);
    restored.close();
  });

  it('is never written over a file, and leaves nothing behind when it cannot be made', () => {
    const folder = folderOnTrial();
    const kept = join(folder, 'kept.sqlite');
    writeFileSync(kept, 'the older one');
    expect(() => {
      backUp(join(folder, 'none.sqlite'), join(folder, 'copy.sqlite'));
    }).toThrow(/no store at .*BATHKEEPER_DATA/);
    writeFileSync(join(folder, 'foreign.sqlite'), 'this is no store, and long enough to be read as a page'.repeat(40));
    expect(() => {
      backUp(join(folder, 'foreign.sqlite'), kept);
    }).toThrow(/exists already/);
    expect(() => {
      backUp(join(folder, 'foreign.sqlite'), join(folder, 'copy.sqlite'));
    }).toThrow(/not a database/);
    expect(readFileSync(kept, 'utf8')).toBe('the older one');
    expect(existsSync(join(folder, 'copy.sqlite'))).toBe(false);
    expect(readdirSync(folder).sort()).toEqual(['foreign.sqlite', 'kept.sqlite']);
  });
});
