/* Reminders of care: by days, by charge, and by whatever was written last. */
import { careDue, type EntryAsked } from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { DAY_MS, entriesOf, entryOn } from './written-entries.js';

const filtered: EntryAsked = { kind: 'filtration', how: 'batch', isMediumNew: false };
const remind = (everyDays?: number, everyAmpereHours?: number): EntryAsked => ({ kind: 'reminder', of: 'filtration', everyDays, everyAmpereHours }); // prettier-ignore
const unworked = { millicoulombs: 0, atEntries: {} };

describe('a reminder of filtration', () => {
  test('is due exactly from its days or its ampere-hours on, whichever comes first', () => {
    const days = fc.integer({ min: 1, max: 400 });
    fc.assert(
      fc.property(days, days, days, days, (everyDays, everyAmpereHours, passedDays, passedAmpereHours) => {
        const entries = entriesOf([filtered, remind(everyDays, everyAmpereHours)]);
        const worked = { millicoulombs: passedAmpereHours * 3_600_000, atEntries: { 1: 0, 2: 0 } };
        const [due] = careDue(entries, worked, passedDays * DAY_MS);
        expect(due?.isDue).toBe(passedDays >= everyDays || passedAmpereHours >= everyAmpereHours);
      }),
    );
  });

  test('starts anew with each filtration, and goes back where that was undone', () => {
    const [reminder, first] = [entryOn(0, remind(30)), entryOn(1, filtered)];
    const of = (...entries: Parameters<typeof careDue>[0]) => careDue(entries, unworked, 40 * DAY_MS)[0];
    expect(of(reminder, first)).toMatchObject({ days: 39, isDue: true, wasDone: true });
    expect(of(reminder, first, entryOn(35, filtered))).toMatchObject({ days: 5, isDue: false });
    expect(of(reminder, first, entryOn(35, filtered, true))).toMatchObject({ days: 39, isDue: true });
    expect(of(reminder)).toMatchObject({ days: 40, isDue: true, wasDone: false });
  });

  test('is the newest one, is none where nobody set it, and ends where neither days nor charge are set', () => {
    expect(careDue(entriesOf([filtered]), unworked, 999 * DAY_MS)).toEqual([]);
    expect(careDue(entriesOf([remind(1), remind(1000)]), unworked, 99 * DAY_MS)).toMatchObject([{ isDue: false }]);
    expect(careDue(entriesOf([remind(1), remind()]), unworked, 99 * DAY_MS)).toEqual([]);
  });
});
