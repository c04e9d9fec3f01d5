/*
 * From what a person typed to a request for a recipe, every fault at once. Decimal commas are taken.
 * Called by the recipe form; pure. Limits of the rig and of the trade are judged by the dashboard, not here.
 */
import type { RecipeRequest } from '@bathkeeper/shared-core/messages';
import type { Unit } from '@bathkeeper/shared-core/trade';
import { metricValue, nothingTyped, type TypedFigure, typedIn } from '../forms/typed-figure.js';
import { typedNumber } from '../forms/typed-number.js';

export interface RecipeForm {
  readonly partName: string;
  /** Key of a bath profile; empty: acid copper of any kind. */
  readonly bath: string;
  /** Per cent; empty: the bath's usual one. */
  readonly efficiency: string;
  readonly area: TypedFigure;
  readonly density: TypedFigure;
  readonly until: 'thickness' | 'charge';
  readonly thickness: TypedFigure;
  readonly charge: string;
  readonly strikeDensity: TypedFigure;
  readonly strikeMinutes: string;
  readonly rampMinutes: string;
  readonly rotation: string;
}

/** What is typed; the others are chosen. */
export type RecipeField = Exclude<keyof RecipeForm, 'until' | 'bath'>;

/** What is typed in a person's own units, and the unit in which it is kept. */
export const figureUnits = {
  area: 'dm²',
  density: 'A/dm²',
  thickness: 'µm',
  strikeDensity: 'A/dm²',
} as const satisfies Partial<Record<RecipeField, Unit>>;
export type RecipeFigure = keyof typeof figureUnits;

export function isRecipeFigure(field: RecipeField): field is RecipeFigure {
  return field in figureUnits;
}

/** What was typed, and its value in metric; undefined where it is no number. */
function readField(form: RecipeForm, field: RecipeField): { text: string; value: number | undefined } {
  if (!isRecipeFigure(field)) return { text: form[field].trim(), value: typedNumber(form[field]) };
  return { text: form[field].text.trim(), value: metricValue(form[field], figureUnits[field]) };
}

export const emptyRecipeForm: RecipeForm = {
  partName: '',
  bath: '',
  efficiency: '',
  area: nothingTyped,
  density: typedIn('metric', '1.6'),
  until: 'thickness',
  thickness: typedIn('metric', '300'),
  charge: '',
  strikeDensity: nothingTyped,
  strikeMinutes: '',
  rampMinutes: '',
  rotation: '',
};

export type RecipeReading =
  { readonly request: RecipeRequest } | { readonly problems: Readonly<Partial<Record<RecipeField, string>>> };

/** Always in metric. Example: of area '12', density '1,6' and thickness '300', typed in metric, { areaDm2: 12, currentDensityAmpsPerDm2: 1.6, averageThicknessMicrometres: 300, … }. */
export function recipeRequest(form: RecipeForm): RecipeReading {
  const problems: Partial<Record<RecipeField, string>> = {};
  const required = (field: RecipeField, example: string): number => {
    const { text, value } = readField(form, field);
    if (value === undefined || value <= 0) {
      problems[field] =
        `Type a number above zero, such as ${example}${text === '' ? '' : `; got \u201c${text}\u201d`}.`;
    }
    return value ?? 0;
  };
  const optional = (field: RecipeField): number | undefined => {
    const { text, value } = readField(form, field);
    if (text === '') return undefined;
    if (value === undefined) problems[field] = `Type a number, or leave it empty; got \u201c${text}\u201d.`;
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
  const percent = optional('efficiency');
  if (percent !== undefined && !(percent >= 1 && percent <= 100) && problems.efficiency === undefined)
    problems.efficiency = `Type 1 to 100 per cent, or leave it empty for the bath's usual one; got ${form.efficiency.trim()}.`;
  const extras = {
    bath: form.bath === '' ? undefined : form.bath,
    // Of six decimals of a per cent, without what the division adds.
    cathodeEfficiency: percent === undefined ? undefined : Math.round(percent * 1e6) / 1e8,
    strikeDensityAmpsPerDm2: optional('strikeDensity'),
    strikeMinutes: optional('strikeMinutes'),
    rampMinutes: optional('rampMinutes'),
    rotationPulsesPerMinute: optional('rotation'),
  };
  if (Object.keys(problems).length > 0) return { problems };
  const given = Object.fromEntries(Object.entries(extras).filter(([, value]) => value !== undefined));
  return { request: { partName, areaDm2, currentDensityAmpsPerDm2, ...target, ...given } };
}

/** As a person would have typed it: at most six decimals. */
function typed(value: number | undefined): string {
  return value === undefined ? '' : String(Math.round(value * 1e6) / 1e6);
}

function figure(value: number | undefined): TypedFigure {
  return typedIn('metric', typed(value));
}

/** The form that would have asked for this: what the request does not give stays empty, as usual. */
export function recipeFormOf(request: RecipeRequest): RecipeForm {
  const { cathodeEfficiency } = request;
  return {
    partName: request.partName,
    bath: request.bath ?? '',
    efficiency: cathodeEfficiency === undefined ? '' : typed(cathodeEfficiency * 100),
    area: figure(request.areaDm2),
    density: figure(request.currentDensityAmpsPerDm2),
    until: request.chargeAmpereHours === undefined ? 'thickness' : 'charge',
    thickness: figure(request.averageThicknessMicrometres),
    charge: typed(request.chargeAmpereHours),
    strikeDensity: figure(request.strikeDensityAmpsPerDm2),
    strikeMinutes: typed(request.strikeMinutes),
    rampMinutes: typed(request.rampMinutes),
    rotation: typed(request.rotationPulsesPerMinute),
  };
}
