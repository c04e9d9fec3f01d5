/*
 * Where a record goes: into the raw records, and in the same transaction into the sums of its minute and its ten minutes, so that no record is
 * ever without them or in them twice. Called by the store with what is new, in the order of the controller's count; it judges nothing.
 */
import type Database from 'better-sqlite3';
import { RecordColumn } from '@bathkeeper/shared-core/messages';
import { type Extremes, EXTREMES, extremesOf, widened } from './record-extremes.js';

export type Row = readonly number[];

export interface TimedRecord {
  readonly row: Row;
  /** The end of the last second that it covers. */
  readonly takenAtMs: number;
}

export const MINUTE_MS = 60_000;
export const TEN_MINUTES_MS = 10 * MINUTE_MS;

interface Memory {
  memory: number;
  controller: number;
  newest_run: number;
  newest_charge: number;
}

/** Sums over some seconds of one run, in the order of the summary's columns after its key. */
interface Sums {
  readonly start: number;
  readonly run: number;
  seconds: number;
  phase: number;
  charge: number;
  chargeAdded: number;
  permittedSum: number;
  electricCount: number;
  currentSum: number;
  currentMin: number | null;
  currentMax: number | null;
  voltageSum: number;
  temperatureCount: number;
  temperatureSum: number;
  pulses: number;
  /** Of the records' own means, in the order of EXTREMES. */
  extremes: Extremes;
}

/** When its first second began to count, by which it is put into a minute: a merged record stays whole. */
export function begunAtMs(takenAtMs: number, span: number): number {
  return takenAtMs - (span - 1) * 1000;
}

/** Places for so many numbers, which the driver hands over as REAL. */
export function wholes(count: number): string {
  return Array.from({ length: count }, () => 'CAST(? AS INTEGER)').join(', ');
}

/** Within a transaction of the caller. */
export function openLoggedRecords(
  database: Database.Database,
): (controllerId: string, incarnation: number, records: readonly TimedRecord[]) => void {
  const readMemory = database.prepare<[string, number], Memory>(
    'SELECT memory, controller, newest_run, newest_charge FROM memories WHERE controller_id = ? AND incarnation = CAST(? AS INTEGER)',
  );
  const addMemory = database.prepare(
    `INSERT INTO memories
     SELECT next, coalesce((SELECT min(controller) FROM memories WHERE controller_id = :controllerId), next), :controllerId,
       CAST(:incarnation AS INTEGER), 0, 0, -1, 0
     FROM (SELECT 1 + coalesce(max(memory), 0) AS next FROM memories)`,
  );
  const noteNewest = database.prepare(
    `UPDATE memories SET newest_at_ms = CAST(? AS INTEGER), newest_phase = CAST(? AS INTEGER), newest_run = CAST(? AS INTEGER),
       newest_charge = CAST(? AS INTEGER) WHERE memory = CAST(? AS INTEGER)`,
  );
  const addRaw = database.prepare(`INSERT INTO raw_records VALUES (${wholes(21)})`);
  const addSums = (table: string, start: string): Database.Statement =>
    database.prepare(
      `INSERT INTO ${table} VALUES (${wholes(17 + 2 * EXTREMES.length)})
       ON CONFLICT (controller, ${start}, memory, run) DO UPDATE SET seconds = seconds + excluded.seconds, phase = excluded.phase,
         charge_millicoulombs = max(charge_millicoulombs, excluded.charge_millicoulombs), charge_added = charge_added + excluded.charge_added,
         permitted_sum = permitted_sum + excluded.permitted_sum, electric_count = electric_count + excluded.electric_count,
         current_sum = current_sum + excluded.current_sum,
         ${widerOf('min', 'current')}, ${widerOf('max', 'current')},
         voltage_sum = voltage_sum + excluded.voltage_sum, temperature_count = temperature_count + excluded.temperature_count,
         temperature_sum = temperature_sum + excluded.temperature_sum, pulses = pulses + excluded.pulses,
         ${EXTREMES.flatMap((one) => [widerOf('min', one), widerOf('max', one)]).join(', ')}`,
    );
  const addMinute = addSums('minutes', 'minute');
  const addTenMinutes = addSums('ten_minutes', 'ten_minute');

  const memoryOf = (controllerId: string, incarnation: number): Memory => {
    const known = readMemory.get(controllerId, incarnation);
    if (known !== undefined) return known;
    addMemory.run({ controllerId, incarnation });
    return readMemory.get(controllerId, incarnation)!;
  };
  const keep = (statement: Database.Statement, { controller, memory }: Memory, all: Iterable<Sums>): void => {
    for (const { start, ...sums } of all)
      statement.run(
        controller, start, memory, sums.run, sums.seconds, sums.phase, sums.charge, sums.chargeAdded, sums.permittedSum, sums.electricCount,
        sums.currentSum, sums.currentMin, sums.currentMax, sums.voltageSum, sums.temperatureCount, sums.temperatureSum, sums.pulses, ...sums.extremes,
      ); // prettier-ignore
  };

  return (controllerId, incarnation, records) => {
    const newest = records.at(-1);
    if (newest === undefined) return;
    const memory = memoryOf(controllerId, incarnation);
    let run = memory.newest_run;
    let charge = memory.newest_charge;
    const minutes = new Map<string, Sums>();
    const tenMinutes = new Map<string, Sums>();
    for (const { row, takenAtMs } of records) {
      const at = (column: keyof typeof RecordColumn): number => row[RecordColumn[column]] ?? 0;
      addRaw.run(
        memory.controller, takenAtMs, memory.memory, at('first'), at('span'), at('boot'), at('uptime'), at('run'), at('phase'), at('conditions'),
        at('charge'), at('permittedSum'), at('electricCount'), at('currentSum'), at('currentMin'), at('currentMax'), at('voltageSum'),
        at('temperatureCount'), at('temperatureSum'), at('pulses'), at('conditionsHigh'),
      ); // prettier-ignore
      const chargeAdded = at('charge') - (at('run') === run ? charge : 0);
      run = at('run');
      charge = at('charge');
      const begunMs = begunAtMs(takenAtMs, at('span'));
      add(minutes, Math.floor(begunMs / MINUTE_MS), row, chargeAdded);
      add(tenMinutes, Math.floor(begunMs / TEN_MINUTES_MS), row, chargeAdded);
    }
    keep(addMinute, memory, minutes.values());
    keep(addTenMinutes, memory, tenMinutes.values());
    noteNewest.run(newest.takenAtMs, newest.row[RecordColumn.phase], run, charge, memory.memory);
  };
}

function add(all: Map<string, Sums>, start: number, row: Row, chargeAdded: number): void {
  const at = (column: keyof typeof RecordColumn): number => row[RecordColumn[column]] ?? 0;
  const key = `${String(start)}/${String(at('run'))}`;
  const sums = all.get(key) ?? {
    start, run: at('run'), seconds: 0, phase: 0, charge: 0, chargeAdded: 0, permittedSum: 0, electricCount: 0, currentSum: 0, currentMin: null,
    currentMax: null, voltageSum: 0, temperatureCount: 0, temperatureSum: 0, pulses: 0, extremes: EXTREMES.flatMap(() => [null, null]),
  }; // prettier-ignore
  all.set(key, sums);
  sums.seconds += at('span');
  sums.phase = at('phase');
  sums.charge = Math.max(sums.charge, at('charge'));
  sums.chargeAdded += chargeAdded;
  sums.permittedSum += at('permittedSum');
  sums.electricCount += at('electricCount');
  sums.currentSum += at('currentSum');
  if (at('electricCount') > 0) {
    sums.currentMin = Math.min(sums.currentMin ?? Infinity, at('currentMin'));
    sums.currentMax = Math.max(sums.currentMax ?? -Infinity, at('currentMax'));
  }
  sums.voltageSum += at('voltageSum');
  sums.temperatureCount += at('temperatureCount');
  sums.temperatureSum += at('temperatureSum');
  sums.pulses += at('pulses');
  sums.extremes = widened(
    sums.extremes,
    extremesOf({ electricCount: at('electricCount'), currentSum: at('currentSum'), voltageSum: at('voltageSum'), temperatureCount: at('temperatureCount'), temperatureSum: at('temperatureSum') }), // prettier-ignore
  );
}

/** Of an extreme that is kept and one that comes, the wider; of one alone that one. */
function widerOf(which: 'min' | 'max', name: string): string {
  const column = `${name}_${which}`;
  return `${column} = coalesce(${which}(${column}, excluded.${column}), ${column}, excluded.${column})`;
}
