/*
 * The charge that went through a bath: of every run that its controller began while the bath stood under it. Called by the ledger's routes. The controller's own count,
 * whole millicoulombs; a dose is placed to the minute.
 */
import { controllerSpans, dosedAtMs, type LedgerEntry, type Worked } from '@bathkeeper/shared-core/trade';
import type { Store } from '../store/store.js';

interface RunRow {
  incarnation: number;
  run: number;
  charge: number;
  startedAtMs: number;
  endedAtMs: number | null;
}

const FAR_MINUTE = 1e9;
const minuteOf = (atMs: number): number => Math.floor(atMs / 60_000);

export function openWorkedCharge({ database }: Store): (entries: readonly LedgerEntry[]) => Worked {
  const runsWithin = database.prepare<[string, number, number], RunRow>(
    `SELECT incarnation, run, charge_millicoulombs AS charge, started_at_ms AS startedAtMs, ended_at_ms AS endedAtMs FROM runs
     WHERE controller_id = ? AND started_at_ms >= CAST(? AS INTEGER) AND started_at_ms < CAST(? AS INTEGER)`,
  );
  // The minutes of a run are kept for ever, each with the run's count at its end.
  const countWithin = database.prepare<[string, number, number, number, number], { charge: number | null }>(
    `SELECT max(s.charge_millicoulombs) AS charge FROM memories m JOIN minutes s ON s.controller = m.controller AND s.memory = m.memory
     WHERE m.controller_id = ? AND m.incarnation = CAST(? AS INTEGER) AND s.run = CAST(? AS INTEGER)
       AND s.minute BETWEEN CAST(? AS INTEGER) AND CAST(? AS INTEGER)`,
  );
  return (entries) => {
    const spans = controllerSpans(entries);
    const doseMs = dosedAtMs(entries);
    let millicoulombs = 0;
    let sinceDoseMillicoulombs = 0;
    for (const { controllerId, fromMs, toMs } of spans) {
      for (const one of runsWithin.all(controllerId, fromMs, toMs ?? Number.MAX_SAFE_INTEGER)) {
        const until = (minute: number): number =>
          countWithin.get(controllerId, one.incarnation, one.run, minuteOf(one.startedAtMs) - 1, minute)?.charge ?? 0;
        // An end tells whole coulombs, the minutes the millicoulombs.
        const whole = until(one.endedAtMs === null ? FAR_MINUTE : minuteOf(one.endedAtMs) + 1) || one.charge;
        millicoulombs += whole;
        sinceDoseMillicoulombs += whole - (doseMs === null ? 0 : until(minuteOf(doseMs)));
      }
    }
    const open = spans.at(-1);
    return {
      controllerId: open?.toMs === null ? open.controllerId : null,
      millicoulombs,
      sinceDoseMillicoulombs,
      dosedAtMs: doseMs,
    };
  };
}
