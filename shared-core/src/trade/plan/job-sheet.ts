/*
 * The plan as a sheet of plain text, to print and take to the bath. Called by the command; says its units at the top. The page draws a sheet of its own
 * from the same figures.
 */
import type { Figure, FigureInput } from '../figure.js';
import { significant } from '../shown.js';
import { inUnits, type UnitSystem } from '../units.js';
import { inWords, shownWith } from '../words-in-units.js';
import { partNames } from './part-names.js';
import type { Plan } from './plan.js';
import type { RigWords } from './plan-export.js';
import { figureGroups, figuresOf } from './plan-figures.js';
import { nightTable } from './night-table.js';

export interface SheetOptions {
  readonly units?: UnitSystem;
  /** Each figure opened to its formula, inputs and source. */
  readonly isExplained?: boolean;
  /** What the rig says to the recipe (recipe-from-plan.ts). */
  readonly rig?: RigWords;
}

const columns = 100;
const labelColumns = 54;

/** Lines end in a newline; at most 100 columns but where a word is longer. */
export function jobSheet(plan: Plan, options: SheetOptions = {}): string {
  const units = options.units ?? 'metric';
  const lines: string[] = [...heading(plan, units)];
  const paragraph = (title: string, sentences: readonly string[]): void => {
    if (sentences.length === 0) return;
    lines.push('', title);
    for (const sentence of sentences) lines.push(...wrapped(`- ${inWords(sentence, units)}`, 2));
  };
  paragraph('REFUSED', plan.claimRefusal === undefined ? [] : [plan.claimRefusal]);
  paragraph('THE RIG REFUSES', options.rig?.refusals ?? []);
  paragraph('Before you start', [
    ...new Set([...plan.warnings.map((each) => each.words), ...(options.rig?.cautions ?? [])]),
  ]);
  paragraph('Not plated', notPlatedOfPlan(plan));
  for (const { group, title } of figureGroups) {
    const figures = figuresOf(plan.figures, group);
    if (figures.length === 0) continue;
    lines.push('', title);
    for (const [, figure] of figures) {
      lines.push(...figureLines(figure, units));
      if (options.isExplained === true) lines.push(...explanation(figure, units));
    }
  }
  lines.push('', 'The night', ...nightLines(plan, units));
  paragraph('Not known', plan.gaps);
  paragraph('Taken as usual, since nobody said otherwise', assumptions(plan, units));
  return `${lines.join('\n')}\n`;
}

/** What hangs in the bath: "2 × leaf, bell". */
export function partsOfPlan(plan: Plan): string {
  return partNames(plan.request.parts);
}

/** One sentence for each part of which something is not plated, in metric. Example: “bell”: flat, faces down, 1.2 dm²; closed cavities, 0.2 dm², of each piece. */
export function notPlatedOfPlan(plan: Plan): string[] {
  return plan.request.parts.flatMap(({ name, pieces, notPlated = [] }) =>
    notPlated.length === 0 ? [] : [`“${name}”: ${notPlated.join('; ')}${pieces === 1 ? '' : ', of each piece'}.`],
  );
}

/** The plan in two sentences: what to set and how long, what it gives. */
export function planInShort(plan: Plan, units: UnitSystem): readonly [string, string] {
  const { deposit, distribution } = plan.figures;
  const short = (figure: Figure, digits = 3): string => shownWith(figure.value, figure.unit, units, digits);
  return [
    `Set ${short(deposit.setPointAmps)} (${short(deposit.setPointDensityAmpsPerDm2)}) until ${short(deposit.chargeAmpereHours)}: ` +
      `${clock(deposit.plateHours.value)} at that current, ${clock(deposit.runHours.value)} from the start with strike and ramp.`,
    `It gives ${short(deposit.depositMassGrams)} of ${plan.profile.metal.name}, ${short(deposit.averageThicknessMicrometres)} on average; ` +
      `about ${short(distribution.thinPlaceMicrometres, 2)} in thin places and ${short(distribution.edgeMicrometres, 2)} at edges.`,
  ];
}

function heading(plan: Plan, units: UnitSystem): string[] {
  const [set, gives] = planInShort(plan, units);
  return [
    ...wrapped(`Job sheet: ${partsOfPlan(plan)}`, 2),
    `${plan.profile.name}. ${units === 'metric' ? 'Units: metric (A/dm², µm, g).' : 'Units: imperial (A/ft², mil, oz).'}`,
    '',
    ...wrapped(set),
    ...wrapped(gives),
  ];
}

/** Hours and minutes. Example: `clock(11.34)` is "11 h 20 min". */
function clock(hours: number): string {
  const minutes = Math.round(hours * 60);
  if (minutes >= 60) return `${String(Math.floor(minutes / 60))} h ${String(minutes % 60)} min`;
  return hours >= 1 / 60 ? `${String(minutes)} min` : `${significant(hours * 3600, 2)} s`;
}

function figureLines(figure: Figure, units: UnitSystem): string[] {
  const { uncertainty } = figure;
  const shown = (value: number, digits: number): string =>
    significant(inUnits(value, figure.unit, units).value, digits);
  const spread =
    uncertainty === undefined || uncertainty.low === uncertainty.high
      ? ''
      : `   (${shown(uncertainty.low, 3)} to ${shown(uncertainty.high, 3)})`;
  const value = `${shownWith(figure.value, figure.unit, units)}${spread}`;
  const label = wrapped(`  ${figure.label}`, 4, labelColumns);
  const last = label.pop() ?? '';
  return [...label, `${last.padEnd(labelColumns)} ${value}`];
}

function explanation(figure: Figure, units: UnitSystem): string[] {
  const inputs = figure.inputs.map(
    (each) => `${inWords(each.label, units)}: ${shownWith(each.value, each.unit, units)}${assumedMark(each)}`,
  );
  return [
    ...wrapped(`      = ${inWords(figure.formula, units)}`, 8),
    ...(inputs.length === 0 ? [] : wrapped(`      from ${inputs.join('; ')}`, 8)),
    ...(figure.uncertainty === undefined
      ? []
      : wrapped(`      bounds: ${inWords(figure.uncertainty.because, units)}`, 8)),
    ...wrapped(`      source: ${figure.source}`, 8),
  ];
}

function assumedMark(input: FigureInput): string {
  return input.isAssumed === true ? ' (as usual)' : '';
}

/** Each once, in the order in which the figures need them. */
export function assumptions(plan: Plan, units: UnitSystem): string[] {
  const found = new Set<string>();
  for (const { group } of figureGroups) {
    for (const [, figure] of figuresOf(plan.figures, group)) {
      for (const each of figure.inputs) {
        if (each.isAssumed === true) found.add(`${each.label}: ${shownWith(each.value, each.unit, units)}`);
      }
    }
  }
  return [...found];
}

/** In columns, as far as the rows have something to say. */
function nightLines(plan: Plan, units: UnitSystem): string[] {
  const { head, rows } = nightTable(plan.night, units);
  const widths: Readonly<Record<string, number>> = {
    After: 9,
    Phase: 9,
    Current: 14,
    Average: 14,
    Supply: 20,
    Bath: 18,
  };
  const line = (row: readonly string[]): string =>
    `  ${row.map((cell, column) => cell.padEnd(widths[head[column] ?? ''] ?? 10)).join('')}`.trimEnd();
  return [line(head.map((each) => each.toLowerCase())), ...rows.map(line)];
}

/** Broken between words; later lines are indented. */
function wrapped(text: string, indent = 0, width: number = columns): string[] {
  const lead = /^ */.exec(text)?.[0] ?? '';
  const lines: string[] = [];
  let line = lead;
  let isEmpty = true;
  for (const word of text.trim().split(/\s+/)) {
    if (!isEmpty && line.length + 1 + word.length > width) {
      lines.push(line);
      line = ' '.repeat(indent);
      isEmpty = true;
    }
    line += isEmpty ? word : ` ${word}`;
    isEmpty = false;
  }
  lines.push(line);
  return lines;
}
