/* What an empty field of a plan says: the very value that the plan takes for it. */
import { askedNumbers, type AskedPath, bathProfiles, inUnits, planOf } from '@bathkeeper/shared-core/trade';
import { expect, test } from 'vitest';
import { usualHint } from '../../../dashboard/page/plan/usual-hints.js';

const parts = [{ name: 'plate', pieces: 1, areaDm2: 12 }];

test.each(bathProfiles.map(({ key }) => key))('the usual density in the field is what a plan takes in %s', (bath) => {
  const reading = planOf({ parts, bath, averageThicknessMicrometres: 20 });
  if ('faults' in reading) throw new Error(reading.faults.join(' '));
  const taken = reading.plan.figures.deposit.setPointDensityAmpsPerDm2.value;
  for (const units of ['metric', 'imperial'] as const) {
    const hinted = parseFloat(usualHint('currentDensityAmpsPerDm2', bath, units));
    expect(hinted / inUnits(taken, 'A/dm²', units).value).toBeCloseTo(1, 2);
  }
});

test('says the range too, in the units that are typed, and says where it knows nothing', () => {
  expect(usualHint('currentDensityAmpsPerDm2', 'bright-copper', 'metric')).toBe('4 as usual, 2 to 7.5');
  expect(usualHint('bathCelsius', 'bright-copper', 'imperial')).toBe('77 as usual, 68 to 86');
  expect(usualHint('cathodeEfficiency', 'bright-copper', 'metric')).toBe('100 as usual, 97 to 100');
  expect(usualHint('supplyAmpsMax', 'bright-copper', 'metric')).toBe('as usual, or not known');
  for (const path of Object.keys(askedNumbers) as AskedPath[])
    expect(usualHint(path, 'no bath', 'metric'), path).toBe('as usual, or not known');
});
