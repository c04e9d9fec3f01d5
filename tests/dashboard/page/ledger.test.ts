/* The ledger's forms and sentences, without a browser: what was typed, what is asked of it, and how it reads. */
import { bathProfile, type EntryBody, settledEntry } from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { typedIn, typedTexts } from '../../../dashboard/page/forms/typed-figure.js';
import { fieldsOf } from '../../../dashboard/page/ledger/entry-fields.js';
import { readEntry } from '../../../dashboard/page/ledger/entry-reading.js';
import { valueOf } from '../../../dashboard/page/ledger/field-spec.js';
import { entryWords } from '../../../dashboard/page/ledger/entry-words.js';

const bright = bathProfile('bright-copper')!;
const keys = (act: Parameters<typeof fieldsOf>[0], typed: Record<string, string> = {}): string[] =>
  fieldsOf(act, typedTexts(typed), bright).map(({ key }) => key);

describe('what is asked', () => {
  test('of an addition follows what was added: a strength of an acid, a purity of salt, a name of what has none', () => {
    expect(keys('addition', { of: 'water' })).toEqual(['of', 'amount']);
    expect(keys('addition', { of: 'copper-sulphate' })).toEqual(['of', 'amount', 'purity']);
    expect(keys('addition', { of: 'sulphuric-acid' })).toEqual(['of', 'amount', 'acidStrength', 'acidDensity']);
    expect(keys('addition', { of: 'other-liquid' })).toEqual(['of', 'name', 'amount']);
  });

  test('of an analysis follows how it was made, and a method of another analyte does not stay', () => {
    expect(keys('analysis', { analyte: 'copper-sulphate', how: 'edta' })).toContain('titrant');
    expect(keys('analysis', { analyte: 'chloride', how: 'edta' })).toEqual(['analyte', 'how', 'value']);
  });

  test('of a ready-made solution is no weighing', () => {
    expect(keys('made-up', { from: 'ready-made' })).not.toContain('saltPurity');
    expect(keys('made-up')).toContain('saltPurity');
  });
});

describe('what was typed', () => {
  test('is read in metric, with a comma or a point; water by the litre is kept by the millilitre', () => {
    expect(readEntry('level', typedTexts({ litres: '58,5' }), bright, 'metric')).toEqual({
      body: { kind: 'level', litres: 58.5 },
    });
    expect(readEntry('addition', typedTexts({ of: 'water', amount: '2' }), bright, 'metric')).toMatchObject({
      body: { kind: 'addition', of: 'water', amount: 2000 },
    });
  });

  test('is read in the units of whoever typed it', () => {
    const read = readEntry('level', typedTexts({ litres: '16' }, 'imperial'), bright, 'imperial');
    // 16 US gal of exactly 3.785411784 L.
    expect(read).toEqual({ body: { kind: 'level', litres: expect.closeTo(60.566588544, 9) as number } });
  });

  test('stays exactly what it was when the units are switched, and is read from what was typed and not from what is shown', () => {
    const [litres] = fieldsOf('level', {}, bright);
    const typed = { litres: typedIn('metric', '60') };
    expect(valueOf(litres!, typed, 'imperial')).toBe('15.85');
    expect(valueOf(litres!, typed, 'metric')).toBe('60');
    expect(readEntry('level', typed, bright, 'imperial')).toEqual({ body: { kind: 'level', litres: 60 } });
  });

  test('and what stands in a field before anybody typed is read as exactly', () => {
    expect(readEntry('made-up', { litres: typedIn('imperial', '16') }, bright, 'imperial')).toMatchObject({
      body: { composition: { 'copper-sulphate': 200, 'sulphuric-acid': 70 }, acid: { densityGramsPerMl: 1.84 } },
    });
  });

  test('or was not, is told at its field, every fault at once', () => {
    const typed = { analyte: 'sulphuric-acid', how: 'sodium-hydroxide', titrant: 'much', molarity: '0' };
    expect(readEntry('analysis', typedTexts(typed), bright, 'metric')).toEqual({
      problems: {
        sample: 'Type a number.',
        titrant: 'Type a number; got “much”.',
        molarity: 'Type a number above zero; got “0”.',
      },
    });
  });

  test('makes a bath as is usual where nobody typed anything but the volume', () => {
    expect(readEntry('made-up', typedTexts({ litres: '60' }), bright, 'metric')).toMatchObject({
      body: {
        litres: 60,
        composition: { 'copper-sulphate': 200, 'sulphuric-acid': 70, chloride: 75 },
        acid: { strengthShare: 0.96, densityGramsPerMl: 1.84 },
        saltPurityShare: 1,
      },
    });
  });
});

describe('care that was typed', () => {
  test('is read as stretches that follow each other, and the next one is asked for when one is told', () => {
    expect(keys('hull-cell')).toContain('to1');
    expect(keys('hull-cell')).not.toContain('to2');
    const typed = { cell: '267 mL', look1: 'burnt', to1: '8', look2: 'bright', to2: '66' };
    expect(keys('hull-cell', typed)).toContain('to3');
    expect(readEntry('hull-cell', typedTexts(typed), bright, 'metric')).toMatchObject({
      body: { cellAmps: 1, minutes: 10, isStirred: true, seen: [{ look: 'burnt', fromMm: 0, toMm: 8 }, { look: 'bright', fromMm: 8, toMm: 66 }] },
    });
    expect(readEntry('hull-cell', {}, bright, 'metric')).toEqual({ problems: { to1: 'Type a number.' } });
  }); // prettier-ignore

  test('is kept in grams, litres, dm² and °C whatever it was typed in', () => {
    expect(readEntry('anodes-changed', typedTexts({ putIn: '2' }), bright, 'metric')).toEqual({
      body: { kind: 'anodes-changed', takenOutGrams: 0, putInGrams: 2000 },
    });
    // 10 lb of 0.45359237 kg, 1 ft² of 9.290304 dm², 77 degF: exact.
    expect(readEntry('anodes-weighed', typedTexts({ kilograms: '10' }, 'imperial'), bright, 'imperial')).toMatchObject({
      body: { grams: expect.closeTo(4535.9237, 6) as number },
    });
    expect(
      readEntry('tank', typedTexts({ openSurface: '1', usualCelsius: '77' }, 'imperial'), bright, 'imperial'),
    ).toMatchObject({
      body: { openSurfaceDm2: expect.closeTo(9.290304, 9) as number, bathCelsius: expect.closeTo(25, 9) as number },
    });
  });
});

describe('an entry reads', () => {
  const words = (body: EntryBody): string => entryWords(body, 'metric');

  test('as what was added, with what it was', () => {
    expect(words(settledEntry({ kind: 'addition', of: 'water', amount: 2000 }))).toBe('Added 2 L of water.');
    expect(
      words(
        settledEntry({
          kind: 'addition',
          of: 'sulphuric-acid',
          amount: 120,
          acid: { strengthShare: 0.96, densityGramsPerMl: 1.84 },
        }),
      ),
    ).toBe('Added 120 mL of 96 % sulphuric acid.');
    expect(words(settledEntry({ kind: 'addition', of: 'other-solid', name: 'dextrin', amount: 0.6 }))).toBe(
      'Added 0.6 g of dextrin.',
    );
  });

  test('as what was found, and by what', () => {
    const titration = { sampleMillilitres: 2, titrantMillilitres: 15.2, titrantMolesPerLitre: 0.1 };
    expect(words(settledEntry({ kind: 'analysis', analyte: 'copper-sulphate', how: 'edta', titration }))).toBe(
      'Copper sulphate CuSO4·5H2O: 190 g/L (48.3 g/L of copper), by EDTA: 15.2 mL of 0.1 mol/L for 2 mL of bath.',
    );
    expect(words(settledEntry({ kind: 'analysis', analyte: 'chloride', how: 'direct', value: 62 }))).toBe(
      'Chloride: 62 mg/L.',
    );
  });

  test('as what made it up, in the order in which it goes in: water before acid', () => {
    const read = readEntry('made-up', typedTexts({ litres: '60' }), bright, 'metric');
    expect(words(settledEntry(read.problems === undefined ? read.body : { kind: 'note' }))).toMatch(
      /^Made up: 60 L with 200 g\/L copper sulphate, 70 g\/L acid, 75 mg\/L chloride\. It took 53\.\d L of water, 12 kg of salt, 2\.38 L of 96 % acid, 7\.42 g of sodium chloride\.$/,
    );
  });

  test('with no metric unit left in it for whoever asked for imperial ones', () => {
    const care: readonly EntryBody[] = [
      { kind: 'anodes-weighed', grams: 8000 },
      { kind: 'anodes-changed', takenOutGrams: 100, putInGrams: 400 },
      { kind: 'carbon-treatment', how: 'powder', grams: 180, hours: 6, bathCelsius: 40 },
      { kind: 'waste-collected', what: 'bath', amount: 6, container: '3' },
      { kind: 'waste-handed-over', what: 'filters', amount: 1.2, toWhom: 'a carrier' },
      { kind: 'tank', openSurfaceDm2: 12, bathCelsius: 24, isAirAgitated: false },
      settledEntry({ kind: 'throwing-power', nearGrams: 2, farGrams: 1, distanceRatio: 5, formula: 'field' }),
      settledEntry({
        kind: 'hull-cell',
        cell: '1 L',
        cellAmps: 2,
        minutes: 5,
        isStirred: true,
        bathCelsius: 24,
        seen: [{ look: 'bright', fromMm: 10, toMm: 60 }],
      }),
    ];
    for (const body of care) {
      // A cell is called by its litre everywhere.
      const told = entryWords(body, 'imperial').replace('Hull cell of 1 L', '');
      expect(told).not.toMatch(/\d (?:g|kg|L|mL|mm|dm²|A\/dm²|°C)(?![\w/])/);
    }
    // 40 degC are 104 degF, 6 L 1.585 US gal, 8 kg 17.64 lb: exact definitions (NIST SP 811, from memory).
    expect(entryWords(care[2]!, 'imperial')).toMatch(/at 104 °F/);
    expect(entryWords(care[3]!, 'imperial')).toMatch(/1\.59 US gal/);
    expect(entryWords(care[0]!, 'imperial')).toMatch(/17\.64 lb/);
  });

  test('in imperial units for whoever asked for them', () => {
    expect(entryWords({ kind: 'level', litres: 60 }, 'imperial')).toBe('The level was read: 15.9 US gal.');
  });
});
