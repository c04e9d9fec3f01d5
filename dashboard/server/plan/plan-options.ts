/*
 * The options of `npm run plan`: one table for reading them and for the help. Turns what was typed into a request in metric units, or into everything
 * that is wrong with it, each fault saying what, expected, got, what to do. Reads no file and computes no plan.
 */
import {
  type LengthUnit,
  millimetresPerUnit,
  type ShapeKind,
  shapeDimensions,
  type SimpleShape,
} from '@bathkeeper/shared-core/part';
import {
  type Agitation,
  bathProfiles,
  fromUnits,
  penFactors,
  type PenFactorName,
  type PlanRequest,
  type Unit,
  type UnitSystem,
  unitName,
} from '@bathkeeper/shared-core/trade';
import type { RigLimits } from '@bathkeeper/shared-core/control';

/** A part as it was named; models are read later. */
export type NamedPart =
  | { readonly kind: 'model'; readonly path: string }
  | { readonly kind: 'shape'; readonly shape: SimpleShape }
  | { readonly kind: 'area'; readonly areaDm2: number };

export interface AskedPart {
  readonly named: NamedPart;
  readonly pieces: number;
  readonly maskedDm2: number;
  /** Of the material of one piece, where a person gave it: for an area, or a model whose surface bounds none. */
  readonly volumeCm3: number | undefined;
}

export interface PlanOptions {
  readonly parts: readonly AskedPart[];
  readonly request: Omit<PlanRequest, 'parts'>;
  readonly units: UnitSystem;
  readonly lengthUnit: LengthUnit | undefined;
  readonly millimetresPerUnit: number | undefined;
  readonly rig: RigLimits | undefined;
  readonly isJson: boolean;
  readonly isExplained: boolean;
}

type Values = Record<string, Record<string, unknown>>;

interface NumberOption {
  readonly flag: string;
  readonly unit: Unit;
  /** Where it goes: a property of the request, or of one of its groups. */
  readonly to: readonly [string] | readonly [string, string];
  readonly help: string;
  /** Typed in percent, kept as a share. */
  readonly isPercent?: boolean;
}

const numberOptions: readonly NumberOption[] = [
  { flag: '--thickness', unit: 'µm', to: ['averageThicknessMicrometres'], help: 'aim at this average thickness' },
  { flag: '--charge', unit: 'Ah', to: ['chargeAmpereHours'], help: 'or at this charge' },
  { flag: '--hours', unit: 'h', to: ['plateHours'], help: 'or at this plate time' },
  {
    flag: '--density',
    unit: 'A/dm²',
    to: ['currentDensityAmpsPerDm2'],
    help: 'current density; else the bath’s usual one',
  },
  { flag: '--amps', unit: 'A', to: ['currentAmps'], help: 'or the current of all pieces' },
  { flag: '--supply', unit: 'A', to: ['supplyAmpsMax'], help: 'largest current of the supply' },
  { flag: '--supply-volts', unit: 'V', to: ['supplyVoltsMax'], help: 'largest voltage of the supply' },
  { flag: '--temperature', unit: '°C', to: ['bathCelsius'], help: 'bath at the start' },
  { flag: '--room', unit: '°C', to: ['roomCelsius'], help: 'room' },
  { flag: '--efficiency', unit: '%', to: ['cathodeEfficiency'], help: 'cathode efficiency', isPercent: true },
  {
    flag: '--conductivity',
    unit: 'S/m',
    to: ['conductivitySiemensPerMetre'],
    help: 'of the bath at 25 °C, as measured (1 S/m is 10 mS/cm)',
  },
  { flag: '--strike-density', unit: 'A/dm²', to: ['strikeDensityAmpsPerDm2'], help: 'first current on the paint' },
  { flag: '--strike-minutes', unit: 'min', to: ['strikeMinutes'], help: 'how long' },
  { flag: '--ramp-minutes', unit: 'min', to: ['rampMinutes'], help: 'climb to the set-point' },
  {
    flag: '--rotation',
    unit: '1/min',
    to: ['rotationPulsesPerMinute'],
    help: 'pulses of the turning part; 0: it stands',
  },
  {
    flag: '--claim',
    unit: 'µm',
    to: ['claimedThicknessMicrometres'],
    help: 'a thickness of one wall that somebody promises',
  },
  {
    flag: '--finishing',
    unit: 'µm',
    to: ['finishingMicrometres'],
    help: 'what sanding and polishing take off each wall',
  },
  { flag: '--anode-gap', unit: 'mm', to: ['anodes', 'gapMm'], help: 'from anode to part' },
  { flag: '--anode-ratio', unit: '1', to: ['anodes', 'areaRatio'], help: 'anode area over part area' },
  {
    flag: '--anode-face',
    unit: 'dm²',
    to: ['anodes', 'faceDm2Each'],
    help: 'what of one anode faces the part in the liquid',
  },
  { flag: '--anodes', unit: '1', to: ['anodes', 'count'], help: 'how many hang' },
  { flag: '--bath-volume', unit: 'L', to: ['tank', 'litres'], help: 'instead of --tank' },
  { flag: '--cable-length', unit: 'm', to: ['conductors', 'cableMetres'], help: 'there and back together' },
  { flag: '--cable', unit: 'mm²', to: ['conductors', 'cableMm2'], help: 'cross-section, IEC 60228' },
  {
    flag: '--paint-resistance',
    unit: 'Ω/sq',
    to: ['paint', 'sheetOhmsPerSquare'],
    help: 'sheet resistance of the paint, as measured',
  },
  { flag: '--contacts', unit: '1', to: ['paint', 'contacts'], help: 'contacts on each piece' },
  {
    flag: '--paint-thickness',
    unit: 'µm',
    to: ['paint', 'dryMicrometres'],
    help: 'dry paint; 0: the part is metal already',
  },
  {
    flag: '--paint-solids',
    unit: '%',
    to: ['paint', 'solidsShare'],
    help: 'solids of the paint by volume',
    isPercent: true,
  },
  { flag: '--paint-loss', unit: '%', to: ['paint', 'lossShare'], help: 'paint that misses the part', isPercent: true },
  { flag: '--thinner', unit: '%', to: ['paint', 'thinnerShare'], help: 'thinner for the paint', isPercent: true },
  { flag: '--mass', unit: 'g', to: ['weight', 'massGramsEach'], help: 'of one painted piece, by the balance' },
  {
    flag: '--print-density',
    unit: 'g/cm³',
    to: ['weight', 'printGramsPerCm3'],
    help: 'or the density of what it is printed from',
  },
  {
    flag: '--filled',
    unit: '%',
    to: ['weight', 'filledShare'],
    help: 'and how much of its volume that fills',
    isPercent: true,
  },
  { flag: '--ballast-density', unit: 'g/cm³', to: ['weight', 'ballastGramsPerCm3'], help: 'density of the ballast' },
  { flag: '--brightener', unit: 'L/kAh', to: ['brightenerLitresPerKiloampereHour'], help: 'consumption' },
  { flag: '--metal-price', unit: 'money', to: ['prices', 'metalPerKg'], help: 'a kg of anodes, in your money' },
  { flag: '--electricity-price', unit: 'money', to: ['prices', 'electricityPerKwh'], help: 'a kWh' },
  { flag: '--brightener-price', unit: 'money', to: ['prices', 'brightenerPerLitre'], help: 'a litre' },
  { flag: '--paint-price', unit: 'money', to: ['prices', 'paintPerLitre'], help: 'a litre' },
  { flag: '--pen-thickness', unit: 'µm', to: ['secondLayer', 'micrometres'], help: 'of a second layer by pen' },
  { flag: '--pen-area', unit: 'dm²', to: ['secondLayer', 'areaDm2'], help: 'where it goes' },
  { flag: '--pen-amps', unit: 'A', to: ['secondLayer', 'amps'], help: 'current of the pen' },
  {
    flag: '--pen-factor',
    unit: '1',
    to: ['secondLayer', 'ampereHoursPerIn2TenThousandth'],
    help: 'its own, Ah for a square inch and 0.0001 in',
  },
  { flag: '--pen-width', unit: 'mm', to: ['secondLayer', 'penWidthMm'], help: 'face of the pen' },
  { flag: '--pen-speed', unit: 'mm/s', to: ['secondLayer', 'penMillimetresPerSecond'], help: 'over the part' },
];

const agitations: readonly Agitation[] = ['still', 'moving', 'vigorous'];
const penNames = Object.keys(penFactors) as PenFactorName[];
const shapeKinds = Object.keys(shapeDimensions) as ShapeKind[];
const lengthUnits = Object.keys(millimetresPerUnit) as LengthUnit[];
const systems: readonly UnitSystem[] = ['metric', 'imperial'];

/** In the units that `--units` names. */
export function planHelp(units: UnitSystem = 'metric'): string {
  const line = (flag: string, help: string): string => `  ${flag.padEnd(30)} ${help}`;
  const length = unitName('mm', units);
  return [
    'npm run plan -- part.stl --thickness 300 --density 2 --bath bright-copper --supply 30',
    '',
    'Everything that a night in the bath needs, from the part’s model (STL, OBJ, 3MF), with the reason for every number.',
    '',
    'The part, once or more:',
    line('part.stl', 'a model file'),
    line(`--shape KIND:AxB…  ${length}`, 'or a simple shape:'),
    ...shapeKinds.map((kind) =>
      line('', `  ${kind}:${shapeDimensions[kind].map((each) => each.words.toLowerCase()).join(' x ')}`),
    ),
    line(`--area N  ${unitName('dm²', units)}`, 'or a plated area'),
    line('--pieces N[,N…]', 'how many of each'),
    line(`--masked N[,N…]  ${unitName('dm²', units)}`, 'what of one piece is not plated'),
    line(`--volume N[,N…]  ${unitName('cm³', units)}`, 'of one piece, where the model does not tell'),
    line('--unit NAME', `of a file that says none: ${lengthUnits.join(', ')}; millimeter`),
    line('--scale N', 'or millimetres a unit, whatever the file says'),
    '',
    'The run:',
    line('--bath NAME', 'one of these; else the first:'),
    ...bathProfiles.map((each) => line('', `  ${each.key}: ${each.purpose}`)),
    ...numberOptions.map((each) =>
      line(
        `${each.flag} N  ${each.unit === 'money' || each.unit === '1' ? '' : unitName(each.unit, units)}`,
        each.help,
      ),
    ),
    line('--agitation HOW', `${agitations.join(', ')}; moving`),
    line(`--tank LxWxH,FILL  ${length}`, 'inside: length x width x height to the rim, level of the liquid'),
    line('--shunt AMPS/MILLIVOLTS', '50/75'),
    line('--pen NAME', `second layer by pen: ${penNames.join(', ')}`),
    line(`--rig AMPS,VOLTS,${unitName('°C', units)},HOURS`, 'limits of the rig, to check the recipe against'),
    '',
    'The answer:',
    line('--units metric|imperial', 'of what is typed and shown; metric'),
    line('--explain', 'each figure with its formula, inputs and source'),
    line('--json', 'for another program, every figure with its unit'),
    line('--help', 'this text (with --units imperial: in those)'),
    '',
    'Ends with 1 when a file cannot be read or a thickness is claimed that cannot be, with 2 when it was asked for something that makes no sense.',
  ].join('\n');
}

/** Either what was asked, or everything that is wrong with it. */
export function planOptions(args: readonly string[]): PlanOptions | { readonly faults: readonly string[] } {
  const reader = new OptionReader(args);
  return reader.faults.length > 0 ? { faults: reader.faults } : reader.options();
}

/** `--units`, wherever it stands, since everything else is read in it. */
function unitsAsked(args: readonly string[]): UnitSystem {
  const at = args.findIndex((arg) => arg === '--units' || arg.startsWith('--units='));
  const typed = at < 0 ? '' : (args[at]!.split('=')[1] ?? args[at + 1]);
  return typed === 'imperial' ? 'imperial' : 'metric';
}

class OptionReader {
  readonly faults: string[] = [];
  private readonly units: UnitSystem;
  private readonly named: NamedPart[] = [];
  private readonly values: Values = { request: {} };
  private readonly seen = new Set<string>();
  private pieces: number[] = [1];
  private maskedDm2: number[] = [0];
  private volumeCm3: (number | undefined)[] = [undefined];
  private lengthUnit: LengthUnit | undefined;
  private millimetresPerUnit: number | undefined;
  private rig: RigLimits | undefined;
  private isJson = false;
  private isExplained = false;
  private readonly rest: string[];

  constructor(args: readonly string[]) {
    this.units = unitsAsked(args);
    this.rest = [...args];
    while (this.rest.length > 0) this.readNext();
    this.checkLists();
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
      request: this.values['request'] as unknown as Omit<PlanRequest, 'parts'>,
      units: this.units,
      lengthUnit: this.lengthUnit,
      millimetresPerUnit: this.millimetresPerUnit,
      rig: this.rig,
      isJson: this.isJson,
      isExplained: this.isExplained,
    };
  }

  private readNext(): void {
    const arg = this.rest.shift() ?? '';
    if (!arg.startsWith('--')) {
      this.named.push({ kind: 'model', path: arg });
      return;
    }
    const [flag = '', inline] = arg.split(/=(.*)/s, 2);
    if (flag === '--json' || flag === '--explain') {
      if (flag === '--json') this.isJson = true;
      else this.isExplained = true;
      return;
    }
    const read = this.readers.get(flag);
    if (read === undefined) {
      this.faults.push(
        `${flag}: expected an option of this command, got one that there is not.${this.nearest(flag)} See --help for all of them.`,
      );
      return;
    }
    if (this.seen.has(flag) && !['--shape', '--area'].includes(flag)) {
      this.faults.push(`${flag}: expected once, got a second time. Leave one of them out.`);
    }
    this.seen.add(flag);
    const isValueNext = this.rest.length > 0 && !this.rest[0]!.startsWith('--');
    const value = inline ?? (isValueNext ? this.rest.shift() : undefined);
    if (value === undefined || value === '') {
      this.faults.push(`${flag}: expected a value after it, got nothing. Write it as "${flag} …"; see --help.`);
      return;
    }
    read(value);
  }

  /** A number as it was typed, in metric; a fault and 1 where it is none. */
  private number(flag: string, text: string, unit: Unit): number {
    const typed = Number(text);
    if (text.trim() !== '' && Number.isFinite(typed)) return fromUnits(typed, unit, this.units);
    const name = unit === '1' || unit === 'money' ? '' : ` in ${unitName(unit, this.units)}`;
    this.faults.push(`${flag}: expected a number${name}, got "${text}". Write it as "${flag} 2.5", with a point.`);
    return 1;
  }

  private choice<Of extends string>(flag: string, text: string, among: readonly Of[]): Of {
    const found = among.find((each) => each === text);
    if (found !== undefined) return found;
    this.faults.push(`${flag}: expected one of ${among.join(', ')}, got "${text}". Choose one of them.`);
    return among[0]!;
  }

  private put(to: readonly [string] | readonly [string, string], value: unknown): void {
    const request = this.values['request'] ?? {};
    const [name, inner] = to;
    if (inner === undefined) request[name] = value;
    else request[name] = { ...(request[name] as object | undefined), [inner]: value };
  }

  private readonly readers = new Map<string, (text: string) => void>([
    ...numberOptions.map((option): [string, (text: string) => void] => [
      option.flag,
      (text) => {
        const value = this.number(option.flag, text, option.unit);
        this.put(option.to, option.isPercent === true ? value / 100 : value);
      },
    ]),
    [
      '--bath',
      (text) => {
        this.put(
          ['bath'],
          this.choice(
            '--bath',
            text,
            bathProfiles.map((each) => each.key),
          ),
        );
      },
    ],
    [
      '--agitation',
      (text) => {
        this.put(['agitation'], this.choice('--agitation', text, agitations));
      },
    ],
    [
      '--pen',
      (text) => {
        this.put(['secondLayer', 'pen'], this.choice('--pen', text, penNames));
      },
    ],
    [
      '--units',
      (text) => {
        this.choice('--units', text, systems);
      },
    ],
    [
      '--unit',
      (text) => {
        this.lengthUnit = this.choice('--unit', text, lengthUnits);
      },
    ],
    [
      '--scale',
      (text) => {
        this.millimetresPerUnit = this.number('--scale', text, '1');
      },
    ],
    [
      '--area',
      (text) => {
        this.named.push({ kind: 'area', areaDm2: this.number('--area', text, 'dm²') });
      },
    ],
    [
      '--shape',
      (text) => {
        this.readShape(text);
      },
    ],
    [
      '--pieces',
      (text) => {
        this.pieces = text.split(',').map((each) => this.number('--pieces', each, '1'));
      },
    ],
    [
      '--masked',
      (text) => {
        this.maskedDm2 = text.split(',').map((each) => this.number('--masked', each, 'dm²'));
      },
    ],
    [
      '--volume',
      (text) => {
        this.volumeCm3 = text.split(',').map((each) => this.number('--volume', each, 'cm³'));
      },
    ],
    [
      '--tank',
      (text) => {
        this.readTank(text);
      },
    ],
    [
      '--shunt',
      (text) => {
        this.readShunt(text);
      },
    ],
    [
      '--rig',
      (text) => {
        this.readRig(text);
      },
    ],
  ]);

  private readShape(text: string): void {
    const [kindTyped = '', sizes = ''] = text.split(':', 2);
    const kind = shapeKinds.find((each) => each === kindTyped);
    if (kind === undefined) {
      this.faults.push(
        `--shape: expected one of ${shapeKinds.join(', ')} before the colon, got "${kindTyped}". Write it as "--shape cylinder:50x120".`,
      );
      return;
    }
    const dimensions = shapeDimensions[kind];
    const typed = sizes.split('x');
    if (typed.length !== dimensions.length) {
      this.faults.push(
        `--shape ${kind}: expected ${String(dimensions.length)} lengths in ${unitName('mm', this.units)} (${dimensions.map((each) => each.words.toLowerCase()).join(' x ')}), got "${sizes}". Write it as "--shape cylinder:50x120".`,
      );
      return;
    }
    const lengths = typed.map((each) => this.number(`--shape ${kind}`, each, 'mm'));
    const shape = { kind, ...Object.fromEntries(dimensions.map((each, index) => [each.name, lengths[index]])) };
    this.named.push({ kind: 'shape', shape: shape as unknown as SimpleShape });
  }

  private readTank(text: string): void {
    const [sizes = '', fill] = text.split(',', 2);
    const typed = sizes.split('x');
    if (typed.length !== 3 || fill === undefined) {
      this.faults.push(
        `--tank: expected length x width x height, then a comma and the level of the liquid, in ${unitName('mm', this.units)}, got "${text}". Write it as "--tank 500x400x350,300".`,
      );
      return;
    }
    ['lengthMm', 'widthMm', 'heightMm', 'fillMm'].forEach((name, index) => {
      this.put(['tank', name], this.number('--tank', [...typed, fill][index]!, 'mm'));
    });
  }

  private readShunt(text: string): void {
    const [amps, millivolts, ...more] = text.split('/');
    if (amps === undefined || millivolts === undefined || more.length > 0) {
      this.faults.push(`--shunt: expected amperes and millivolts, got "${text}". Write it as "--shunt 50/75".`);
      return;
    }
    this.put(['conductors', 'shuntRatedAmps'], this.number('--shunt', amps, 'A'));
    this.put(['conductors', 'shuntRatedMillivolts'], this.number('--shunt', millivolts, 'mV'));
  }

  private readRig(text: string): void {
    const typed = text.split(',');
    if (typed.length !== 4) {
      this.faults.push(
        `--rig: expected amperes, volts, ${unitName('°C', this.units)} and hours of the rig’s limits, got "${text}". Write it as "--rig 35,8,40,14".`,
      );
      return;
    }
    const [amps, volts, celsius, hours] = typed;
    this.rig = {
      currentAmpsMax: this.number('--rig', amps!, 'A'),
      terminalVoltsMax: this.number('--rig', volts!, 'V'),
      bathCelsiusMax: this.number('--rig', celsius!, '°C'),
      runSecondsMax: this.number('--rig', hours!, 'h') * 3600,
    };
  }

  /** What only shows when all was read. */
  private checkLists(): void {
    if (this.named.length === 0) {
      this.faults.push('A part: expected a model file, --shape or --area, got none. Name one; see --help.');
    }
    const lists = [
      ['--pieces', this.pieces],
      ['--masked', this.maskedDm2],
      ['--volume', this.volumeCm3],
    ] as const;
    for (const [flag, list] of lists) {
      if (list.length > 1 && list.length !== this.named.length) {
        this.faults.push(
          `${flag}: expected one number for all parts or one for each of the ${String(this.named.length)}, got ${String(list.length)}. Give as many as parts.`,
        );
      }
    }
    const pens = ['--pen', '--pen-thickness', '--pen-area', '--pen-amps'];
    const missing = pens.filter((each) => !this.seen.has(each));
    const isPenWished =
      numberOptions.some((each) => each.to[0] === 'secondLayer' && this.seen.has(each.flag)) || this.seen.has('--pen');
    if (isPenWished && missing.length > 0) {
      this.faults.push(
        `A layer by pen: expected ${pens.join(', ')}, got it without ${missing.join(', ')}. Give them too.`,
      );
    }
  }

  /** Of a slip of the fingers. */
  private nearest(flag: string): string {
    const all = [...this.readers.keys(), '--json', '--explain', '--help'];
    const near = all.find((each) => each.startsWith(flag) || flag.startsWith(each));
    return near === undefined ? '' : ` Did you mean ${near}?`;
  }
}
