/*
 * What was typed and chosen for a plan, and the request that it makes, in metric; pure. A field that stays empty is taken as usual. What cannot be read
 * as a number is told at its field; what a plan refuses is told by the plan itself.
 */
import {
  type AskedNumber,
  askedNumbers,
  type AskedOfPlan,
  type AskedPath,
  answerAt,
  inUnits,
  penFactors,
  type PenFactorName,
  type PlannedPart,
  type PlanRequest,
  unitName,
  type UnitSystem,
  withAnswer,
} from '@bathkeeper/shared-core/trade';
import { metricValue, nothingTyped, textIn, type TypedFigure, typedIn } from '../forms/typed-figure.js';
import { isBelowZero, signedNumber, typedNumber } from '../forms/typed-number.js';

/** Exactly one of them is aimed at. */
export const targets = ['averageThicknessMicrometres', 'chargeAmpereHours', 'plateHours'] as const;
/** One of them, or neither. */
export const currents = ['currentDensityAmpsPerDm2', 'currentAmps'] as const;

export interface PlanForm {
  readonly bath: string;
  readonly target: (typeof targets)[number];
  readonly current: (typeof currents)[number];
  /** Empty: as usual for the bath. */
  readonly agitation: '' | 'still' | 'moving' | 'vigorous';
  /** Empty: no second layer. */
  readonly pen: '' | PenFactorName;
  readonly typed: Readonly<Partial<Record<AskedPath, TypedFigure>>>;
}

export const emptyPlanForm: PlanForm = {
  bath: 'bright-copper',
  target: 'averageThicknessMicrometres',
  current: 'currentDensityAmpsPerDm2',
  agitation: '',
  pen: '',
  typed: { averageThicknessMicrometres: typedIn('metric', '300') },
};

export type FieldProblems = Readonly<Partial<Record<AskedPath, string>>>;
export type PlanFormReading = { readonly asked: AskedOfPlan } | { readonly problems: FieldProblems };

export const penNames = Object.keys(penFactors) as readonly PenFactorName[];
export const allPaths = Object.keys(askedNumbers) as readonly AskedPath[];
export const asking = (path: AskedPath): AskedNumber => askedNumbers[path];

/** Of the fields that stand in the way of each other, those that count. */
function counts(form: PlanForm, path: AskedPath): boolean {
  if ((targets as readonly AskedPath[]).includes(path)) return path === form.target;
  if ((currents as readonly AskedPath[]).includes(path)) return path === form.current;
  return form.pen !== '' || !path.startsWith('secondLayer.');
}

/** Must be answered; everything else may stay empty. */
export function isNeeded(form: PlanForm, path: AskedPath): boolean {
  const ofPen: readonly AskedPath[] = ['secondLayer.micrometres', 'secondLayer.areaDm2', 'secondLayer.amps'];
  return path === form.target || (form.pen !== '' && ofPen.includes(path));
}

/** Temperatures alone: a room may be colder than 0 °C, and one of 0 °F is. */
export function mayLieBelowZero(path: AskedPath): boolean {
  return asking(path).unit === '°C';
}

function reading(path: AskedPath): typeof typedNumber {
  return mayLieBelowZero(path) ? signedNumber : typedNumber;
}

/** What stands in a field for somebody who thinks in these units. */
export function textAt(form: PlanForm, path: AskedPath, units: UnitSystem): string {
  return textIn(form.typed[path] ?? nothingTyped, asking(path).unit, units, reading(path));
}

/**
 * Everything that was asked but the parts, or what stands in the fields and is no number, said in a person's units.
 *
 * @example
 * planAsked({ ...emptyPlanForm, typed: { averageThicknessMicrometres: typedIn('imperial', '12') } }, 'imperial'); // 12 mil are 304.8 µm
 */
export function planAsked(form: PlanForm, units: UnitSystem): PlanFormReading {
  const problems: Partial<Record<AskedPath, string>> = {};
  let asked: AskedOfPlan = { bath: form.bath };
  if (form.agitation !== '') asked = withAnswer(asked, 'agitation', form.agitation);
  if (form.pen !== '') asked = withAnswer(asked, 'secondLayer.pen', form.pen);
  for (const path of allPaths) {
    if (!counts(form, path)) continue;
    const typed = form.typed[path] ?? nothingTyped;
    const text = typed.text.trim();
    if (text === '' && !isNeeded(form, path)) continue;
    const value = metricValue(typed, asking(path).unit, reading(path));
    if (value === undefined) problems[path] = notNumber(path, text, units, isNeeded(form, path));
    else asked = withAnswer(asked, path, asking(path).isPercent === true ? value / 100 : value);
  }
  return Object.keys(problems).length > 0 ? { problems } : { asked };
}

function notNumber(path: AskedPath, text: string, units: UnitSystem, isNeeded: boolean): string {
  const { unit } = asking(path);
  const inUnit = unit === '1' || unit === 'money' ? '' : ` in ${unitName(unit, units)}`;
  const orEmpty = isNeeded ? '' : ', or leave it empty';
  const number = isBelowZero(text) ? 'a number without a minus' : 'a number';
  return `Type ${number}${inUnit}, such as 2.5${orEmpty}${text === '' ? '' : `; got “${text}”`}.`;
}

/** As somebody would have typed it in these units, to six decimals at most. */
function asTyped(path: AskedPath, value: number, units: UnitSystem): TypedFigure {
  const { unit, isPercent } = asking(path);
  const shown = isPercent === true ? value * 100 : inUnits(value, unit, units).value;
  return typedIn(units, String(Number(shown.toFixed(6))));
}

/** The form that would have asked for this. */
export function planFormOf(request: PlanRequest, units: UnitSystem): PlanForm {
  const typed: Partial<Record<AskedPath, TypedFigure>> = {};
  for (const path of allPaths) {
    const value = answerAt(request, path);
    if (value !== undefined) typed[path] = asTyped(path, value, units);
  }
  return {
    bath: request.bath ?? emptyPlanForm.bath,
    target: targets.find((path) => request[path] !== undefined) ?? emptyPlanForm.target,
    current: currents.find((path) => request[path] !== undefined) ?? emptyPlanForm.current,
    agitation: request.agitation ?? '',
    pen: request.secondLayer?.pen ?? '',
    typed,
  };
}

/** The whole request. */
export function planRequest(asked: AskedOfPlan, parts: readonly PlannedPart[]): PlanRequest {
  return { ...asked, parts };
}
