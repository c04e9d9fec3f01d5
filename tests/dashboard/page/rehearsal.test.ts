/* What is typed for a rehearsal, and the paths that draw a played night. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { RehearsalResult } from '@bathkeeper/shared-core/trade';
import { faultProblems, faultsAsked } from '../../../dashboard/page/rehearsal/faults-form.js';
import { playedShape } from '../../../dashboard/page/rehearsal/played-shape.js';

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

describe('a played night', () => {
  const point = (afterHours: number, currentAmps: number, celsius = 22): RehearsalResult['points'][number] => ({
    afterHours,
    currentAmps,
    terminalVolts: 2,
    bathCelsius: celsius,
    averageThicknessMicrometres: 10 * afterHours,
  });
  const result = (change: Partial<RehearsalResult>): RehearsalResult => ({
    points: [point(0, 0), point(1, 10, 23), point(2, 5, 24)],
    planned: [
      { afterHours: 0, currentAmps: 10 },
      { afterHours: 4, currentAmps: 10 },
    ],
    faults: [{ words: 'The tank leaks', afterHours: 2 }],
    told: [],
    ended: '',
    isAsPlanned: false,
    chargeAmpereHours: { planned: 40, played: 10 },
    averageThicknessMicrometres: { planned: 40, played: 20 },
    hours: { planned: 4, played: 2 },
    metal: 'copper',
    notes: [],
    ...change,
  });

  test('lies on the axis of the plan, its current on the plan’s scale', () => {
    expect(playedShape(result({}), 400, 102)).toEqual({
      hours: 4,
      mostAmps: 10,
      current: 'M0.0 102.0L100.0 2.0L200.0 52.0',
      planned: 'M0.0 2.0L400.0 2.0',
      thickness: 'M0 102L0.0 102.0L100.0 77.0L200.0 52.0L200.0 102Z',
      volts: { path: 'M0.0 102.0L100.0 102.0L200.0 102.0', least: 2, most: 2 },
      celsius: { path: 'M0.0 102.0L100.0 52.0L200.0 2.0', least: 22, most: 24 },
      faults: [200],
    });
  });
  test('goes beyond the plan where it lasted longer', () => {
    expect(playedShape(result({ points: [point(0, 0), point(8, 10)] }), 400, 102)).toMatchObject({ hours: 8, faults: [100] }); // prettier-ignore
  });
  test('that was none is not drawn', () => {
    expect(playedShape(result({ points: [] }), 400, 100)).toBeNull();
    expect(playedShape(result({ points: [point(0, 0)] }), 400, 100)).toBeNull();
  });
  test('stays within its picture, whatever was played', () => {
    const reading = fc.double({ min: 0, max: 1e4, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(reading, reading), { minLength: 2, maxLength: 20 }), (readings) => {
        const points = readings.map(([amps, celsius], index) => point(index, amps, celsius));
        const shape = playedShape(result({ points }), 400, 100)!;
        for (const path of [shape.current, shape.planned, shape.volts.path, shape.celsius.path]) {
          for (const pair of path.slice(1).split('L')) {
            const [x = NaN, y = NaN] = pair.split(' ').map(Number);
            expect(x >= 0 && x <= 400 && y >= 0 && y <= 100, pair).toBe(true);
          }
        }
      }),
    );
  });
});
