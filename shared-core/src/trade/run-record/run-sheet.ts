/*
 * What stands on a run sheet, in a person's units and a named time zone: groups of figures, and what happened in its order. Called by the page's room of a
 * run, its printable sheet and the PDF, so that all three say the same. It computes nothing but differences of time.
 */
import { Phase } from '../../control/phase.js';
import { BringUpStep } from '../../messages/bring-up.js';
import { byWords, ON_THE_PAGE } from '../../watch/who.js';
import { bathProfile } from '../baths/bath-list.js';
import type { Figure } from '../figure.js';
import { spanWords } from '../span-words.js';
import type { UnitSystem } from '../units.js';
import { inWords, shownWith } from '../words-in-units.js';
import { partNames } from '../plan/part-names.js';
import { costRows } from './cost-rows.js';
import { weightWords } from './entry-words.js';
import type { WeighingBody } from './run-entry.js';
import type { AlarmWithStory, CalibrationInForce, RunMeasures, RunRecord } from './run-record.js';
import { farDay, momentOfRun, runDay, runMoment, runSpan } from './run-times.js';
import { newestWeighing } from './weighed-deposit.js';

export interface SheetRow {
  readonly label: string;
  readonly words: string;
  /** What the words stand for, with formula, inputs and source; absent where it is no computed figure. */
  readonly figure?: Figure;
}
export interface SheetGroup {
  readonly title: string;
  readonly rows: readonly SheetRow[];
}
/** `weight`: `care` for what went wrong or wanted somebody, `course` for what went as it should. */
export interface SheetLine {
  readonly atMs: number;
  readonly at: string;
  readonly words: string;
  readonly weight: 'care' | 'course';
  readonly kind: 'phase' | 'interruption' | 'happening' | 'alarm' | 'end';
  /** Of a line about an alarm. */
  readonly alarmId?: number;
}
export interface RunSheet {
  readonly title: string;
  /** Bath, controller, run; "SIMULATED" where it was no real bath. */
  readonly whose: string;
  readonly when: string;
  readonly groups: readonly SheetGroup[];
  readonly story: readonly SheetLine[];
}

/** The group of the weighings; there is none where nothing was weighed. */
export const BALANCE = 'By the balance';

/** The group of what it used up. */
export const COST = 'What it used up';

export const phaseWords: Readonly<Record<Phase, string>> = {
  [Phase.idle]: 'Idle',
  [Phase.ready]: 'Ready',
  [Phase.strike]: 'Strike',
  [Phase.ramp]: 'Ramp',
  [Phase.plate]: 'Plate',
  [Phase.finish]: 'Finish',
  [Phase.done]: 'Done',
  [Phase.hold]: 'Hold at the keep-alive current',
  [Phase.trip]: 'Trip: the contactor open',
  [Phase.polarity]: 'Proof of polarity',
};

/** Example: `runName(record)` is "Fluted bell lampshade", or "Run 3" where no recipe is known. */
export function runName({ recipe, run }: Pick<RunRecord, 'recipe' | 'run'>): string {
  return recipe === null || recipe.partName === '' ? `Run ${String(run)}` : recipe.partName;
}

export function runSheet(record: RunRecord, units: UnitSystem, zone: string): RunSheet {
  const { bathName, controllerId, run, isSimulated, startedAtMs, lastedUntilMs, endedBecause } = record;
  const span = spanWords((lastedUntilMs - startedAtMs) / 1000);
  const end =
    record.endedAtMs !== null
      ? `It ended because ${endedBecause ?? 'a stop was asked'}.`
      : record.goesOn
        ? 'It goes on.'
        : 'Nobody has told its end.';
  return {
    title: runName(record),
    whose: `${isSimulated ? 'SIMULATED. ' : ''}Run ${String(run)} in ${bathName} (${controllerId}).`,
    when: `${runSpan(startedAtMs, lastedUntilMs, zone)}, ${span}. ${inWords(end, units)}`,
    groups: [
      { title: 'What was deposited', rows: depositRows(record, units) },
      { title: BALANCE, rows: balanceRows(record, units) },
      { title: 'How it ran', rows: courseRows(record, units) },
      { title: COST, rows: costRows(record.cost, units) },
      { title: 'What was asked', rows: askedRows(record, units) },
      { title: 'Calibration in force', rows: calibrationRows(record.calibration, units, zone) },
    ].filter(({ rows }) => rows.length > 0),
    story: storyOf(record, units, zone),
  };
}

/** With its bounds, where they differ in so many digits. Example: "170 µm (167 to 173 µm)". */
function figureRow(figure: Figure, units: UnitSystem, label: string, digits = 3): SheetRow {
  const { uncertainty, unit } = figure;
  const shown = (value: number): string => shownWith(value, unit, units, digits);
  const bounds =
    uncertainty === undefined || shown(uncertainty.low) === shown(uncertainty.high)
      ? ''
      : ` (${shown(uncertainty.low).replace(/ .*$/, '')} to ${shown(uncertainty.high)})`;
  return { label, words: `${shown(figure.value)}${bounds}`, figure };
}

function depositRows({ measures, recipe, deposit }: RunRecord, units: UnitSystem): SheetRow[] {
  const asked = recipe === null ? '' : ` of ${shownWith(recipe.chargeAmpereHours, 'Ah', units)} asked`;
  const charge = { label: 'Charge', words: `${shownWith(measures.chargeAmpereHours, 'Ah', units)}${asked}` };
  if (deposit === null) return [charge];
  return [
    charge,
    figureRow(deposit.massGrams, units, `Deposit, by Faraday’s law`),
    figureRow(deposit.averageThicknessMicrometres, units, 'Average thickness, by Faraday’s law'),
    figureRow(deposit.thinPlaceMicrometres, units, 'Thin place, estimated'),
    figureRow(deposit.edgeMicrometres, units, 'At edges, estimated'),
  ];
}

/** Each weighing as it was read; what both give only where there are both. */
function balanceRows({ entries, weighed }: RunRecord, units: UnitSystem): SheetRow[] {
  const newest = (when: WeighingBody['when']): SheetRow[] => {
    const weighing = newestWeighing(entries, when);
    return weighing === undefined
      ? []
      : [{ label: `Weight ${when}`, words: `${weightWords(weighing.body, units)}, by ${weighing.who}` }];
  };
  const rows = [...newest('before'), ...newest('after')];
  if (weighed === null) return rows;
  const { gainedGrams, cathodeEfficiencyPercent, averageThicknessMicrometres, question, remark } = weighed;
  const doubt = question ?? remark;
  return [
    ...rows,
    figureRow(gainedGrams, units, 'Deposit, by the balance', 4),
    ...(cathodeEfficiencyPercent === null ? [] : [figureRow(cathodeEfficiencyPercent, units, 'Cathode efficiency')]),
    ...(averageThicknessMicrometres === null
      ? []
      : [figureRow(averageThicknessMicrometres, units, 'Average thickness, by the balance')]),
    ...(doubt === null ? [] : [{ label: question === null ? 'Remark' : 'Doubtful', words: inWords(doubt, units) }]),
  ];
}

function courseRows({ measures, interruptions }: RunRecord, units: UnitSystem): SheetRow[] {
  const gone = interruptions.length;
  const known = interruptions.every(({ seconds }) => seconds !== null);
  const total = interruptions.reduce((sum, { seconds }) => sum + (seconds ?? 0), 0);
  return [
    ...measureRows(measures, units),
    {
      label: 'Without current',
      words:
        gone === 0
          ? 'never'
          : `${known ? '' : 'at least '}${spanWords(total)} in ${String(gone)} ${gone === 1 ? 'interruption' : 'interruptions'}`,
    },
  ];
}

function measureRows(measures: RunMeasures, units: UnitSystem): SheetRow[] {
  const spread = (label: string, unit: 'A' | '°C', mean: number | null, least: number | null, most: number | null) =>
    mean === null || least === null || most === null
      ? []
      : [
          {
            label,
            words: `${shownWith(mean, unit, units, 3)} on average, ${shownWith(least, unit, units, 3).replace(/ .*$/, '')} to ${shownWith(most, unit, units, 3)}`,
          },
        ];
  const { energyWattHours } = measures;
  return [
    ...spread('Current', 'A', measures.currentMeanAmps, measures.currentMinAmps, measures.currentMaxAmps),
    ...spread('Bath', '°C', measures.bathMeanCelsius, measures.bathMinCelsius, measures.bathMaxCelsius),
    ...(energyWattHours === null
      ? []
      : [{ label: 'Energy at the terminals', words: shownWith(energyWattHours / 1000, 'kWh', units, 3) }]),
    { label: 'Recorded', words: spanWords(measures.recordedSeconds) },
  ];
}

function askedRows({ recipe, plan }: RunRecord, units: UnitSystem): SheetRow[] {
  if (recipe === null) return [{ label: 'Recipe', words: 'not known to this dashboard' }];
  const profile = recipe.bath === null ? undefined : bathProfile(recipe.bath);
  const efficiency = `${shownWith(100 * recipe.cathodeEfficiency, '%', units, 3)}`;
  return [
    ...(plan === null ? [] : [{ label: 'Planned parts', words: partNames(plan.parts) }]),
    { label: 'Bath', words: profile?.name ?? 'acid copper' },
    { label: 'Area', words: shownWith(recipe.areaDm2, 'dm²', units) },
    {
      label: 'Current',
      words: `${shownWith(recipe.plateAmps, 'A', units)} at ${shownWith(recipe.currentDensityAmpsPerDm2, 'A/dm²', units, 3)}`,
    },
    {
      label: 'Average thickness',
      words: `${shownWith(recipe.averageThicknessMicrometres, 'µm', units, 3)} of ${recipe.metal}, at ${efficiency} efficiency`,
    },
    {
      label: 'Strike, ramp',
      words: `${shownWith(recipe.strikeAmps, 'A', units, 3)} for ${spanWords(recipe.strikeSeconds)}, then ${spanWords(recipe.rampSeconds)}`,
    },
  ];
}

function calibrationRows(steps: readonly CalibrationInForce[], units: UnitSystem, zone: string): SheetRow[] {
  if (steps.length === 0) return [{ label: 'Calibration', words: 'none was told to this dashboard' }];
  const labels: Readonly<Record<number, string>> = {
    [BringUpStep.currentCalibrated]: 'Current, against a meter',
    [BringUpStep.temperatureCalibrated]: 'Temperature, against a thermometer',
    [BringUpStep.limitsSet]: 'Limits of the rig',
    [BringUpStep.supplyCalibrated]: 'Set-point of the supply',
  };
  const found = ({ step, a }: CalibrationInForce): string => {
    if (step === BringUpStep.currentCalibrated) return `, up to ${shownWith(a / 1000, 'A', units, 3)}`;
    return step === BringUpStep.temperatureCalibrated ? `, offset ${shownWith(a / 1000, 'K', units, 2)}` : '';
  };
  return steps.map((one) => ({
    label: labels[one.step] ?? `Step ${String(one.step)}`,
    words: `${runDay(one.atMs, zone)}${found(one)}`,
  }));
}

function storyOf(record: RunRecord, units: UnitSystem, zone: string): SheetLine[] {
  const line = (
    kind: SheetLine['kind'],
    atMs: number,
    words: string,
    weight: SheetLine['weight'] = 'course',
  ): SheetLine => ({
    kind,
    atMs,
    at: runMoment(atMs, zone),
    words: farDay(atMs, record.startedAtMs, zone) + inWords(words, units),
    weight,
  });
  const grave: readonly number[] = [Phase.hold, Phase.trip];
  return [
    ...record.phases.map(({ phase, fromMs, seconds }) => {
      const words = `${phaseWords[phase]}, for ${spanWords(seconds)}.`;
      return line('phase', fromMs, words, grave.includes(phase) ? 'care' : 'course');
    }),
    ...record.interruptions.map(({ fromMs, untilMs, seconds, adhesion }) => {
      const long = seconds === null ? 'an unknown time' : spanWords(seconds);
      const until = untilMs === null ? ', and still' : `, until ${momentOfRun(untilMs, record.startedAtMs, zone)}`;
      const words = `Without current for ${long}${until}. ${adhesion}`;
      return line('interruption', fromMs ?? untilMs ?? record.startedAtMs, words, 'care');
    }),
    ...record.happened.map(({ atMs, words }) => line('happening', atMs, words)),
    ...record.alarms.map((told) => ({
      ...line('alarm', told.alarm.raisedAtMs, alarmWords(told, record.startedAtMs, zone), 'care'),
      alarmId: told.alarm.alarmId,
    })),
    ...(record.endedAtMs === null ? [] : [line('end', record.endedAtMs, 'The run ended.')]),
  ].sort((one, other) => one.atMs - other.atMs);
}

/** Example: "Rotation stopped: no pulse for 23 s. Acknowledged by Robin Tue 02:11; gone Tue 02:12." */
function alarmWords({ alarm }: AlarmWithStory, startedAtMs: number, zone: string): string {
  const { title, detail, acknowledgedAtMs, acknowledgedBy, returnedAtMs } = alarm;
  const seen =
    acknowledgedAtMs === null
      ? 'Nobody acknowledged it'
      : `Acknowledged ${byWords(acknowledgedBy ?? ON_THE_PAGE)} ${momentOfRun(acknowledgedAtMs, startedAtMs, zone)}`;
  const gone =
    returnedAtMs === null
      ? alarm.isImported === true
        ? 'it stood when the file was written'
        : 'it stands'
      : `gone ${momentOfRun(returnedAtMs, startedAtMs, zone)}`;
  return `${title}: ${detail.replace(/[.\s]*$/, '')}. ${seen}; ${gone}.`;
}
