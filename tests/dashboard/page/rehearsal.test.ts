/* What is typed for a rehearsal, and the lines that draw a played night. */
import { describe, expect, test } from 'vitest';
import { Phase } from '@bathkeeper/shared-core/control';
import type { RehearsalResult } from '@bathkeeper/shared-core/trade';
import { faultProblems, faultsAsked } from '../../../dashboard/page/rehearsal/faults-form.js';
import { playedLines, playedMoment, playedSpans } from '../../../dashboard/page/rehearsal/played-lines.js';

const choices = [
  { name: 'leak', words: 'The tank leaks', isMomentary: false },
  { name: 'power-cut', words: 'The power fails', isMomentary: true },
];

describe('what goes wrong', () => {
  test('is asked in minutes after the first current, and lasts to the end where nobody says', () => {
    const typed = [
      { name: 'leak', after: '1,5', lasts: '' },
      { name: 'leak', after: '0', lasts: '20' },
      { name: 'power-cut', after: '2', lasts: '7' },
    ];
    expect(faultsAsked(typed, choices)).toEqual([
      { name: 'leak', afterMinutes: 90 },
      { name: 'leak', afterMinutes: 0, minutes: 20 },
      // Over at once, whatever still stands in a field that is not shown.
      { name: 'power-cut', afterMinutes: 120 },
    ]);
    expect(faultsAsked([], choices)).toEqual([]);
  });
  test.each([
    [{ after: 'soon' }, 'after', /Type hours from 0 to 160, such as 1\.5; got “soon”\./],
    [{ after: '' }, 'after', /got “”/],
    [{ after: '161' }, 'after', /got “161”/],
    [{ lasts: '0' }, 'lasts', /Type minutes, such as 20, or leave it empty; got “0”\./],
    [{ lasts: '10001' }, 'lasts', /got “10001”/],
  ])('is told at its field: %j', (change, field, words) => {
    const typed = { name: 'leak', after: '1', lasts: '', ...change };
    expect(faultProblems(typed)).toEqual({ [field]: expect.stringMatching(words) });
    expect(faultsAsked([typed], choices)).toBeUndefined();
  });
});

const point = (afterHours: number, currentAmps: number, bathCelsius = 22): RehearsalResult['points'][number] => ({
  afterHours,
  currentAmps,
  terminalVolts: 2,
  bathCelsius,
  averageThicknessMicrometres: 10 * afterHours,
});

function result(change: Partial<RehearsalResult> = {}): RehearsalResult {
  return {
    points: [point(0, 0), point(1, 10, 23), point(2, 5, 24)],
    phases: [
      { phase: Phase.strike, afterHours: 0 },
      { phase: Phase.plate, afterHours: 0.5 },
      { phase: Phase.trip, afterHours: 1.5 },
    ],
    planned: [
      { afterHours: 0, currentAmps: 10 },
      { afterHours: 4, currentAmps: 10 },
    ],
    faults: [{ words: 'The tank leaks', afterHours: 1.5 }],
    told: [],
    ended: '',
    isAsPlanned: false,
    chargeAmpereHours: { planned: 40, played: 10 },
    averageThicknessMicrometres: { planned: 40, played: 20 },
    hours: { planned: 4, played: 2 },
    metal: 'copper',
    notes: [],
    ...change,
  };
}

const HOUR = 3_600_000;

describe('a played night', () => {
  test('lies on the axis of the plan, which shows what is missing, or beyond it where it lasted longer', () => {
    const lines = playedLines(result(), 'metric');
    expect(lines.axis).toEqual({ fromMs: 0, toMs: 4 * HOUR });
    expect(lines.current).toEqual([{ x: 0, y: 0 }, { x: HOUR, y: 10 }, { x: 2 * HOUR, y: 5 }]); // prettier-ignore
    expect(lines.planned.at(-1)).toEqual({ x: 4 * HOUR, y: 10 });
    expect(lines.bath.at(-1)).toEqual({ x: 2 * HOUR, y: 24 });
    expect(lines.faults).toEqual([1.5 * HOUR]);
    expect(playedLines(result({ points: [point(0, 0), point(8, 1)] }), 'metric').axis.toMs).toBe(8 * HOUR);
    expect(playedLines(result({ points: [], planned: [] }), 'metric').axis.toMs).toBeGreaterThan(0);
  });
  test('is shown in the units of whoever reads it', () => {
    const lines = playedLines(result(), 'imperial');
    expect(lines.thickness.at(-1)!.y).toBeCloseTo(20 / 25.4, 9);
    expect(lines.current.at(-1)!.y).toBe(5);
  });
  test('has its phases as far as they were played', () => {
    expect(playedSpans(result())).toEqual([
      { phase: Phase.strike, fromMs: 0, toMs: 0.5 * HOUR },
      { phase: Phase.plate, fromMs: 0.5 * HOUR, toMs: 1.5 * HOUR },
      { phase: Phase.trip, fromMs: 1.5 * HOUR, toMs: 2 * HOUR },
    ]);
    const over = [...result().phases.slice(0, 2), { phase: Phase.done, afterHours: 1.5 }];
    expect(playedSpans(result({ phases: over })).map(({ phase }) => phase)).toEqual([Phase.strike, Phase.plate]);
  });
  test('tells of the nearest moment in words, and of nothing where nothing was played', () => {
    expect(playedMoment(result(), 1.1 * HOUR, 'metric')).toBe('After 1:00 h: 10 A, 10 µm on average, 2 V, bath 23 °C');
    expect(playedMoment(result(), 1.9 * HOUR, 'metric')).toMatch(/^After 2:00 h: 5 A/);
    expect(playedMoment(result(), 3 * HOUR, 'metric')).toBeUndefined();
  });
});
