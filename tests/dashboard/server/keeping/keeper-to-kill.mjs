/*
 * A process to be killed: writes records, writes and lets the oldest go, writes and imports one run after the other, backs up, or migrates, as killed-store.test.ts asks, with the compiled server. While it writes it says on
 * standard output through which record it would have acknowledged.
 */
import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { openImports } from '../../../../dashboard/dist/server/export/imports.js';
import { setAside } from '../../../../dashboard/dist/server/export/set-aside.js';
import { backUp } from '../../../../dashboard/dist/server/keeping/backup.js';
import { openRecordAgeing } from '../../../../dashboard/dist/server/keeping/record-ageing.js';
import { openStore } from '../../../../dashboard/dist/server/store/store.js';

const [work, folder] = process.argv.slice(2);
const file = join(folder, 'bathkeeper.sqlite');
if (work === 'back up') {
  process.stdout.write('begun\n');
  for (let number = 1; ; number++) backUp(file, join(folder, `backup-${process.pid}-${number}.sqlite`));
}
if (work === 'migrate') process.stdout.write('begun\n');
const store = openStore(file);
// Kept for a hundred of them, so that within a test some are old enough.
const letGo = work === 'let go' ? openRecordAgeing(store, 100 / 86_400, 20) : () => 0;
const known = store.database.prepare("SELECT records_through FROM queues WHERE controller_id = 'north-bench'").pluck();
let first = (known.get() ?? 0) + 1;
function writeFive() {
  const records = [];
  for (let number = first; number < first + 5; number++) {
    const row = new Array(17).fill(0);
    // Number, span, boot, uptime, run, phase; charge, permitted, readings, current with least and most: their places as on the wire.
    row.splice(0, 6, number, 1, 1, number * 10, 1, 4);
    row.splice(7, 6, number * 19_000, 1900, 1, 1900 + (number % 13), 1890 + (number % 11), 1910 + (number % 17));
    records.push(row);
  }
  const { recordsThrough } = store.takeOutbox({
    controllerId: 'north-bench',
    incarnation: 7,
    boot: 1,
    uptimeTenths: first * 10,
    receivedAtMs: 1_768_000_000_000 + first * 1000,
    records,
    events: [],
  });
  process.stdout.write(`${recordsThrough}\n`);
  letGo(1_768_000_000_000 + first * 1000);
  first += 5;
}
if (work === 'import') {
  const ready = join(folder, `ready-${process.pid}.rows`);
  const taken = await setAside(join(folder, 'run.json'), ready);
  // Read once, since it is the steps into the store that are to be killed; each time as another run.
  const read = (_path, aside) => {
    copyFileSync(ready, aside);
    const run = 1 + store.database.prepare('SELECT coalesce(max(run), 0) FROM imported_runs').pluck().get();
    return Promise.resolve({ ...taken, header: { ...taken.header, run: { ...taken.header.run, run } } });
  };
  const failed = (what, fault) => {
    throw new Error(what, { cause: fault });
  };
  const between = () => {
    writeFive();
    return Promise.resolve();
  };
  const imports = openImports({ store, failed, read, between });
  for (;;) await imports.keep({ path: join(folder, 'run.json'), fileName: 'run.json', importedBy: 'Mara', nowMs: 1_768_000_000_000 }); // prettier-ignore
}
for (;;) writeFive();
