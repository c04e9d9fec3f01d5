/* The night band before it is drawn: gaps, axis, ticks, marks; and the night in words. */
import { Phase } from '@bathkeeper/shared-core/control';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  axisFraction,
  bandAxis,
  bandLines,
  groupedMarks,
  laneTickValues,
  phaseSpans,
} from '../../../dashboard/page/night/band-model.js';
import { nightRows, nightSummary, pointNear, pointWords } from '../../../dashboard/page/night/night-words.js';
import { outlookShape } from '../../../dashboard/page/recipe/outlook-shape.js';
import { cannedNight, earlierWarm, NIGHT_MS, recipe, stalled } from '../../browser/canned-night.js';

const night = cannedNight([stalled, earlierWarm]);
const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const hour = 3_600_000;

describe('lines', () => {
  test('an unbroken night has no gap', () => {
    expect(bandLines(night, recipe).current.some((p) => Number.isNaN(p.y))).toBe(false);
  });
  test('a hole in the records breaks the line', () => {
    const holed = { ...night, measured: night.measured.filter((_, k) => k < 200 || k > 240) };
    const gaps = bandLines(holed, recipe).current.filter((p) => Number.isNaN(p.y));
    expect(gaps).toHaveLength(1);
  });
  test('a faulty reading is a gap, never a zero', () => {
    const faulty = {
      ...night,
      measured: night.measured.map((p) => ({ ...p, currentAmps: null, bathTemperatureCelsius: null })),
    };
    const lines = bandLines(faulty, recipe);
    expect(lines.current.every((p) => Number.isNaN(p.y))).toBe(true);
    expect(lines.temperature.every((p) => Number.isNaN(p.y))).toBe(true);
  });
  test('thickness follows the charge in proportion to the recipe', () => {
    const { thickness } = bandLines(night, recipe);
    const last = night.measured.at(-1)!;
    expect(thickness.at(-1)!.y).toBeCloseTo((300 * last.chargeAmpereHours) / 271.8, 9);
  });
});

describe('axis', () => {
  test('reaches from the start to the planned finish', () => {
    expect(bandAxis(night, NIGHT_MS, true)).toEqual({ fromMs: night.startedAtMs, toMs: night.planned.at(-1)!.atMs });
  });
  test('never ends before now while the run lasts, and not after its end when it is over', () => {
    const unplanned = { ...night, planned: [] };
    expect(bandAxis(unplanned, NIGHT_MS + hour, true).toMs).toBe(NIGHT_MS + hour);
    expect(bandAxis(unplanned, NIGHT_MS + hour, false).toMs).toBe(unplanned.measured.at(-1)!.atMs);
  });
  test('an empty series still has an axis', () => {
    const empty = { ...night, measured: [], planned: [] };
    const axis = bandAxis(empty, empty.startedAtMs, false);
    expect(axis.toMs - axis.fromMs).toBe(60_000);
  });
  test('lane ticks are round, inside the lane, and few', () => {
    expect(laneTickValues(0, 375, 4)).toEqual([100, 200, 300]);
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 50, noNaN: true }),
        fc.double({ min: 0.5, max: 5000, noNaN: true }),
        (from, span) => {
          const values = laneTickValues(from, from + span, 4);
          return values.length <= 6 && values.every((v) => v > from && v < from + span);
        },
      ),
    );
  });
  test.each([
    ['a cell voltage that began at nothing', -0.06, 0.87, [0.2, 0.4, 0.6]],
    ['a bath near 20 °C', 18.3, 24.2, [20, 22]],
    ['a cell of some volts', -0.1, 2.7, [1, 2]],
  ])('marks a low lane twice at least: %s', (_, from, to, expected) => {
    const values = laneTickValues(from, to, 2).map((value) => Number(value.toFixed(9)));
    expect(values).toEqual(expected);
  });
  test('marks of a low lane leave a line of 11 pixels each, from each other and from the next lane', () => {
    const pixels = 72;
    fc.assert(
      fc.property(
        fc.double({ min: -1000, max: 1000, noNaN: true }),
        fc.double({ min: 0.1, max: 5000, noNaN: true }),
        fc.constantFrom(2, 4),
        (from, span, count) => {
          const places = laneTickValues(from, from + span, count).map((value) => ((value - from) / span) * pixels);
          expect(places.length).toBeGreaterThanOrEqual(2);
          places.forEach((place, k) => {
            expect(place - (places[k - 1] ?? place - pixels)).toBeGreaterThan(11);
          });
          expect(places[0]).toBeGreaterThan(11 / 2);
          expect(places.at(-1)).toBeLessThan(pixels - 11 / 2);
        },
      ),
    );
  });
  test('phases end where the next begins, the last one now', () => {
    const spans = phaseSpans(night, NIGHT_MS);
    expect(spans.map((s) => s.phase)).toEqual([Phase.strike, Phase.ramp, Phase.plate]);
    expect(spans.at(-1)!.toMs).toBe(NIGHT_MS);
    expect(spans[0]!.toMs).toBe(spans[1]!.fromMs);
  });
});

describe('marks', () => {
  const axis = { fromMs: 0, toMs: 1000 };
  test('no alarm is lost in grouping, and groups keep at least half a fingertip apart', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 1000 }), { maxLength: 40 }), (times) => {
        const marks = times.map((atMs, k) => ({ alarmId: k, name: 'trip' as const, atMs, untilMs: null }));
        const groups = groupedMarks(marks, axis, 300);
        const count = groups.reduce((sum, g) => sum + g.marks.length, 0);
        return (
          count === times.length && groups.every((g, k) => k === 0 || g.leftPixels - groups[k - 1]!.leftPixels >= 22)
        );
      }),
    );
  });
  test('marks far apart stay single', () => {
    const marks = [100, 900].map((atMs) => ({ alarmId: atMs, name: 'trip' as const, atMs, untilMs: null }));
    expect(groupedMarks(marks, axis, 300).map((g) => g.leftPixels)).toEqual([30, 270]);
    expect(axisFraction(axis, 5000)).toBe(1);
  });
});

describe('the night in words', () => {
  test('says from when, between what, how much, how many alarms', () => {
    const words = plain(nightSummary(night, recipe, NIGHT_MS, { timeZone: 'UTC' }));
    expect(words).toMatch(
      /^Night from 22:24: current between 3\.\d A and 19\.\d A, bath between 21\.6 °C and 2\d\.\d °C, 7\d µm so far, planned to end .*; 2 alarms\.$/,
    );
  });
  test('says that nothing was measured rather than making up numbers', () => {
    expect(nightSummary({ ...night, measured: [] }, recipe, NIGHT_MS, { timeZone: 'UTC' })).toBe(
      'Night from 22:24: nothing measured yet.',
    );
  });
  test('tells the point under the finger, and none where there is none', () => {
    const point = pointNear(night, night.measured[100]!.atMs + 3000, 20_000);
    expect(point).toBe(night.measured[100]);
    expect(plain(pointWords(point!, recipe, { timeZone: 'UTC' }))).toMatch(
      /^22:57: .* A \(.* to .* A\), .* permitted, bath .* °C, .* µm$/,
    );
    expect(pointNear(night, NIGHT_MS + hour, 20_000)).toBeNull();
  });
  test('the table holds the first and the last point', () => {
    const rows = nightRows(night, recipe, { timeZone: 'UTC' });
    expect(rows).toHaveLength(12);
    expect(rows[0]!.atMs).toBe(night.measured[0]!.atMs);
    expect(rows.at(-1)!.atMs).toBe(night.measured.at(-1)!.atMs);
    expect(nightRows({ ...night, measured: night.measured.slice(0, 1) }, recipe)).toHaveLength(1);
  });
  test('the outlook of a plan is drawn, of an empty plan it is not', () => {
    expect(outlookShape(night.planned, 360, 96)!.thickness).toMatch(/^M0 96L.*Z$/);
    expect(outlookShape([], 360, 96)).toBeNull();
  });
});
