/*
 * The least and the most of voltage, resistance and temperature in the sums over records: of the means of the records themselves, a second each unless an outage merged
 * them. Whole numbers: millivolts, microohms, hundredths of a degree. Used where records are stored and, as SQL, where they are read; the schema says it once more for the records of an older store.
 * Where a mean is no whole number the least is rounded down and the most up, so that neither is ever inside of what was measured.
 */

/** In the order of the columns that end a sum, each with `_min` and `_max`. */
export const EXTREMES = ['voltage', 'resistance', 'temperature'] as const;
/** Least and most of each, in turn; null: no reading. */
export type Extremes = readonly (number | null)[];

/** Below it a quotient of voltage and current tells of the meter more than of the bath: 0.2 A in hundredths; common practice, no source. */
export const RESISTANCE_CENTIAMPERES_MIN = 20;
/** Millivolts by hundredths of an ampere are tenths of an ohm. */
const MICROOHMS = 100_000;

export interface RecordSums {
  readonly electricCount: number;
  readonly currentSum: number;
  readonly voltageSum: number;
  readonly temperatureCount: number;
  readonly temperatureSum: number;
}

/** Example: 2100 mV at 19.00 A is 110,526.3 microohms: least 110,526, most 110,527. */
export function extremesOf(one: RecordSums): Extremes {
  const { electricCount, currentSum, voltageSum, temperatureCount, temperatureSum } = one;
  const hasCurrent = electricCount > 0 && currentSum >= RESISTANCE_CENTIAMPERES_MIN * electricCount;
  return [
    ...both(voltageSum, electricCount),
    ...(hasCurrent ? both(voltageSum * MICROOHMS, currentSum) : [null, null]),
    ...both(temperatureSum, temperatureCount),
  ];
}

function both(sum: number, count: number): (number | null)[] {
  return count > 0 ? [Math.floor(sum / count), Math.ceil(sum / count)] : [null, null];
}

/** The wider of two. */
export function widened(one: Extremes, other: Extremes): Extremes {
  return one.map((value, index) => {
    const next = other[index] ?? null;
    if (value === null || next === null) return value ?? next;
    return index % 2 === 0 ? Math.min(value, next) : Math.max(value, next);
  });
}

/** SQL divides towards zero. Each is one division, since a day of seconds is read at once. */
const floored = (sum: string, count: string): string =>
  `(${sum} - CASE WHEN ${sum} < 0 THEN ${count} - 1 ELSE 0 END) / ${count}`;
const ceiled = (sum: string, count: string): string =>
  `(${sum} + CASE WHEN ${sum} > 0 THEN ${count} - 1 ELSE 0 END) / ${count}`;
/** The mean of one reading, as nearly every record has it, is that reading. */
const mean = (of: typeof floored, sum: string, count: string): string =>
  `CASE WHEN ${count} = 1 THEN ${sum} WHEN ${count} > 0 THEN ${of(sum, count)} END`;
const ofCurrent = (of: typeof floored): string =>
  `CASE WHEN electric_count > 0 AND current_sum >= ${String(RESISTANCE_CENTIAMPERES_MIN)} * electric_count THEN ${of(`voltage_sum * ${String(MICROOHMS)}`, 'current_sum')} END`;

/** The same of a row of records in SQL, each under its column's name. */
export const EXTREMES_OF_RECORD = `
  ${mean(floored, 'voltage_sum', 'electric_count')} AS voltage_min, ${mean(ceiled, 'voltage_sum', 'electric_count')} AS voltage_max,
  ${ofCurrent(floored)} AS resistance_min, ${ofCurrent(ceiled)} AS resistance_max,
  ${mean(floored, 'temperature_sum', 'temperature_count')} AS temperature_min, ${mean(ceiled, 'temperature_sum', 'temperature_count')} AS temperature_max`;
