/* The ledger's forms and sentences, without a browser: what was typed, what is asked of it, and how it reads. */
import { bathProfile, type EntryBody, settledEntry } from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { fieldsOf } from '../../../dashboard/page/ledger/entry-fields.js';
import { readEntry, typedInUnits } from '../../../dashboard/page/ledger/entry-reading.js';
import { entryWords } from '../../../dashboard/page/ledger/entry-words.js';

const bright = bathProfile('bright-copper')!;
const keys = (act: Parameters<typeof fieldsOf>[0], typed: Record<string, string> = {}): string[] =>
  fieldsOf(act, typed, bright).map(({ key }) => key);

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
    expect(readEntry('level', { litres: '58,5' }, bright, 'metric')).toEqual({ body: { kind: 'level', litres: 58.5 } });
    expect(readEntry('addition', { of: 'water', amount: '2' }, bright, 'metric')).toMatchObject({
      body: { kind: 'addition', of: 'water', amount: 2000 },
    });
  });

  test('is read in the units of whoever typed it', () => {
    const read = readEntry('level', { litres: '16' }, bright, 'imperial');
    // 16 US gal of exactly 3.785411784 L.
    expect(read).toEqual({ body: { kind: 'level', litres: expect.closeTo(60.566588544, 9) as number } });
  });

  test('keeps its meaning when the units are switched', () => {
    const again = typedInUnits('level', { litres: '60' }, bright, 'metric', 'imperial');
    expect(again).toEqual({ litres: '15.85' });
    expect(readEntry('level', again, bright, 'imperial')).toMatchObject({ body: { litres: expect.closeTo(60, 1) as number } }); // prettier-ignore
  });

  test('or was not, is told at its field, every fault at once', () => {
    const typed = { analyte: 'sulphuric-acid', how: 'sodium-hydroxide', titrant: 'much', molarity: '0' };
    expect(readEntry('analysis', typed, bright, 'metric')).toEqual({
      problems: {
        sample: 'Type a number.',
        titrant: 'Type a number; got “much”.',
        molarity: 'Type a number above zero; got “0”.',
      },
    });
  });

  test('makes a bath as is usual where nobody typed anything but the volume', () => {
    expect(readEntry('made-up', { litres: '60' }, bright, 'metric')).toMatchObject({
      body: {
        litres: 60,
        composition: { 'copper-sulphate': 200, 'sulphuric-acid': 70, chloride: 75 },
        acid: { strengthShare: 0.96, densityGramsPerMl: 1.84 },
        saltPurityShare: 1,
      },
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
    ).toBe('Added 120 mL of sulphuric acid, 96 %.');
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
    const read = readEntry('made-up', { litres: '60' }, bright, 'metric');
    expect(words(settledEntry(read.problems === undefined ? read.body : { kind: 'note' }))).toMatch(
      /^Made up: 60 L with 200 g\/L copper sulphate, 70 g\/L acid, 75 mg\/L chloride\. It took 53\.\d L of water, 12 kg of salt, 2\.38 L of acid, 7\.42 g of sodium chloride\.$/,
    );
  });

  test('in imperial units for whoever asked for them', () => {
    expect(entryWords({ kind: 'level', litres: 60 }, 'imperial')).toBe('The level was read: 15.9 US gal.');
  });
});
