/*
 * The night ahead of a plan before it is drawn: lines in a person's units over an axis of milliseconds from the start, its phases, and what stands at one moment
 * in words. Called by the band; pure.
 */
import { Phase } from '@bathkeeper/shared-core/control';
import {
  type Band,
  bandWords,
  clockFace,
  inUnits,
  type PlanNightPoint,
  shownWith,
  type Unit,
  type UnitSystem,
} from '@bathkeeper/shared-core/trade';
import type { BandAxis, BandPoint, PhaseSpan } from '../night/band-model.js';

export interface BandLines {
  readonly low: readonly BandPoint[];
  readonly value: readonly BandPoint[];
  readonly high: readonly BandPoint[];
}

export interface AheadLines {
  readonly axis: BandAxis;
  readonly current: readonly BandPoint[];
  readonly thickness: readonly BandPoint[];
  readonly volts: BandLines;
  /** Undefined where nobody gave the volume of the bath. */
  readonly bath: BandLines | undefined;
}

const HOUR = 3_600_000;

/** The contactor opens at the end: there is a current of nothing, and no voltage. */
export function aheadLines(night: readonly PlanNightPoint[], units: UnitSystem): AheadLines {
  const line = (unit: Unit, read: (point: PlanNightPoint) => number | undefined): BandPoint[] =>
    night.flatMap((point) => {
      const value = read(point);
      return value === undefined ? [] : [{ x: point.afterHours * HOUR, y: inUnits(value, unit, units).value }];
    });
  const band = (unit: Unit, read: (point: PlanNightPoint) => Band | undefined): BandLines => ({
    low: line(unit, (point) => read(point)?.low),
    value: line(unit, (point) => read(point)?.value),
    high: line(unit, (point) => read(point)?.high),
  });
  const isBathKnown = night.some(({ bathCelsius }) => bathCelsius !== undefined);
  return {
    axis: { fromMs: 0, toMs: Math.max(60_000, (night.at(-1)?.afterHours ?? 0) * HOUR) },
    current: line('A', ({ currentAmps }) => currentAmps),
    thickness: line('µm', ({ averageThicknessMicrometres }) => averageThicknessMicrometres),
    volts: band('V', ({ supplyVolts, currentAmps }) => (currentAmps > 0 ? supplyVolts : undefined)),
    bath: isBathKnown ? band('°C', ({ bathCelsius }) => bathCelsius) : undefined,
  };
}

/** Phases with their ends, as far as they last. */
export function aheadSpans(night: readonly PlanNightPoint[]): PhaseSpan[] {
  const turns = night.filter(({ phase }, k) => phase !== night[k - 1]?.phase);
  return turns
    .map(({ phase, afterHours }, k) => ({
      phase,
      fromMs: afterHours * HOUR,
      toMs: (turns[k + 1]?.afterHours ?? afterHours) * HOUR,
    }))
    .filter(({ phase, fromMs, toMs }) => phase !== Phase.done && toMs > fromMs);
}

/** A moment of the axis. Example: `afterWords(5_400_000)` is "1:30 h". */
export function afterWords(afterMs: number): string {
  return `${clockFace(afterMs / HOUR)} h`;
}

/** Example: "After 2:30 h: 19.2 A, 141 µm on average, supply 1.9 to 3.1 V, bath 25 to 26 °C". Undefined outside the night. */
export function momentWords(night: readonly PlanNightPoint[], afterMs: number, units: UnitSystem): string | undefined {
  const point = pointAt(night, afterMs / HOUR);
  if (point === undefined) return undefined;
  return [
    `After ${afterWords(afterMs)}: ${shownWith(point.currentAmps, 'A', units, 3)}`,
    `${shownWith(point.averageThicknessMicrometres, 'µm', units, 3)} on average`,
    ...(point.currentAmps > 0 ? [`supply ${bandWords(point.supplyVolts, 'V', units)}`] : []),
    ...(point.bathCelsius === undefined ? [] : [`bath ${bandWords(point.bathCelsius, '°C', units)}`]),
  ].join(', ');
}

/** Between two points everything runs straight. */
function pointAt(night: readonly PlanNightPoint[], hours: number): PlanNightPoint | undefined {
  const after = night.findIndex(({ afterHours }) => afterHours >= hours);
  const [one, other] = [night[Math.max(0, after - 1)], night[after]];
  if (one === undefined || other === undefined) return undefined;
  const span = other.afterHours - one.afterHours;
  const share = span === 0 ? 1 : (hours - one.afterHours) / span;
  const between = (from: number, to: number): number => from + share * (to - from);
  const band = (from: Band, to: Band): Band => ({
    low: between(from.low, to.low),
    value: between(from.value, to.value),
    high: between(from.high, to.high),
  });
  return {
    afterHours: hours,
    phase: one.phase,
    currentAmps: between(one.currentAmps, other.currentAmps),
    chargeAmpereHours: between(one.chargeAmpereHours, other.chargeAmpereHours),
    averageThicknessMicrometres: between(one.averageThicknessMicrometres, other.averageThicknessMicrometres),
    supplyVolts: band(one.supplyVolts, other.supplyVolts),
    bathCelsius:
      one.bathCelsius === undefined || other.bathCelsius === undefined
        ? undefined
        : band(one.bathCelsius, other.bathCelsius),
  };
}

/** The whole of it in a sentence, for whoever does not see the band. */
export function aheadSummary(night: readonly PlanNightPoint[], units: UnitSystem): string {
  const last = night.at(-1);
  if (last === undefined) return 'No night to show.';
  const most = Math.max(...night.map(({ currentAmps }) => currentAmps));
  const volts = night.filter(({ currentAmps }) => currentAmps === most)[0]!.supplyVolts;
  const bath =
    last.bathCelsius === undefined ? '' : `, the bath at ${bandWords(last.bathCelsius, '°C', units)} in the end`;
  return (
    `The night ahead, ${afterWords(last.afterHours * HOUR)}: up to ${shownWith(most, 'A', units, 3)} at ${bandWords(volts, 'V', units)}, ` +
    `${shownWith(last.averageThicknessMicrometres, 'µm', units, 3)} on average${bath}.`
  );
}
