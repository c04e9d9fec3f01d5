/* Two runs on one axis: where each logged moment lies, by start and by charge, and which window of time is asked for what is seen. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chartLines } from '../../../../dashboard/page/charts/lines.js';
import {
  bucketAtPlace,
  type LaidRun,
  placedBy,
  placeTicks,
  wholeAxis,
  windowOf,
} from '../../../../dashboard/page/charts/two-runs.js';
import { aSeries, type Logged } from './a-series.js';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const BEGAN = Date.UTC(2026, 1, 9, 22, 4);
/** Ten hours at a steady current; an hour before it and after it another run was logged. */
const laid = (amps: number, startedAtMs = BEGAN, run = 3): LaidRun => ({
  controllerId: 'north-bench', run, startedAtMs, lastedUntilMs: startedAtMs + 10 * HOUR, measures: { chargeAmpereHours: 10 * amps },
}); // prettier-ignore
const logged = (amps: number, startedAtMs = BEGAN): Logged[] =>
  Array.from({ length: 720 }, (_, index) => {
    const startMs = startedAtMs - HOUR + index * MINUTE;
    const hours = (startMs + MINUTE - startedAtMs) / HOUR;
    const isOwn = hours > 0 && hours <= 10;
    return { startMs, run: isOwn ? 3 : 2, ampereHours: isOwn ? amps * hours : 500, mean: amps };
  });

describe('where a moment lies', () => {
  test('by start is the time since, by charge what had flowed; other runs lie nowhere', () => {
    const series = aSeries(MINUTE, logged(20));
    const byStart = chartLines(series, 'metric', placedBy('start', series, laid(20))).current;
    expect([byStart[0]!.x, byStart.at(-1)!.x]).toEqual([MINUTE / 2, 10 * HOUR - MINUTE / 2]);
    const byCharge = chartLines(series, 'metric', placedBy('charge', series, laid(20))).current;
    // The middle of the minute after five hours: 100 Ah and half a minute at 20 A.
    expect(byCharge.some(({ x }) => Math.abs(x - (100 + 20 / 120)) < 1e-9)).toBe(true);
    expect(byCharge.at(-1)!.x).toBeCloseTo(200 - 20 / 120, 9);
    for (let k = 1; k < byCharge.length; k++) expect(byCharge[k]!.x).toBeGreaterThanOrEqual(byCharge[k - 1]!.x);
  });

  test('two runs at different currents have the same charge at the same place', () => {
    const [slow, quick] = [aSeries(MINUTE, logged(10)), aSeries(MINUTE, logged(25, BEGAN + 3 * HOUR))];
    for (const place of [5, 40, 99]) {
      const one = bucketAtPlace('charge', slow, laid(10), place, 1)!;
      const other = bucketAtPlace('charge', quick, laid(25, BEGAN + 3 * HOUR), place, 1)!;
      expect(Math.abs(slow.chargeAmpereHours[one]! - place)).toBeLessThan(0.25);
      expect(Math.abs(quick.chargeAmpereHours[other]! - place)).toBeLessThan(0.25);
    }
    expect(bucketAtPlace('charge', slow, laid(10), 150, 1)).toBeNull();
    expect(bucketAtPlace('start', slow, laid(10), 2 * HOUR + 1, MINUTE)).toBe(180);
    expect(bucketAtPlace('start', slow, laid(10), -30 * MINUTE, MINUTE)).toBeNull();
  });
});

describe('the window that is asked for', () => {
  test('by start is the same stretch of each, and never beyond the run', () => {
    expect(windowOf('start', { from: HOUR, to: 2 * HOUR }, laid(20), null)).toEqual({
      from: BEGAN + HOUR,
      to: BEGAN + 2 * HOUR,
    });
    expect(windowOf('start', { from: 8 * HOUR, to: 14 * HOUR }, laid(20), null)).toEqual({
      from: BEGAN + 8 * HOUR,
      to: BEGAN + 10 * HOUR,
    });
    const beyond = windowOf('start', { from: 12 * HOUR, to: 14 * HOUR }, laid(20), null)!;
    expect(beyond.to).toBeGreaterThan(beyond.from);
  });

  test('by charge holds every logged minute whose charge is seen', () => {
    const series = aSeries(MINUTE, logged(20));
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 199, noNaN: true }),
        fc.double({ min: 0.5, max: 200, noNaN: true }),
        (from, length) => {
          const view = { from, to: Math.min(200, from + length) };
          const window = windowOf('charge', view, laid(20), series)!;
          for (const [index, startMs] of series.startMs.entries()) {
            const charge = series.chargeAmpereHours[index]!;
            if (series.run[index] !== 3 || charge < view.from || charge > view.to) continue;
            expect(startMs).toBeGreaterThanOrEqual(window.from);
            expect(startMs).toBeLessThan(window.to);
          }
        },
      ),
    );
    expect(windowOf('charge', { from: 0, to: 1 }, laid(20), null)).toBeNull();
  });
});

describe('the axis', () => {
  test('is as long as the longer run, and never nothing', () => {
    expect(wholeAxis('start', [laid(20), laid(10)])).toEqual({ from: 0, to: 10 * HOUR });
    expect(wholeAxis('charge', [laid(20), laid(10)])).toEqual({ from: 0, to: 200 });
    const none = { ...laid(0), lastedUntilMs: BEGAN };
    expect(wholeAxis('start', [none, none]).to).toBeGreaterThan(0);
    expect(wholeAxis('charge', [none, none]).to).toBeGreaterThan(0);
  });

  test.each([
    ['start', { from: 0, to: 10 * HOUR }, ['0 s', '2 h', '4 h', '6 h', '8 h', '10 h']],
    ['start', { from: HOUR, to: HOUR + 20_000 }, ['1 h', '01:00:05', '01:00:10', '01:00:15', '01:00:20']],
    ['start', { from: 0, to: 5 * HOUR }, ['0 s', '1 h', '2 h', '3 h', '4 h', '5 h']],
    ['start', { from: 0, to: 2 * HOUR }, ['0 s', '30 min', '1 h', '1 h 30 min', '2 h']],
    ['start', { from: 0, to: 5 * 60_000 }, ['0 s', '1 min', '2 min', '3 min', '4 min', '5 min']],
    ['start', { from: 0, to: 120 * HOUR }, ['0 s', '24 h', '2 days', '3 days', '4 days', '5 days']],
    ['charge', { from: 0, to: 154.2 }, ['0 Ah', '50 Ah', '100 Ah', '150 Ah']],
    ['charge', { from: 10, to: 10.6 }, ['10 Ah', '10.2 Ah', '10.4 Ah', '10.6 Ah']],
  ] as const)('is marked by %s at round places: %j', (alignment, view, expected) => {
    const ticks = placeTicks(alignment, view, alignment === 'start' ? 460 : 310);
    expect(ticks.map(({ words }) => words.replaceAll('\u00a0', ' '))).toEqual(expected);
  });
});
