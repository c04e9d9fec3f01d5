/* A run of many records, for the tests and the benchmark of the import: plating at 19 A, a record a second. Its controller has told all of it and its end. */
import type { RunName } from '../../../../dashboard/server/export/stored-run.js';
import type { Store } from '../../../../dashboard/server/store/store.js';
import { eventRow, recordRow } from '../quiet-bath.js';

const RECORDS_AT_ONCE = 3600;

/** `beganAtMs`: of its first second. */
export function tellLong(
  store: Store,
  { controllerId, incarnation, run }: RunName,
  seconds: number,
  beganAtMs: number,
): void {
  for (let from = 1; from <= seconds; from += RECORDS_AT_ONCE) {
    const through = Math.min(seconds, from + RECORDS_AT_ONCE - 1);
    const records = [];
    for (let first = from; first <= through; first++)
      records.push(recordRow({ first, run, charge: 19_000 * first, currentMax: 1910 + (first % 7), voltageSum: 2100 + (first % 11), pulses: first % 5 })); // prettier-ignore
    store.takeOutbox({
      controllerId, incarnation, boot: 1, uptimeTenths: 10 * through, receivedAtMs: beganAtMs + 1000 * through, records,
      events: [eventRow({ sequence: through, run, kind: 5, uptime: 10 * through })],
    }); // prettier-ignore
  }
  store.database
    .prepare(
      `INSERT INTO runs VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), 0, CAST(? AS INTEGER), CAST(? AS INTEGER), 17, CAST(? AS INTEGER))`,
    )
    .run(controllerId, run, incarnation, beganAtMs, beganAtMs + 1000 * seconds, 19_000 * seconds);
}
