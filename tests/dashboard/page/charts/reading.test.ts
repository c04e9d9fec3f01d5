/* The charts in words: a moment, a table, the whole. */
import { describe, expect, test } from 'vitest';
import {
  bucketAt,
  bucketWhen,
  chartSummary,
  readingLines,
  tableBuckets,
  viewWhen,
} from '../../../../dashboard/page/charts/reading.js';
import { aSeries, inARow } from './a-series.js';

const BEGAN = Date.UTC(2026, 1, 10, 2, 4);
const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const minutes = aSeries(60_000, [
  ...inARow(BEGAN, 60_000, 5),
  { startMs: BEGAN + 600_000, seconds: 15, max: 47.1, min: 0.5, celsius: null },
]); // prettier-ignore

describe('a moment', () => {
  test('is read in the bucket it lies in, or next to it, and nowhere in a gap', () => {
    expect(bucketAt(minutes, BEGAN + 61_000, 0)).toBe(1);
    expect(bucketAt(minutes, BEGAN + 320_000, 0)).toBeNull();
    expect(bucketAt(minutes, BEGAN + 320_000, 60_000)).toBe(4);
    expect(bucketAt(minutes, BEGAN + 599_000, 60_000)).toBe(5);
    expect(bucketAt(aSeries(1000, []), BEGAN, 1e9)).toBeNull();
  });
  test('is told with mean, extremes and everything beside it', () => {
    const told = Object.fromEntries(readingLines(minutes, 5, 'metric').map(({ label, words }) => [label, plain(words)]));
    expect(told).toEqual({
      Current: '19.0 A (0.50 A to 47.1 A)',
      'Set-point': '19.2 A',
      Permitted: '19.2 A',
      'Cell voltage': '1.90 V',
      Resistance: '100 mΩ',
      Bath: 'no reading',
      Rotation: '12.0 /min',
      'Charge of the run': '64.1 Ah',
      Phase: 'plate',
      Logged: '15 s of 60 s',
    });
    expect(plain(readingLines(minutes, 0, 'imperial')[5]!.words)).toBe('75.4 °F');
  }); // prettier-ignore
  test('is told with what the recipe asked for beside what was permitted, and says where that is not known', () => {
    const words = (of: object) => readingLines(aSeries(60_000, [{ startMs: BEGAN, ...of }]), 0, 'metric').slice(1, 3).map((line) => plain(line.words));
    expect(words({ setPoint: 19.2, permitted: 12 })).toEqual(['19.2 A', '12.0 A']);
    expect(words({ setPoint: null, permitted: 9.6 })).toEqual(['not known', '9.6 A']);
  }); // prettier-ignore
  test('is told with least and most of voltage, resistance and bath where they are other words than the mean', () => {
    const spread = { startMs: BEGAN, voltsSpread: [1.871, 5.6], milliohmsSpread: [98.1, 294.7], celsiusSpread: [23.9, 27.1] } as const;
    const words = (series: ReturnType<typeof aSeries>, units: 'metric' | 'imperial') =>
      readingLines(series, 0, units).filter(({ label }) => ['Cell voltage', 'Resistance', 'Bath'].includes(label)).map((line) => plain(line.words));
    expect(words(aSeries(60_000, [spread]), 'metric')).toEqual(['1.90 V (1.87 V to 5.60 V)', '100 mΩ (98.1 mΩ to 295 mΩ)', '24.1 °C (23.9 °C to 27.1 °C)']);
    expect(words(aSeries(60_000, [spread]), 'imperial')[2]).toBe('75.4 °F (75.0 °F to 80.8 °F)');
    expect(words(aSeries(60_000, [{ startMs: BEGAN, voltsSpread: [1.899, 1.901] }]), 'metric')).toEqual(['1.90 V', '100 mΩ', '24.1 °C']);
  }); // prettier-ignore
  test('is told to the second, by the minute, and with both days, by the clocks of the zone', () => {
    const when = (bucketMs: number, startMs: number) => plain(bucketWhen(aSeries(bucketMs, [{ startMs }]), 0, { nowMs: BEGAN, zone: 'Europe/Berlin' }));
    expect(when(1000, BEGAN + 21_000)).toBe('Tue 10 Feb, 03:04:21');
    expect(when(10_000, BEGAN)).toBe('Tue 10 Feb, 03:04:00 to 03:04:10');
    expect(when(600_000, BEGAN)).toBe('Tue 10 Feb, 03:04 to 03:14');
    expect(when(86_400_000, BEGAN)).toBe('Tue 10 Feb, 03:04 to Wed 11 Feb, 03:04');
  }); // prettier-ignore
  test('names its year where that is not this one, by the clocks of the zone', () => {
    // In Berlin it is 2027 an hour before it is in UTC. Wednesday and Thursday: reckoned from Monday 29 December 2025.
    const nowMs = Date.UTC(2026, 11, 31, 23, 30);
    const berlin = { nowMs, zone: 'Europe/Berlin' };
    expect(plain(bucketWhen(aSeries(1000, [{ startMs: nowMs }]), 0, berlin))).toBe('Fri 1 Jan, 00:30:00');
    expect(plain(bucketWhen(aSeries(86_400_000, [{ startMs: nowMs - 86_400_000 }]), 0, berlin))).toBe('Thu 31 Dec 2026, 00:30 to Fri 1 Jan, 00:30');
    expect(viewWhen({ from: BEGAN, to: BEGAN + 60_000 }, { nowMs, zone: 'UTC' })).toBe('Tue 10 Feb, 02:04:00 to 02:05:00');
    expect(viewWhen({ from: BEGAN, to: BEGAN + 86_400_000 }, berlin)).toBe('Tue 10 Feb 2026, 03:04 to Wed 11 Feb 2026, 03:04');
  }); // prettier-ignore
});

describe('the whole', () => {
  test('is told by its extremes', () => {
    const view = { from: BEGAN, to: BEGAN + 3_600_000 };
    const now = { nowMs: view.to, zone: 'UTC' };
    expect(plain(chartSummary(minutes, view, 'metric', now))).toBe('From Tue 10 Feb, 02:04:00 to Tue 10 Feb, 03:04:00, a point every 60 s: current 0.50 A to 47.1 A, bath 24.1 °C to 24.1 °C.');
    expect(chartSummary(aSeries(1000, []), view, 'metric', now)).toMatch(/: nothing was logged\.$/);
  }); // prettier-ignore
  test('is a table of a few rows, first and last among them', () => {
    expect(tableBuckets(minutes)).toEqual([0, 1, 2, 3, 4, 5]);
    const many = tableBuckets(aSeries(1000, inARow(0, 1000, 1000)));
    expect(many).toHaveLength(12);
    expect([many[0], many.at(-1)]).toEqual([0, 999]);
    expect(tableBuckets(aSeries(1000, []))).toEqual([]);
  });
});
