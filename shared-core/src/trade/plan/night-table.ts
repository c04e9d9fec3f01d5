/* The night ahead as a table of words: where the phase changes, and every hour or so between. Read by the job sheet and the page. */
import { Phase } from '../../control/phase.js';
import { inUnits, type Unit, type UnitSystem } from '../units.js';
import { shownWith } from '../words-in-units.js';
import type { Band, PlanNightPoint } from './plan-night.js';

export interface NightTable {
  readonly head: readonly string[];
  /** As many cells as the head. */
  readonly rows: readonly (readonly string[])[];
}

const phaseWords: Partial<Record<Phase, string>> = {
  [Phase.strike]: 'strike',
  [Phase.ramp]: 'ramp',
  [Phase.plate]: 'plate',
  [Phase.finish]: 'finish',
  [Phase.done]: 'open',
};

const columns = ['After', 'Phase', 'Current', 'Average', 'Supply', 'Bath'] as const;
/** A sheet of paper has room for some twenty rows. */
const hoursRows = 16;

/** A column about which no row has a word is left out. */
export function nightTable(night: readonly PlanNightPoint[], units: UnitSystem): NightTable {
  const cells = turnsAndHours(night).map((point) => [
    clockFace(point.afterHours),
    phaseWords[point.phase] ?? '',
    shownWith(point.currentAmps, 'A', units, 3),
    shownWith(point.averageThicknessMicrometres, 'µm', units, 3),
    point.currentAmps > 0 ? bandWords(point.supplyVolts, 'V', units) : '',
    point.bathCelsius === undefined ? '' : bandWords(point.bathCelsius, '°C', units),
  ]);
  const isKept = columns.map((_, column) => cells.some((row) => row[column] !== ''));
  const kept = <Cell>(row: readonly Cell[]): Cell[] => row.filter((_, column) => isKept[column]);
  return { head: kept(columns), rows: cells.map(kept) };
}

/** Example: "1.4 to 2.6 V". */
export function bandWords({ low, high }: Band, unit: Unit, units: UnitSystem): string {
  const name = inUnits(low, unit, units).unit;
  return `${shownWith(low, unit, units, 2).replace(` ${name}`, '')} to ${shownWith(high, unit, units, 2)}`;
}

function turnsAndHours(night: readonly PlanNightPoint[]): PlanNightPoint[] {
  const end = night.at(-1)?.afterHours ?? 0;
  const everyHours = Math.max(1, Math.ceil(end / hoursRows));
  let nextHours = 0;
  return night.filter((point, index) => {
    const isTurn = point.phase !== night[index - 1]?.phase;
    if (!isTurn && point.afterHours < nextHours) return false;
    nextHours = point.afterHours + everyHours;
    return true;
  });
}

/** Hours and minutes. Example: `clockFace(2.5)` is "2:30". */
export function clockFace(hours: number): string {
  const minutes = Math.round(hours * 60);
  return `${String(Math.floor(minutes / 60))}:${String(minutes % 60).padStart(2, '0')}`;
}
