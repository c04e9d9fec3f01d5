/* What is asked about before an entry is kept: slips of the keyboard against the account of a bath of 60 L with 200 g/L, 60 g/L and 60 mg/L. Bounds: common practice, no source, but the solubility (see entry-questions.ts). */
import { describe, expect, it, test } from 'vitest';
import { type EntryAsked, entryQuestions, type LedgerEntry, settledEntry } from '@bathkeeper/shared-core/trade';

const HOUR = 3_600_000;
const entry = (entryId: number, body: EntryAsked): LedgerEntry => ({ entryId, atMs: entryId * HOUR, writtenAtMs: entryId * HOUR, who: 'Kim', note: '', body: settledEntry(body), undone: null }); // prettier-ignore
const madeUp = entry(1, {
  kind: 'made-up', litres: 60, composition: { 'copper-sulphate': 200, 'sulphuric-acid': 60, chloride: 60 }, from: 'chemicals', saltPurityShare: 1,
  acid: { strengthShare: 0.96, densityGramsPerMl: 1.84 }, brightenerMillilitresPerLitre: 5,
}); // prettier-ignore
const asked = (body: EntryAsked, entries: readonly LedgerEntry[] = [madeUp]): string[] =>
  entryQuestions(settledEntry(body), entries);
const salt = (value: number): EntryAsked => ({ kind: 'analysis', analyte: 'copper-sulphate', how: 'direct', value });

test.each<[string, EntryAsked, RegExp]>([
  ['a level of another tank', { kind: 'level', litres: 300 }, /^300 L were read, and by the ledger some 60 L are to be there\./],
  ['a level that lost a digit', { kind: 'level', litres: 6 }, /^6 L were read/],
  ['more salt than dissolves', salt(1700), /^1700 g\/L of copper sulphate.* more than an acid copper bath holds \(some 340 g\/L at most\)/],
  ['half of the salt gone', salt(90), /^90 g\/L .* by the ledger some 200 g\/L is to be there\. Analyse again/],
  ['chloride as if it were grams', { kind: 'analysis', analyte: 'chloride', how: 'direct', value: 5000 }, /^5000 mg\/L/],
  ['brightener by the litre', { kind: 'addition', of: 'brightener', amount: 20_000 }, /^That is 333 mL of brightener in each of 60 L/],
  ['salt by the sack', { kind: 'addition', of: 'copper-sulphate', amount: 25_000 }, /^That is 417 g\/L of copper sulphate/],
  ['water of ten buckets', { kind: 'addition', of: 'water', amount: 100_000 }, /^100 L at once are a lot for 60 L/],
  ['more drawn off than there was', { kind: 'waste-collected', what: 'bath', amount: 80, container: 'drum 1' }, /^80 L were drawn off/],
])('%s is asked about', (_name, body, words) => {
  const questions = asked(body);
  expect(questions).toHaveLength(1);
  expect(questions[0]).toMatch(words);
}); // prettier-ignore

describe('what is done to a bath in order', () => {
  it.each<[string, EntryAsked]>([
    ['a level after a week', { kind: 'level', litres: 57.5 }],
    ['a dose', { kind: 'addition', of: 'brightener', amount: 90 }],
    ['a correction', { kind: 'addition', of: 'copper-sulphate', amount: 1800 }],
    ['water', { kind: 'addition', of: 'water', amount: 2500 }],
    ['an analysis that is a little low', salt(170)],
    ['chloride that has doubled', { kind: 'analysis', analyte: 'chloride', how: 'direct', value: 120 }],
    ['a part drawn off', { kind: 'waste-collected', what: 'bath', amount: 24, container: 'drum 1' }],
    ['anodes', { kind: 'anodes-weighed', grams: 12_000 }],
  ])('is not: %s', (_name, body) => {
    expect(asked(body)).toEqual([]);
  });

  it('is held against what stood there by then: water first, then the level', () => {
    const filled = entry(2, { kind: 'addition', of: 'water', amount: 20_000 });
    expect(asked({ kind: 'level', litres: 79 }, [madeUp, filled])).toEqual([]);
    expect(asked({ kind: 'level', litres: 79 })).toHaveLength(1);
  });

  it('of a bath that nobody has made up yet only what no bath can hold is asked about', () => {
    expect(asked({ kind: 'level', litres: 300 }, [])).toEqual([]);
    expect(asked({ kind: 'addition', of: 'copper-sulphate', amount: 25_000 }, [])).toEqual([]);
    expect(asked(salt(180), [])).toEqual([]);
    expect(asked(salt(1700), [])).toHaveLength(1);
  });
});
