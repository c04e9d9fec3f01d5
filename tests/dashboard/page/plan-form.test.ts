/* What is typed for a plan and the request that it makes: the same plan in either units, and nothing lost on the way. */
import fc from 'fast-check';
import { bathProfiles, planOf, type PlanRequest, withAnswer, type AskedOfPlan } from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import {
  allPaths,
  emptyPlanForm,
  planAsked,
  planFormOf,
  planRequest,
  type PlanForm,
  textAt,
} from '../../../dashboard/page/plan/plan-form.js';
import { typedIn, typedTexts } from '../../../dashboard/page/forms/typed-figure.js';
import { penFields, planSections } from '../../../dashboard/page/plan/plan-sections.js';

const plate = [{ name: 'plate', pieces: 1, areaDm2: 12 }];

function asked(form: PlanForm, units: 'metric' | 'imperial' = 'metric'): AskedOfPlan {
  const reading = planAsked(form, units);
  if ('problems' in reading) throw new Error(JSON.stringify(reading.problems));
  return reading.asked;
}

describe('the form of a plan', () => {
  test('asks each number that there is, once', () => {
    const shown = [...planSections.flatMap(({ fields }) => fields), ...penFields];
    const above = ['averageThicknessMicrometres', 'chargeAmpereHours', 'plateHours', 'currentDensityAmpsPerDm2', 'currentAmps', 'supplyAmpsMax', 'supplyVoltsMax']; // prettier-ignore
    expect([...shown, ...above].sort()).toEqual([...allPaths].sort());
  });

  test('leaves out what is empty, and what another choice put aside', () => {
    const typed = typedTexts({ averageThicknessMicrometres: '300', chargeAmpereHours: '12', 'secondLayer.amps': '2', rampMinutes: ' ' }); // prettier-ignore
    expect(asked({ ...emptyPlanForm, typed })).toEqual({ bath: 'bright-copper', averageThicknessMicrometres: 300 });
    expect(asked({ ...emptyPlanForm, target: 'chargeAmpereHours', typed })).toEqual({
      bath: 'bright-copper',
      chargeAmpereHours: 12,
    });
  });

  test('keeps per cent as a share, and groups together', () => {
    const typed = typedTexts({ averageThicknessMicrometres: '300', cathodeEfficiency: '96,5', 'anodes.gapMm': '80', 'anodes.count': '4' }); // prettier-ignore
    expect(asked({ ...emptyPlanForm, typed })).toMatchObject({
      cathodeEfficiency: 0.965,
      anodes: { gapMm: 80, count: 4 },
    });
  });

  test('says at every field at once what is no number, in its unit', () => {
    const typed = typedTexts({ averageThicknessMicrometres: '', roomCelsius: 'warm', 'paint.contacts': '1e3' });
    expect(planAsked({ ...emptyPlanForm, typed }, 'imperial')).toEqual({
      problems: {
        averageThicknessMicrometres: 'Type a number in mil, such as 2.5.',
        roomCelsius: 'Type a number in °F, such as 2.5, or leave it empty; got “warm”.',
        'paint.contacts': 'Type a number, such as 2.5, or leave it empty; got “1e3”.',
      },
    });
  });

  test('takes a room below zero in either units, and refuses a minus by name where nothing lies below zero', () => {
    const typed = typedTexts({ averageThicknessMicrometres: '300', roomCelsius: '−5' });
    expect(asked({ ...emptyPlanForm, typed }).roomCelsius).toBe(-5);
    expect(textAt({ ...emptyPlanForm, typed }, 'roomCelsius', 'imperial')).toBe('23');
    const below = typedTexts({ averageThicknessMicrometres: '-300' });
    expect(planAsked({ ...emptyPlanForm, typed: below }, 'metric')).toEqual({
      problems: { averageThicknessMicrometres: 'Type a number without a minus in µm, such as 2.5; got “-300”.' },
    });
  });

  test('needs the three numbers of a layer by pen where there is one', () => {
    const reading = planAsked({ ...emptyPlanForm, pen: 'copper' }, 'metric');
    expect(Object.keys('problems' in reading ? reading.problems : {})).toEqual([
      'secondLayer.micrometres',
      'secondLayer.areaDm2',
      'secondLayer.amps',
    ]);
  });

  test('plans the same in either units, to the digits that are typed', () => {
    const typed = typedTexts({ averageThicknessMicrometres: '300', supplyAmpsMax: '30', 'tank.litres': '60', 'conductors.cableMetres': '4', bathCelsius: '24' }); // prettier-ignore
    const metric = planOf(planRequest(asked({ ...emptyPlanForm, typed }), plate));
    const form = { ...emptyPlanForm, typed };
    const shown = allPaths.map((path) => [path, typedIn('imperial', textAt(form, path, 'imperial'))] as const);
    const imperial = planOf(planRequest(asked({ ...form, typed: Object.fromEntries(shown) }, 'imperial'), plate));
    if ('faults' in metric || 'faults' in imperial) throw new Error('refused');
    const [one, other] = [metric, imperial].map(({ plan }) => plan.figures);
    expect(other!.deposit.chargeAmpereHours.value / one!.deposit.chargeAmpereHours.value).toBeCloseTo(1, 3);
    expect(other!.heat!).toBeDefined();
    expect(other!.deposit.plateHours.value / one!.deposit.plateHours.value).toBeCloseTo(1, 3);
  });

  test('and its request become each other', () => {
    const numbers = fc.uniqueArray(
      fc.tuple(
        fc.constantFrom(...allPaths.filter((path) => !path.startsWith('secondLayer.') && !/Amps$|^charge|^plateH|^average|^currentD/.test(path))),
        fc.integer({ min: 1, max: 99_999 }).map((thousandths) => thousandths / 1000),
      ),
      { selector: ([path]) => path },
    ); // prettier-ignore
    fc.assert(
      fc.property(
        numbers,
        fc.constantFrom(...bathProfiles.map(({ key }) => key)),
        fc.constantFrom('averageThicknessMicrometres', 'chargeAmpereHours', 'plateHours'),
        (given, bath, target) => {
          const start: AskedOfPlan = { bath, [target]: 12.5 };
          const request: PlanRequest = {
            ...given.reduce((all, [path, value]) => withAnswer(all, path, value), start),
            parts: plate,
          };
          const back = planRequest(asked(planFormOf(request, 'metric')), plate);
          expect(JSON.parse(JSON.stringify(back), rounded)).toEqual(JSON.parse(JSON.stringify(request), rounded));
        },
      ),
    );
  });
});

/** Per cent and back may leave the last bits of a double. */
function rounded(_: string, value: unknown): unknown {
  return typeof value === 'number' ? Number(value.toPrecision(12)) : value;
}
