/*
 * The arguments of `npm run plan`, turned into a request in metric units, or into everything that is wrong with them: each fault says what, expected, got, what
 * to do, and all are told at once, those of the plan as well. Called by plan-command.ts. Reads no file and computes no plan.
 */
import type { RigLimits } from '@bathkeeper/shared-core/control';
import type { LengthUnit } from '@bathkeeper/shared-core/part';
import {
  type AskedChoice,
  type AskedOfPlan,
  type AskedPath,
  inWords,
  planFaults,
  type UnitSystem,
  withAnswer,
} from '@bathkeeper/shared-core/trade';
import type { NamedPart, PlanOptions } from './asked.js';
import { agitations, bathKeys, lengthUnits, penNames, unitSystems } from './choices.js';
import { numberOptions } from './number-options.js';
import { TypedValues } from './typed-values.js';

const flags = ['--json', '--explain'];
const wordOptions = [
  ...[
    '--shape',
    '--area',
    '--pieces',
    '--masked',
    '--volume',
    '--unit',
    '--scale',
    '--bath',
    '--agitation',
    '--tank',
    '--shunt',
  ],
  ...['--pen', '--rig', '--units'],
];
/** These make further parts each time. */
const repeatable = ['--shape', '--area'];
const penNeeds = ['--pen', '--pen-thickness', '--pen-area', '--pen-amps'];
/** Where one of these was mistyped, the plan is not told to have no target as well. */
const targets = ['averageThicknessMicrometres', 'chargeAmpereHours', 'plateHours'];

/** Either what was asked, or everything that is wrong with it. */
export function planOptions(args: readonly string[]): PlanOptions | { readonly faults: readonly string[] } {
  const reader = new OptionReader(args);
  const faults = reader.allFaults();
  return faults.length > 0 ? { faults } : reader.options();
}

/** `--units`, wherever it stands, since everything else is read in it. */
export function unitsAsked(args: readonly string[]): UnitSystem {
  const at = args.findIndex((arg) => arg === '--units' || arg.startsWith('--units='));
  const typed = at < 0 ? '' : (args[at]!.split('=')[1] ?? args[at + 1]);
  return typed === 'imperial' ? 'imperial' : 'metric';
}

class OptionReader {
  private readonly units: UnitSystem;
  private readonly typed: TypedValues;
  private readonly named: NamedPart[] = [];
  private request: AskedOfPlan = {};
  private readonly seen = new Set<string>();
  private pieces: number[] = [1];
  private maskedDm2: number[] = [0];
  private volumeCm3: (number | undefined)[] = [undefined];
  private lengthUnit: LengthUnit | undefined;
  private millimetresPerUnit: number | undefined;
  private rig: RigLimits | undefined;
  private readonly rest: string[];

  constructor(args: readonly string[]) {
    this.units = unitsAsked(args);
    this.typed = new TypedValues(this.units);
    this.rest = [...args];
    while (this.rest.length > 0) this.readNext();
    this.checkTogether();
  }

  /** Those of the plan too, as far as they can be told without reading a model. */
  allFaults(): string[] {
    const { faults } = this.typed;
    if (faults.length === 0) return [];
    const stand = { name: 'part', pieces: 1, areaDm2: 1 };
    const ofPlan = planFaults({ ...this.request, parts: [stand] });
    return [...faults, ...ofPlan.map((each) => inWords(each, this.units))];
  }

  options(): PlanOptions {
    const each = <Of>(list: readonly Of[], index: number): Of => list[list.length === 1 ? 0 : index]!;
    return {
      parts: this.named.map((named, index) => ({
        named,
        pieces: each(this.pieces, index),
        maskedDm2: each(this.maskedDm2, index),
        volumeCm3: each(this.volumeCm3, index),
      })),
      request: this.request,
      units: this.units,
      lengthUnit: this.lengthUnit,
      millimetresPerUnit: this.millimetresPerUnit,
      rig: this.rig,
      isJson: this.seen.has('--json'),
      isExplained: this.seen.has('--explain'),
    };
  }

  private readNext(): void {
    const arg = this.rest.shift() ?? '';
    if (!arg.startsWith('--')) {
      this.named.push({ kind: 'model', path: arg });
      return;
    }
    const [flag = '', inline] = arg.split(/=(.*)/s, 2);
    const isKnown = [...flags, ...wordOptions].includes(flag) || numberOptions.some((each) => each.flag === flag);
    if (!isKnown) {
      this.typed.faults.push(
        `${flag}: expected an option of this command, got one that there is not.${nearest(flag)} See --help for all of them.`,
      );
      return;
    }
    if (this.seen.has(flag) && !repeatable.includes(flag)) {
      this.typed.faults.push(`${flag}: expected once, got a second time. Leave one of them out.`);
    }
    this.seen.add(flag);
    if (flags.includes(flag)) return;
    const isValueNext = this.rest.length > 0 && !this.rest[0]!.startsWith('--');
    const value = inline ?? (isValueNext ? this.rest.shift() : undefined);
    if (value !== undefined && value !== '') this.take(flag, value);
    else
      this.typed.faults.push(`${flag}: expected a value after it, got nothing. Write it as "${flag} …"; see --help.`);
  }

  private take(flag: string, text: string): void {
    const { typed } = this;
    const option = numberOptions.find((each) => each.flag === flag);
    if (option !== undefined) {
      const value = typed.number(flag, text, option.unit);
      if (!Number.isNaN(value)) this.put(option.to, option.isPercent ? value / 100 : value);
      else if (targets.includes(option.to)) this.put(option.to, 1);
      return;
    }
    switch (flag) {
      case '--shape': {
        const shape = typed.shape(text);
        if (shape !== undefined) this.named.push({ kind: 'shape', shape });
        return;
      }
      case '--area':
        this.named.push({ kind: 'area', areaDm2: typed.number(flag, text, 'dm²') });
        return;
      case '--pieces':
        this.pieces = typed.numbers(flag, text, '1');
        return;
      case '--masked':
        this.maskedDm2 = typed.numbers(flag, text, 'dm²');
        return;
      case '--volume':
        this.volumeCm3 = typed.numbers(flag, text, 'cm³');
        return;
      case '--unit':
        this.lengthUnit = typed.choice(flag, text, lengthUnits);
        return;
      case '--scale':
        this.millimetresPerUnit = typed.number(flag, text, '1');
        return;
      case '--units':
        typed.choice(flag, text, unitSystems);
        return;
      case '--bath':
        this.put('bath', typed.choice(flag, text, bathKeys));
        return;
      case '--agitation':
        this.put('agitation', typed.choice(flag, text, agitations));
        return;
      case '--pen':
        this.put('secondLayer.pen', typed.choice(flag, text, penNames));
        return;
      case '--tank':
        this.putAll('tank', typed.tank(text));
        return;
      case '--shunt':
        this.putAll('conductors', typed.shunt(text));
        return;
      case '--rig':
        this.rig = typed.rig(text);
        return;
    }
  }

  private put(to: AskedPath | AskedChoice, value: unknown): void {
    this.request = withAnswer(this.request, to, value);
  }

  private putAll(group: 'tank' | 'conductors', values: object | undefined): void {
    this.request = { ...this.request, [group]: { ...this.request[group], ...values } };
  }

  /** What only shows when all was read. */
  private checkTogether(): void {
    const { faults } = this.typed;
    if (this.named.length === 0 && !repeatable.some((each) => this.seen.has(each))) {
      faults.push('A part: expected a model file, --shape or --area, got none. Name one; see --help.');
    }
    const lists = { '--pieces': this.pieces, '--masked': this.maskedDm2, '--volume': this.volumeCm3 };
    for (const [flag, list] of Object.entries(lists)) {
      if (list.length === 1 || list.length === this.named.length) continue;
      faults.push(
        `${flag}: expected one number for all parts or one for each of the ${String(this.named.length)}, got ${String(list.length)}. Give as many as parts.`,
      );
    }
    const missing = penNeeds.filter((each) => !this.seen.has(each));
    if ([...this.seen].some((each) => /^--pen(-|$)/.test(each)) && missing.length > 0) {
      faults.push(
        `A layer by pen: expected ${penNeeds.join(', ')}, got it without ${missing.join(', ')}. Give them too.`,
      );
    }
  }
}

/** Of a slip of the fingers. */
function nearest(flag: string): string {
  const all = [...numberOptions.map((each) => each.flag), ...wordOptions, ...flags, '--help'];
  const near = all.find((each) => each.startsWith(flag) || flag.startsWith(each));
  return near === undefined ? '' : ` Did you mean ${near}?`;
}
