/* Warnings at the fields whose answers they follow from: each stands where somebody typed, and nowhere else. */
import { type AskedPath, planOf } from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { typedTexts } from '../../../dashboard/page/forms/typed-figure.js';
import { emptyPlanForm, planAsked, planRequest, type PlanForm } from '../../../dashboard/page/plan/plan-form.js';
import { wishMarks } from '../../../dashboard/page/plan/wish-marks.js';

const plate = [{ name: 'plate', pieces: 1, areaDm2: 12 }];

function marksOf(typed: Partial<Record<AskedPath, string>>): Partial<Record<string, readonly string[]>> {
  const form: PlanForm = { ...emptyPlanForm, typed: typedTexts({ averageThicknessMicrometres: '300', ...typed }) };
  const reading = planAsked(form, 'metric');
  if ('problems' in reading) throw new Error(JSON.stringify(reading.problems));
  const result = planOf(planRequest(reading.asked, plate));
  if ('faults' in result) throw new Error(result.faults.join(' '));
  return wishMarks(form, result.plan, 'metric');
}

describe('a warning of the plan stands at the field that it follows from', () => {
  test.each([
    ['currentDensityAmpsPerDm2', { currentDensityAmpsPerDm2: '9' }, 'above the usual 2 to 7.5 A/dm²'],
    ['supplyAmpsMax', { supplyAmpsMax: '5' }, 'the supply gives at most 5 A'],
    ['anodes.areaRatio', { 'anodes.areaRatio': '0.5' }, 'at the anodes is above the usual'],
    ['bathCelsius', { bathCelsius: '35' }, 'A bath of 35 °C is above the usual'],
    ['conductors.cableMm2', { 'conductors.cableMm2': '2.5' }, 'Take a thicker cable'],
    ['conductors.shuntRatedAmps', { 'conductors.shuntRatedAmps': '30' }, 'A shunt of 30 A is small for 48 A'],
    ['conductors.shuntRatedMillivolts', { 'conductors.shuntRatedMillivolts': '150' }, 'a current that climbs is not seen'],
    ['paint.contacts', { 'paint.contacts': '2' }, 'Each contact carries 24 A'],
    ['conductivitySiemensPerMetre', { conductivitySiemensPerMetre: '90' }, 'check the measurement and its unit'],
  ] as const)('%s', (path, typed, words) => {
    expect(marksOf(typed)[path]?.join(' ')).toContain(words);
  }); // prettier-ignore

  test('at both fields of a shunt where both were typed and its signal is too large', () => {
    const marks = marksOf({ 'conductors.shuntRatedAmps': '75', 'conductors.shuntRatedMillivolts': '150' });
    expect(marks['conductors.shuntRatedAmps']).toEqual(marks['conductors.shuntRatedMillivolts']);
  });

  test('and nowhere where nothing was typed', () => {
    expect(marksOf({})).toEqual({});
  });
});
