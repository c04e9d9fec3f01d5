/*
 * A process to be killed: writes records into a store as fast as it can and says on standard output what it would have
 * acknowledged. Started by store.test.ts with the compiled server; it never ends by itself.
 */
import { openStore } from '../../../dashboard/dist/server/store/store.js';

const store = openStore(process.argv[2]);
for (let first = 1; ; first += 5) {
  const records = [];
  for (let second = 0; second < 5; second++) {
    const row = new Array(17).fill(0);
    row[0] = first + second;
    row[1] = 1;
    records.push(row);
  }
  const { recordsThrough } = store.takeOutbox({
    controllerId: 'north-bench',
    incarnation: 7,
    boot: 1,
    uptimeTenths: first * 10,
    receivedAtMs: 1_000_000 + first * 1000,
    records,
    events: [],
  });
  process.stdout.write(`${String(recordsThrough)}\n`);
}
