/* What is taken away from the page as a file: the very file of the command, and every figure in it with unit and source. */
import {
  type AskedOfPlan,
  type AskedPath,
  type Plan,
  planOf,
  type PlannedPart,
  type UnitSystem,
} from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { typedTexts } from '../../../dashboard/page/forms/typed-figure.js';
import { emptyPlanForm, planAsked, planRequest } from '../../../dashboard/page/plan/plan-form.js';
import { planFileName, planFileText } from '../../../dashboard/page/plan/plan-file.js';
import { planCommand } from '../../../dashboard/server/plan/plan-command.js';

const plate: PlannedPart = { name: 'part', pieces: 1, areaDm2: 12, areaFrom: 'typed in' };

function planned(asked: AskedOfPlan, parts: readonly PlannedPart[] = [plate]): Plan {
  const reading = planOf(planRequest(asked, parts));
  if ('faults' in reading) throw new Error(reading.faults.join(' '));
  return reading.plan;
}

function typedOnPage(texts: Partial<Record<AskedPath, string>>, units: UnitSystem): Plan {
  const reading = planAsked({ ...emptyPlanForm, typed: typedTexts(texts, units) }, units);
  if ('problems' in reading) throw new Error(JSON.stringify(reading.problems));
  return planned(reading.asked);
}

describe('the file of a plan', () => {
  test.each([
    ['metric', { averageThicknessMicrometres: '250', supplyAmpsMax: '30', bathCelsius: '22' }, '12', '250', '22'],
    ['imperial', { averageThicknessMicrometres: '10', supplyAmpsMax: '30', bathCelsius: '72' }, String(12 / 9.290304), '10', '72'],
  ] as const)('is the command’s own, typed in %s units', (units, typed, area, thickness, bath) => {
    const args = ['--area', area, '--thickness', thickness, '--supply', '30', '--temperature', bath];
    const command = planCommand([...args, '--bath', 'bright-copper', '--units', units, '--json'], () => {
      throw new Error('no file is read');
    });
    expect(command.err).toBe('');
    expect(JSON.parse(planFileText(typedOnPage(typed, units), units))).toEqual(JSON.parse(command.out));
  }); // prettier-ignore

  test('says of every figure its unit, its formula and its source', () => {
    const plan = planned({ averageThicknessMicrometres: 300, tank: { litres: 60 }, paint: { sheetOhmsPerSquare: 3 } });
    const { figures, units } = JSON.parse(planFileText(plan, 'imperial')) as {
      units: string;
      figures: Record<string, { unit: string; formula: string; source: string; shown?: { unit: string } }>;
    };
    expect(units).toBe('imperial');
    expect(Object.keys(figures).length).toBeGreaterThan(40);
    for (const [name, figure] of Object.entries(figures)) {
      for (const words of [figure.unit, figure.formula, figure.source]) expect(words, name).toMatch(/\S/);
    }
    expect(figures.averageThicknessMicrometres).toMatchObject({ unit: 'µm', shown: { unit: 'mil' } });
  });

  test('has a name that every file system takes', () => {
    const named = (...parts: PlannedPart[]) => planFileName(planned({ plateHours: 4 }, parts));
    expect(named({ ...plate, name: 'leaf', pieces: 2 }, { ...plate, name: 'Glöckchen/3' })).toBe('plan-2-leaf-glöckchen-3.json'); // prettier-ignore
    expect(named({ ...plate, name: '../..' })).toBe('plan.json');
    expect(named({ ...plate, name: 'x'.repeat(300) })).toHaveLength(70);
  });
});
