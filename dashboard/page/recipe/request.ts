/*
 * From what a person typed to a request for a recipe, every fault at once. Decimal commas are taken.
 * Called by the recipe form; pure. Limits of the rig and of the trade are judged by the dashboard, not here.
 */
import type { RecipeRequest } from '@bathkeeper/shared-core/messages';

export interface RecipeForm {
  readonly partName: string;
  readonly area: string;
  readonly density: string;
  readonly until: 'thickness' | 'charge';
  readonly thickness: string;
  readonly charge: string;
  readonly strikeDensity: string;
  readonly strikeMinutes: string;
  readonly rampMinutes: string;
  readonly rotation: string;
}

export type RecipeField = Exclude<keyof RecipeForm, 'until'>;

export const emptyRecipeForm: RecipeForm = {
  partName: '',
  area: '',
  density: '1.6',
  until: 'thickness',
  thickness: '300',
  charge: '',
  strikeDensity: '',
  strikeMinutes: '',
  rampMinutes: '',
  rotation: '',
};

export type RecipeReading =
  { readonly request: RecipeRequest } | { readonly problems: Readonly<Partial<Record<RecipeField, string>>> };

/** A plain decimal number, point or comma; undefined when it is not one. Example: `typedNumber('1,6')` is 1.6. */
export function typedNumber(text: string): number | undefined {
  const trimmed = text.trim().replace(',', '.');
  return /^\d{1,9}(\.\d{0,6})?$/.test(trimmed) ? Number(trimmed) : undefined;
}

/** Example: area '12' and density '1,6' and thickness '300' give { areaDm2: 12, currentDensityAmpsPerDm2: 1.6, averageThicknessMicrometres: 300, … }. */
export function recipeRequest(form: RecipeForm): RecipeReading {
  const problems: Partial<Record<RecipeField, string>> = {};
  const required = (field: RecipeField, example: string): number => {
    const value = typedNumber(form[field]);
    if (value === undefined || value <= 0) {
      const got = form[field].trim();
      problems[field] = `Type a number above zero, such as ${example}${got === '' ? '' : `; got \u201c${got}\u201d`}.`;
    }
    return value ?? 0;
  };
  const optional = (field: RecipeField): number | undefined => {
    if (form[field].trim() === '') return undefined;
    const value = typedNumber(form[field]);
    if (value === undefined)
      problems[field] = `Type a number, or leave it empty; got \u201c${form[field].trim()}\u201d.`;
    return value;
  };
  const partName = form.partName.trim();
  if (partName === '') problems.partName = 'Give the part a name, so that the night can be told from others.';
  const areaDm2 = required('area', '12');
  const currentDensityAmpsPerDm2 = required('density', '1.6');
  const target =
    form.until === 'thickness'
      ? { averageThicknessMicrometres: required('thickness', '300') }
      : { chargeAmpereHours: required('charge', '270') };
  const extras = {
    strikeDensityAmpsPerDm2: optional('strikeDensity'),
    strikeMinutes: optional('strikeMinutes'),
    rampMinutes: optional('rampMinutes'),
    rotationPulsesPerMinute: optional('rotation'),
  };
  if (Object.keys(problems).length > 0) return { problems };
  const given = Object.fromEntries(Object.entries(extras).filter(([, value]) => value !== undefined));
  return { request: { partName, areaDm2, currentDensityAmpsPerDm2, ...target, ...given } };
}
