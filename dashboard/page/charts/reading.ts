/* The charts in words: what stood at one moment, the same as a table, and what is seen as a whole, for those who do not see it. Called by the charts; pure. */
import type { Series } from '@bathkeeper/shared-core/messages';
import { inUnits, type UnitSystem } from '@bathkeeper/shared-core/trade';
import { ampereHoursWords, ampsWords, NO_READING, rotationWords, voltsWords } from '../words/numbers.js';
import { phaseName } from '../words/phases.js';
import { calendarDay, clockTime, clockTimeToSecond, datedDay, spanWords } from '../words/times.js';
import { endOf, middleOf, milliohms } from './lines.js';
import type { View } from './view.js';

const FIXED_SPACE = '\u00a0';
const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;

/** The bucket in which a moment lies, or the one next to it within `withinMs`; null: nothing was logged there. */
export function bucketAt(series: Series, atMs: number, withinMs: number): number | null {
  let [low, high] = [0, series.startMs.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (series.startMs[middle]! <= atMs) low = middle + 1;
    else high = middle;
  }
  if (low > 0 && atMs < endOf(series, low - 1)) return low - 1;
  const near = [low - 1, low].filter((index) => index >= 0 && index < series.startMs.length);
  const away = (index: number): number => Math.abs(middleOf(series, index) - atMs);
  const nearest = near.sort((one, other) => away(one) - away(other))[0];
  return nearest !== undefined && away(nearest) <= withinMs ? nearest : null;
}

export interface ReadingLine {
  readonly label: string;
  readonly words: string;
}

/** Now, and the zone whose clocks are read: what a moment is told by. */
export interface Reader {
  readonly nowMs: number;
  readonly zone: string;
}

/** Example: "Thu 26 Nov, 03:10:21", in another year "Tue 26 Nov 2024, 03:10:21"; of a bucket longer than a second "Thu 26 Nov, 03:10 to 03:20". */
export function bucketWhen(series: Series, index: number, reader: Reader): string {
  const [from, to] = [series.startMs[index]!, endOf(series, index)];
  return to - from <= 1000 ? momentWords(from, reader, 1000) : spanOfTime(from, to, reader, to - from);
}

/** Example: "Wed 25 Nov, 22:10 to Thu 26 Nov, 06:40". */
export function viewWhen({ from, to }: View, reader: Reader): string {
  return spanOfTime(from, to, reader, to - from > HOUR_MS ? 60_000 : 1000);
}

function spanOfTime(from: number, to: number, reader: Reader, grainMs: number): string {
  const isOneDay = calendarDay(from, reader.zone) === calendarDay(to, reader.zone);
  const until = isOneDay ? clockWords(to, reader.zone, grainMs) : momentWords(to, reader, grainMs);
  return `${momentWords(from, reader, grainMs)} to ${until}`;
}

function clockWords(atMs: number, zone: string, toMs: number): string {
  return toMs < 60_000 ? clockTimeToSecond(atMs, zone) : clockTime(atMs, zone);
}

function momentWords(atMs: number, { nowMs, zone }: Reader, toMs: number): string {
  return `${datedDay(atMs, nowMs, zone)}, ${clockWords(atMs, zone, toMs)}`;
}

export function temperatureWords(celsius: number | null, units: UnitSystem): string {
  if (celsius === null) return NO_READING;
  const { value, unit } = inUnits(celsius, '°C', units);
  return value.toFixed(1).replace('-', '\u2212') + FIXED_SPACE + unit;
}

export function resistanceWords(value: number | null): string {
  return value === null ? 'no current' : value.toFixed(value < 99.95 ? 1 : 0) + FIXED_SPACE + 'mΩ';
}

function currentWords(series: Series, index: number): string {
  const [mean, least, most] = [series.currentMeanAmps[index]!, series.currentMinAmps[index]!, series.currentMaxAmps[index]!]; // prettier-ignore
  const isSpread = least !== null && most !== null && most - least >= 0.02;
  return ampsWords(mean) + (isSpread ? ` (${ampsWords(least)} to ${ampsWords(most)})` : '');
}

/** Example: "2.10 V (2.02 V to 2.31 V)"; the mean alone where least and most are the same words. */
function withSpread(
  mean: number | null,
  least: number | null,
  most: number | null,
  words: (value: number | null) => string,
): string {
  const isSpread = least !== null && most !== null && words(least) !== words(most);
  return words(mean) + (isSpread ? ` (${words(least)} to ${words(most)})` : '');
}

/** Of a ramp that was eased the controller logs what it permitted alone. */
function setPointWords(amps: number | null): string {
  return amps === null ? 'not known' : ampsWords(amps);
}

/** Everything that was logged in one bucket. */
export function readingLines(series: Series, index: number, units: UnitSystem): ReadingLine[] {
  const [volts, amps] = [series.voltageVolts[index]!, series.currentMeanAmps[index]!];
  const logged = series.seconds[index]!;
  const asked = (endOf(series, index) - series.startMs[index]!) / 1000;
  return [
    { label: 'Current', words: currentWords(series, index) },
    { label: 'Set-point', words: setPointWords(series.setPointAmps[index]!) },
    { label: 'Permitted', words: ampsWords(series.permittedAmps[index]!) },
    {
      label: 'Cell voltage',
      words: withSpread(volts, series.voltageMinVolts[index]!, series.voltageMaxVolts[index]!, voltsWords),
    },
    {
      label: 'Resistance',
      words: withSpread(
        milliohms(volts, amps),
        series.resistanceMinMilliohms[index]!,
        series.resistanceMaxMilliohms[index]!,
        resistanceWords,
      ),
    },
    {
      label: 'Bath',
      words: withSpread(
        series.temperatureCelsius[index]!,
        series.temperatureMinCelsius[index]!,
        series.temperatureMaxCelsius[index]!,
        (celsius) => temperatureWords(celsius, units),
      ),
    },
    { label: 'Rotation', words: rotationWords(series.rotationPulsesPerMinute[index]!) },
    { label: 'Charge of the run', words: ampereHoursWords(series.chargeAmpereHours[index]!) },
    { label: 'Phase', words: phaseName[series.phase[index]!] },
    ...(logged < asked * 0.95 ? [{ label: 'Logged', words: `${spanWords(logged)} of ${spanWords(asked)}` }] : []),
  ];
}

const mostOf = (values: readonly (number | null)[]): number =>
  values.reduce<number>((most, value) => (value !== null && value > most ? value : most), -Infinity);
const leastOf = (values: readonly (number | null)[]): number =>
  values.reduce<number>((least, value) => (value !== null && value < least ? value : least), Infinity);

/** Example: "From Wed 25 Nov, 22:10 to Thu 26 Nov, 06:40, a point every 36 s: current 0.00 A to 19.3 A, bath 21.8 °C to 25.1 °C." */
export function chartSummary(series: Series | null, view: View, units: UnitSystem, reader: Reader): string {
  const grain = view.to - view.from > 2 * DAY_MS ? 60_000 : 1000;
  const seen = `From ${momentWords(view.from, reader, grain)} to ${momentWords(view.to, reader, grain)}`;
  if (series === null) return `${seen}.`;
  if (series.startMs.length === 0) return `${seen}: nothing was logged.`;
  const clauses = [];
  const highest = mostOf(series.currentMaxAmps);
  if (highest > -Infinity)
    clauses.push(`current ${ampsWords(leastOf(series.currentMinAmps))} to ${ampsWords(highest)}`);
  const warmest = mostOf(series.temperatureCelsius);
  if (warmest > -Infinity)
    clauses.push(
      `bath ${temperatureWords(leastOf(series.temperatureCelsius), units)} to ${temperatureWords(warmest, units)}`,
    );
  return `${seen}, a point every ${spanWords(series.bucketMs / 1000)}${clauses.length === 0 ? '' : `: ${clauses.join(', ')}`}.`;
}

const TABLE_ROWS = 12;

/** Buckets for a table, evenly among those that were logged, first and last included. */
export function tableBuckets(series: Series): number[] {
  const count = series.startMs.length;
  const rows = Math.min(TABLE_ROWS, count);
  const chosen = new Set<number>();
  for (let row = 0; row < rows; row++) chosen.add(rows === 1 ? 0 : Math.round((row * (count - 1)) / (rows - 1)));
  return [...chosen];
}
