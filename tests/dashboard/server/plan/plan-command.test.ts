/* `npm run plan` without a process: what it prints, what it refuses, and with which exit code. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import type { Mesh } from '@bathkeeper/shared-core/part';
import { figureGroups, planExport, type PlanExport } from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { sourceOf } from '../../../../dashboard/model-files/index.js';
import { withFileSource } from '../../../../dashboard/server/plan/file-source.js';
import { planCommand } from '../../../../dashboard/server/plan/plan-command.js';
import { asciiStl as textOf, box, together, turned } from '../../../shared-core/part/shapes.js';
import { asciiStl, binaryStl, cubePlaces, cubeThreeMf } from '../../model-files/writers.js';

/** A cube of 100 mm: 6 dm² and 1000 cm³. */
const cube = binaryStl(cubePlaces.map((place) => place.map((each) => each * 50)));
const open = asciiStl(cubePlaces.map((place) => place.map((each) => each * 50))).replace(
  /facet normal[^]*?endfacet\n/,
  '',
);
const fileOf = (mesh: Mesh) => new TextEncoder().encode(textOf(mesh));
const block = box([40, 40, 40]);
const stlModels = dirname(createRequire(import.meta.url).resolve('stl-models/package.json'));

const files: Record<string, Uint8Array> = {
  'cube.stl': cube,
  'cube.3mf': cubeThreeMf(),
  'block.stl': fileOf(block),
  'inside-out.stl': fileOf(turned(block)),
  'hollow.stl': fileOf(together(block, turned(box([30, 30, 30], [5, 5, 5])))),
  'open.stl': new TextEncoder().encode(open),
  'cut.stl': cube.slice(0, 400),
  'empty.stl': new Uint8Array(),
};

function read(path: string): Uint8Array {
  const found = files[path];
  if (found === undefined) throw Object.assign(new Error('missing'), { code: 'ENOENT' });
  return found;
}

const run = (...args: string[]) => planCommand(args, (path, use) => use(sourceOf(read(path))));
const usual = ['--thickness', '300', '--density', '2', '--bath', 'bright-copper'];

function json(...args: string[]): PlanExport {
  const { out, exitCode, err } = run(...args, '--json');
  expect(err).toBe('');
  expect(exitCode).toBe(0);
  return JSON.parse(out) as PlanExport;
}

describe('a plan as JSON', () => {
  test('has the keys that other programs read, in the units of their names', () => {
    const plan = json('cube.stl', ...usual, '--supply', '30');
    expect(plan.areaDm2).toBeCloseTo(6, 6);
    expect(plan.volumeCm3).toBeCloseTo(1000, 3);
    expect(plan.isClosed).toBe(true);
    expect(plan.setPointAmps).toBeCloseTo(12, 5);
    expect(plan.chargeAmpereHours).toBeCloseTo(136.04, 1);
    expect(plan.plateHours).toBeCloseTo(plan.chargeAmpereHours / plan.setPointAmps, 9);
    expect(plan.depositMassGrams).toBeCloseTo(6 * 0.03 * 100 * 8.96, 2);
    expect(plan.averageThicknessMicrometres).toBeCloseTo(300, 6);
    expect(plan.thinPlaceMicrometres).toBeLessThan(300);
    expect(plan.edgeMicrometres).toBeGreaterThan(300);
    expect(Array.isArray(plan.warnings)).toBe(true);
  });

  test('has every figure with its unit, formula, inputs and source', () => {
    const plan = json('cube.stl', ...usual, '--tank', '500x400x350,300', '--paint-resistance', '1');
    expect(Object.keys(plan.figures).length).toBeGreaterThan(45);
    const groups = new Set(figureGroups.map((each) => each.group as string));
    for (const [name, figure] of Object.entries(plan.figures)) {
      expect(figure.unit, name).not.toBe('');
      expect(figure.source, name).not.toBe('');
      expect(groups.has(figure.group), name).toBe(true);
    }
    expect(plan.figures['setPointAmps']).toMatchObject({ unit: 'A' });
    expect(plan.night.length).toBeGreaterThan(10);
  });

  test('keeps metric names metric, and shows a person’s own units beside them', () => {
    const metric = json('cube.stl', ...usual);
    const imperial = json(
      'cube.stl',
      ...['--units', 'imperial', '--thickness', String(300 / 25.4), '--density', String(2 * 9.290304)],
      ...['--bath', 'bright-copper'],
    );
    expect(imperial.units).toBe('imperial');
    expect(imperial.chargeAmpereHours).toBeCloseTo(metric.chargeAmpereHours, 9);
    expect(imperial.averageThicknessMicrometres).toBeCloseTo(300, 9);
    expect(imperial.figures['averageThicknessMicrometres']!.shown).toEqual({
      value: expect.closeTo(11.811, 3) as number,
      unit: 'mil',
    });
    expect(metric.figures['averageThicknessMicrometres']).not.toHaveProperty('shown');
  });

  test('of an open surface has its area, no volume, and says so', () => {
    const plan = json('open.stl', ...usual);
    expect(plan.isClosed).toBe(false);
    expect(plan.volumeCm3).toBeNull();
    expect(plan.areaDm2).toBeGreaterThan(5);
    expect(plan.warnings).toContainEqual(
      expect.stringMatching(/^open\.stl: There is no volume: the surface has 3 open edges/),
    );
    expect(json('open.stl', ...usual, '--volume', '900').volumeCm3).toBe(900);
  });

  test('of a part without a model knows no closedness, of a shape its volume', () => {
    const area = json('--area', '12', ...usual);
    expect(area).toMatchObject({ areaDm2: 12, volumeCm3: null, isClosed: null });
    const shape = json('--shape', 'box:100x100x100', ...usual);
    expect(shape.areaDm2).toBeCloseTo(6, 9);
    expect(shape.volumeCm3).toBeCloseTo(1000, 9);
    expect(shape.isClosed).toBe(true);
  });

  test('of a model below 0.01 dm² is a plan all the same', () => {
    const plan = json('cube.3mf', ...usual);
    expect(plan.areaDm2).toBeCloseTo(0.0024, 9);
    expect(plan.setPointAmps).toBeCloseTo(0.0048, 9);
    expect(plan.plateHours).toBeCloseTo(11.34, 2);
  });

  test('of the gearwheel of the npm package stl-models has its published area and volume (4508.734 mm², 8922.637 mm³)', () => {
    const outcome = planCommand([join(stlModels, 'objects/gearwheel.bin.stl'), ...usual, '--json'], withFileSource);
    const plan = JSON.parse(outcome.out) as PlanExport;
    expect(plan.areaDm2 * 10_000).toBeCloseTo(4508.734, 2);
    expect(plan.volumeCm3! * 1000).toBeCloseTo(8922.637, 2);
  });
});

describe('several parts and pieces', () => {
  test('k pieces take k times the current and charge, in the same time', () => {
    const one = json('cube.stl', ...usual);
    const three = json('cube.stl', ...usual, '--pieces', '3');
    expect(three.setPointAmps).toBeCloseTo(3 * one.setPointAmps, 9);
    expect(three.chargeAmpereHours).toBeCloseTo(3 * one.chargeAmpereHours, 6);
    expect(three.areaDm2).toBeCloseTo(3 * one.areaDm2, 9);
    expect(three.volumeCm3).toBeCloseTo(3 * one.volumeCm3!, 6);
    expect(three.plateHours).toBeCloseTo(one.plateHours, 9);
  });

  test('each part has its own count and what is masked of it', () => {
    const plan = json(
      'cube.stl',
      '--shape',
      'sphere:60',
      '--area',
      '1',
      ...usual,
      '--pieces',
      '2,3,4',
      '--masked',
      '1,0,0.5',
    );
    const sphere = Math.PI * 0.36;
    expect(plan.areaDm2).toBeCloseTo(2 * 5 + 3 * sphere + 4 * 0.5, 6);
    expect(plan.parts.map((part) => part.name)).toEqual(['cube.stl', 'sphere', 'part 3']);
    expect(plan.pieces).toBe(9);
    expect(plan.parts.map((part) => part.notPlated)).toEqual([
      ['1 dm² masked, as was typed in'],
      undefined,
      ['0.5 dm² masked, as was typed in'],
    ]);
  });
});

describe('a model’s shape', () => {
  const warnings = (name: string, ...more: string[]) =>
    (JSON.parse(run(name, '--density', '2', '--thickness', '300', '--json', ...more).out) as PlanExport).warnings.join(
      ' ',
    );

  test('of a plain block is neither a rod nor a recess, whole, inside out or with a closed cavity', () => {
    for (const name of ['block.stl', 'inside-out.stl', 'hollow.stl']) {
      expect(warnings(name), name).not.toContain('rods or tips');
      expect(warnings(name), name).not.toContain('recesses');
    }
    expect(warnings('inside-out.stl')).toContain('faces inwards');
    expect(warnings('hollow.stl')).toContain('closed cavities are not counted');
  });
});

describe('what is not plated', () => {
  test('stands on the sheet, in the person’s units, under the part’s own name', () => {
    const asked = ['--area', '2', '--masked', '0.5', '--density', '2', '--thickness', '100', '--pieces', '3'];
    expect(run(...asked).out).toContain('Not plated\n- “part”: 0.5 dm² masked, as was typed in, of each piece.\n');
    const [area, masked] = [2, 0.5].map((dm2) => String(dm2 / 9.290304));
    const imperial = [
      '--area',
      area!,
      '--masked',
      masked!,
      '--density',
      '20',
      '--thickness',
      '4',
      '--units',
      'imperial',
    ];
    expect(run(...imperial).out).toContain('- “part”: 0.0538 ft² masked, as was typed in.\n');
    expect(run('--area', '2', '--density', '2', '--thickness', '100').out).not.toContain('Not plated');
  });
});

describe('the two rules of thumb', () => {
  test('are planned as Faraday has them, and the claims are refused with exit code 1', () => {
    const four = json('--area', '1', '--density', '2', '--hours', '4', '--bath', 'bright-copper');
    expect(Math.abs(four.averageThicknessMicrometres / 105.8 - 1)).toBeLessThan(0.002);
    const night = ['--area', '15.5', '--amps', '31', '--hours', '10', '--bath', 'bright-copper'];
    expect(Math.abs(json(...night).averageThicknessMicrometres / 264.6 - 1)).toBeLessThan(0.002);
    const claimed = run(...night, '--claim', '500');
    expect(claimed.exitCode).toBe(1);
    expect(claimed.err).toMatch(/An average of 500 µm on one wall cannot be: .* = 264\.6 µm/);
    expect(claimed.out).toContain('REFUSED');
    const claimedJson = run(...night, '--claim', '500', '--json');
    expect((JSON.parse(claimedJson.out) as PlanExport).claimRefusal).toMatch(/cannot be/);
  });
});

describe('the job sheet', () => {
  const { out } = run('cube.stl', ...usual, '--supply', '30', '--tank', '500x400x350,300');

  test('says first what to set and what it gives, and in which units', () => {
    expect(out).toMatch(/^Job sheet: cube\.stl\nBright acid copper\. Units: metric \(A\/dm², µm, g\)\.\n/);
    expect(out).toMatch(/Set 12 A \(2 A\/dm²\) until 136 Ah: 11 h 20 min at that current, 11 h 41 min from the start/);
    expect(out.replaceAll(/\s+/g, ' ')).toMatch(
      /161 g of copper, 300 µm on average; about .* in thin places and .* at edges/,
    );
  });

  test('has the night hour by hour, and says what it does not know and what it took as usual', () => {
    expect(out).toMatch(/\n {2}0:00 +strike +1\.8 A +0 µm +.* V +25 to 25 °C\n/);
    expect(out).toMatch(/\n {2}0:40 +plate +12 A /);
    expect(out).toMatch(/ +open +0 A /);
    expect(out).toMatch(/Not known\n- How many contacts the paint needs/);
    expect(out).toMatch(/Taken as usual, since nobody said otherwise\n- Cathode efficiency: 100 %/);
  });

  test('stays within 100 columns and leaves no space at a line’s end', () => {
    for (const line of out.split('\n')) {
      expect(line.length, line).toBeLessThanOrEqual(100);
      expect(line).toBe(line.trimEnd());
    }
  });

  test('opens each figure to formula, inputs and source when asked', () => {
    const explained = run('cube.stl', ...usual, '--explain').out;
    expect(explained).toMatch(
      /Plate time +11\.34 h\n +(= )?charge ÷ set-point\n +from Charge: 136 Ah; Set-point: 12 A\n +source: arithmetic/,
    );
    expect(out).not.toContain('source:');
  });

  test('is in imperial units throughout when asked, sentences too', () => {
    const imperial = run('cube.stl', '--units', 'imperial', '--thickness', '12', '--density', '80').out;
    expect(imperial).toContain('Units: imperial (A/ft², mil, oz).');
    expect(imperial).toMatch(/Average thickness +12 mil/);
    expect(imperial).toMatch(/80 A\/ft² is above the usual 18\.6 to 69\.7 A\/ft²/);
    expect(imperial).not.toMatch(/\d (A\/dm²|µm|dm²|g|mm|°C)[\s,;)]/);
  });

  test('names the bath that it took when nobody named one', () => {
    expect(run('cube.stl', '--thickness', '300').out).toMatch(/Which bath it is: bright acid copper was taken/);
  });
});

describe('the recipe of a plan', () => {
  test('is given to the dashboard as it is, and checked against a rig that was named', () => {
    const plan = json('cube.stl', ...usual, '--rig', '35,8,40,20');
    expect(plan.recipeRequest).toMatchObject({ partName: 'cube.stl', bath: 'bright-copper' });
    expect(plan.recipeRequest.areaDm2).toBeCloseTo(6, 6);
    expect(plan.rig).toEqual({ refusals: [], cautions: [] });
    expect(json('cube.stl', ...usual).rig).toBeNull();
  });

  test('that a rig does not allow is refused on the sheet, with what to do', () => {
    const { out, exitCode } = run('cube.stl', ...usual, '--rig', '10,8,40,10');
    expect(exitCode).toBe(0);
    const words = out.replaceAll(/\s+/g, ' ');
    expect(words).toMatch(/THE RIG REFUSES - The plating current may be at most 10 A on this rig, got 12 A\. Lower/);
    expect(words).toMatch(/may last at most 10 h on this rig, this one would take 11\.69 h/);
  });
});

describe('a file that cannot be read', () => {
  test.each([
    [
      'one that is not there',
      'nothing.stl',
      /^nothing\.stl: expected a model file .*got no such file\. Check the path/,
    ],
    ['one that is cut short', 'cut.stl', /^cut\.stl: .*expected 684 bytes.*got 400.*\n$/],
    ['an empty one', 'empty.stl', /^empty\.stl: The file is empty: expected an STL, OBJ or 3MF file, got 0 bytes/],
  ])('ends with 1 and says why: %s', (_what, path, words) => {
    const { out, err, exitCode } = run(path, ...usual);
    expect(exitCode).toBe(1);
    expect(out).toBe('');
    expect(err).toMatch(words);
  });

  test('ends with 1 for a shape that cannot be', () => {
    const { err, exitCode } = run('--shape', 'tube:20x15x100', ...usual);
    expect(exitCode).toBe(1);
    expect(err).toMatch(/The tube: The wall of the tube leaves no hollow/);
  });

  test('is one of several: all that cannot be read are told', () => {
    const { err, exitCode } = run('nothing.stl', 'cube.stl', 'empty.stl', ...usual);
    expect(exitCode).toBe(1);
    expect(err).toMatch(/^nothing\.stl: .*\nempty\.stl: .*\n$/);
  });

  test('is read in pieces, and told when it is cut short meanwhile', () => {
    const whole = cube.length;
    const source = { size: whole, read: (at: number, length: number) => cube.subarray(at, Math.min(at + length, 400)) };
    const { err } = planCommand(['cube.stl', ...usual], (_, use) => use(source));
    expect(err).toMatch(/^cube\.stl: .*became shorter while it was read.*expected 12 triangles.*got 6/i);
    const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-plan-'));
    try {
      writeFileSync(join(folder, 'cube.stl'), cube);
      expect(planCommand([join(folder, 'cube.stl'), ...usual], withFileSource).exitCode).toBe(0);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });

  test('is told of a folder', () => {
    const outcome = planCommand([tmpdir(), ...usual], withFileSource);
    expect(outcome.err).toMatch(/got a folder/);
  });

  test('that fails in a way nobody foresaw is not swallowed', () => {
    const fails = (): never => {
      throw new TypeError('not foreseen');
    };
    expect(() => planCommand(['odd.stl', ...usual], fails)).toThrow('not foreseen');
  });
});

describe('bad options', () => {
  test.each<[string, string[], RegExp]>([
    [
      'an unknown one',
      ['--dens', '2'],
      /^--dens: expected an option of this command, .* Did you mean --density\? See --help/m,
    ],
    ['no number', ['--supply', 'many'], /^--supply: expected a number in A, got "many"\. Write it as "--supply 2\.5"/m],
    ['a comma for a point', ['--supply', '2,5'], /^--supply: expected a number in A, got "2,5"/m],
    ['an empty number', ['--supply', ' '], /^--supply: expected a number in A, got " "/m],
    ['no value', ['--supply'], /^--supply: expected a value after it, got nothing/m],
    ['a value that is the next option', ['--supply', '--json'], /^--supply: expected a value after it/m],
    ['twice', ['--room', '20', '--room', '21'], /^--room: expected once, got a second time/m],
    ['an unknown bath', ['--bath', 'gold'], /^--bath: expected one of bright-copper, .*got "gold"/m],
    ['an unknown agitation', ['--agitation', 'wild'], /^--agitation: expected one of still, moving, vigorous/m],
    ['unknown units', ['--units', 'cubits'], /^--units: expected one of metric, imperial, got "cubits"/m],
    ['an unknown unit of length', ['--unit', 'ell'], /^--unit: expected one of micron, millimeter/m],
    ['an unknown shape', ['--shape', 'heart:2'], /^--shape: expected one of plate, .* got "heart"/m],
    [
      'a shape without lengths',
      ['--shape', 'cylinder:5'],
      /^--shape cylinder: expected 2 lengths in mm \(diameter x length\), got "5"/m,
    ],
    ['a length that is none', ['--shape', 'sphere:big'], /^--shape sphere: expected a number in mm, got "big"/m],
    ['half a tank', ['--tank', '500x400'], /^--tank: expected length x width x height.*got "500x400"/m],
    ['half a shunt', ['--shunt', '50'], /^--shunt: expected amperes and millivolts, got "50"/m],
    ['half a rig', ['--rig', '35,8'], /^--rig: expected amperes, volts, °C and hours/m],
    [
      'more counts than parts',
      ['--pieces', '1,2'],
      /^--pieces: expected one number for all parts or one for each of the 1, got 2/m,
    ],
    [
      'half a pen',
      ['--pen', 'copper'],
      /^A layer by pen: expected --pen, .* got it without --pen-thickness, --pen-area, --pen-amps/m,
    ],
    ['pieces that are no whole number', ['--pieces', '1.5'], /pieces of cube\.stl have to be a whole number/],
    ['a bath that boils', ['--temperature', '150'], /bath temperature has to be 0 to 100 °C, got 150/],
    ['two targets', ['--hours', '4'], /exactly one of them has to be given\. Got 2/],
    ['a cable that is not sold', ['--cable', '5'], /cable has to be one of 2\.5, 4, 6/],
    ['more masked than there is', ['--masked', '7'], /plated area of cube\.stl has to be more than 0.*what is masked/],
  ])('end with 2 and say what, expected, got and what to do: %s', (_what, options, words) => {
    const { out, err, exitCode } = run('cube.stl', ...['--thickness', '300', '--density', '2'], ...options);
    expect(err).toMatch(words);
    expect(exitCode).toBe(2);
    expect(out).toBe('');
  });

  test('are told all at once', () => {
    const { err, exitCode } = run(
      '--thickness',
      'thick',
      '--bath',
      'tin',
      '--wrong',
      '--supply',
      '--temperature',
      '150',
    );
    expect(exitCode).toBe(2);
    // four of the options, one of the missing part, one of the plan itself
    expect(err.trim().split('\n')).toHaveLength(6);
    expect(err).toMatch(/bath temperature has to be 0 to 100 °C, got 150/);
    expect(err).not.toMatch(/exactly one of them/);
    expect(run('cube.stl', '--wrong').err).toMatch(/exactly one of them has to be given\. Got none/);
  });

  test('in imperial units say what was got as it was typed, and 2 A/ft² stay 2', () => {
    const { err } = run('--area', '5', '--units', 'imperial', '--thickness', '-3', '--room', '400');
    expect(err).toContain('average thickness has to be more than 0, up to 787.4 mil, got -3 mil.');
    expect(err).toContain('room temperature has to be -22 to 140 °F, got 400 °F.');
    const { out } = run('--area', '5', '--units', 'imperial', '--thickness', '2', '--density', '2');
    expect(out).toContain('- 2 A/ft² is below the usual 18.6 to 69.7 A/ft²');
  });

  test('of a shape are told in the units of its lengths, and a length that makes no sense is warned of', () => {
    const inches = ['--units', 'imperial', '--thickness', '8'];
    expect(run('--shape', 'tube:2x3x5', ...inches).err).toMatch(/expected at most 1 in, got 3 in/);
    expect(run('--shape', 'sphere:-1', ...inches).err).toMatch(/Diameter: expected a length above 0, got -1 in\./);
    expect(run('--shape', 'plate:100x10x1', ...inches).out).toMatch(
      /plate: The part is 100 in long, which makes no sense/,
    );
    expect(run('cube.stl', '--scale', '0.01', '--thickness', '300').out).toMatch(
      /check\s+the\s+unit\s+and\s+the\s+scale/,
    );
  });

  test('leave the name of a file as it is', () => {
    files['ring 5 mm.stl'] = new TextEncoder().encode(open);
    const { out } = run('ring 5 mm.stl', '--units', 'imperial', '--thickness', '8');
    expect(out).toMatch(/ring 5 mm\.stl: .*open edges/);
  });

  test('in imperial units are told in those', () => {
    const { err } = run('cube.stl', '--units', 'imperial', '--thickness', '12', '--temperature', '400');
    expect(err).toMatch(/has to be 32 to 212 °F, got/);
  });
});

describe('--help', () => {
  test('names every option, bath and shape, in the units asked for', () => {
    const { out, exitCode } = run('--help');
    expect(exitCode).toBe(0);
    for (const word of [
      '--thickness N  µm',
      '--density N  A/dm²',
      'bright-copper',
      'watts-nickel',
      'cylinder:diameter x length',
      '--json',
    ]) {
      expect(out).toContain(word);
    }
    expect(run('--help', '--units', 'imperial').out).toContain('--thickness N  mil');
  });
});

test('the export of a plan can be read back as JSON without loss', () => {
  const plan = json('cube.stl', ...usual);
  expect(JSON.parse(JSON.stringify(plan))).toEqual(plan);
  expect(planExport).toBeTypeOf('function');
});
