/*
 * What was logged as lines to draw: a point for each bucket, the least and the most of current, voltage, resistance and temperature beside their means, and a break wherever nothing was logged. Called by
 * the charts; pure. It leaves nothing out: every bucket that the dashboard sent is drawn.
 */
import type { Series } from '@bathkeeper/shared-core/messages';
import { inUnits, type UnitSystem } from '@bathkeeper/shared-core/trade';
import type { BandPoint } from '../night/band-model.js';

export const quantities = [
  'current',
  'currentMin',
  'currentMax',
  'permitted',
  'setPoint',
  'voltage',
  'voltageMin',
  'voltageMax',
  'resistance',
  'resistanceMin',
  'resistanceMax',
  'temperature',
  'temperatureMin',
  'temperatureMax',
  'rotation',
  'charge',
] as const;
export type ChartQuantity = (typeof quantities)[number];
export type ChartLines = Readonly<Record<ChartQuantity, readonly BandPoint[]>>;

/** Records come once a second, now and then one late. */
const LATE_MS = 2000;
/** Below, a quotient of voltage and current tells of the meter more than of the bath; common practice, no source. */
const RESISTANCE_AMPS_MIN = 0.2;

/** The resistance at the terminals in milliohms: voltage by current, both as means over the bucket; null where hardly any current flows. */
export function milliohms(volts: number | null, amps: number | null): number | null {
  return volts === null || amps === null || amps < RESISTANCE_AMPS_MIN ? null : (1000 * volts) / amps;
}

/** When a bucket's last logged second ends; a record that an outage merged reaches beyond its bucket. */
export const endOf = (series: Series, index: number): number =>
  series.startMs[index]! + Math.max(series.bucketMs, series.seconds[index]! * 1000);

/** Nothing was logged between a bucket and the one before it. */
export const isAfterGap = (series: Series, index: number): boolean =>
  index > 0 && series.startMs[index]! - endOf(series, index - 1) > LATE_MS;

/** Where a bucket is drawn. A merged record stands for all of its seconds. */
export const middleOf = (series: Series, index: number): number =>
  (series.startMs[index]! + Math.min(endOf(series, index), series.startMs[index + 1] ?? Infinity)) / 2;

function valuesAt(series: Series, index: number, units: UnitSystem): Record<ChartQuantity, number | null> {
  const warmth = (celsius: number | null): number | null =>
    celsius === null ? null : inUnits(celsius, '°C', units).value;
  return {
    current: series.currentMeanAmps[index]!,
    currentMin: series.currentMinAmps[index]!,
    currentMax: series.currentMaxAmps[index]!,
    permitted: series.permittedAmps[index]!,
    setPoint: series.setPointAmps[index]!,
    voltage: series.voltageVolts[index]!,
    voltageMin: series.voltageMinVolts[index]!,
    voltageMax: series.voltageMaxVolts[index]!,
    resistanceMin: series.resistanceMinMilliohms[index]!,
    resistanceMax: series.resistanceMaxMilliohms[index]!,
    resistance: milliohms(series.voltageVolts[index]!, series.currentMeanAmps[index]!),
    temperature: warmth(series.temperatureCelsius[index]!),
    temperatureMin: warmth(series.temperatureMinCelsius[index]!),
    temperatureMax: warmth(series.temperatureMaxCelsius[index]!),
    rotation: series.rotationPulsesPerMinute[index]!,
    charge: series.chargeAmpereHours[index]!,
  };
}

/**
 * `placed`: where a moment within a bucket lies on the axis, null where it lies nowhere. Lines begin and end with the logged time, so that one bucket alone
 * between two gaps is seen.
 */
export function chartLines(
  series: Series,
  units: UnitSystem,
  placed: (atMs: number, index: number) => number | null = (atMs) => atMs,
): ChartLines {
  const lines = Object.fromEntries(quantities.map((one) => [one, [] as BandPoint[]])) as Record<
    ChartQuantity,
    BandPoint[]
  >;
  const put = (atMs: number, index: number, values: Readonly<Record<ChartQuantity, number | null>> | null): void => {
    const x = placed(atMs, index);
    if (x !== null) for (const one of quantities) lines[one].push({ x, y: values?.[one] ?? Number.NaN });
  };
  const last = series.startMs.length - 1;
  for (let index = 0; index <= last; index++) {
    const values = valuesAt(series, index, units);
    const isFirst = index === 0 || isAfterGap(series, index);
    if (isFirst && index > 0) put(series.startMs[index]!, index, null);
    if (isFirst) put(series.startMs[index]!, index, values);
    put(middleOf(series, index), index, values);
    if (index === last || isAfterGap(series, index + 1)) put(endOf(series, index), index, values);
    // The count begins anew with each run; of a year each bucket may be of another one, and is still seen.
    else if (series.run[index + 1] !== series.run[index]) {
      const [x, next] = [placed(endOf(series, index), index), placed(series.startMs[index + 1]!, index + 1)];
      if (x !== null) lines.charge.push({ x, y: values.charge ?? Number.NaN }, { x, y: Number.NaN });
      if (next !== null) lines.charge.push({ x: next, y: series.chargeAmpereHours[index + 1]! });
    }
  }
  return lines;
}
