/* Two runs of which one has nothing to be laid over the other: said in words, and a chart only where there is a line. */
import { describe, expect, test } from 'vitest';
import { type ComparedRun, uncompared } from '../../../../dashboard/page/charts/uncompared.js';

const run = (number: number, recordedSeconds: number, chargeAmpereHours: number, goesOn = false): ComparedRun => ({
  controllerId: 'north-bench', incarnation: 7, run: number, goesOn, measures: { recordedSeconds, chargeAmpereHours },
}); // prettier-ignore
const night = run(3, 30_000, 154);
const names = ['Bell', 'Leaf'] as const;
const told = (alignment: 'start' | 'charge', other: ComparedRun, one = night) =>
  uncompared(alignment, [one, other], names);

describe('two runs', () => {
  test('with records and charge are drawn without a word', () => {
    for (const alignment of ['start', 'charge'] as const)
      expect(told(alignment, run(2, 30_000, 77))).toEqual({ words: [], isDrawn: true });
  });

  test('that are one say so, and are not drawn', () => {
    expect(told('start', night)).toMatchObject({ isDrawn: false, words: [expect.stringMatching(/^Both are one run/)] });
    // The same number after the controller's memory was begun anew is another run.
    expect(told('start', { ...night, incarnation: 8 }).words).toEqual([]);
  });

  test.each(['start', 'charge'] as const)('of which one has no record, by %s: the other is drawn, and the reason stands there', (alignment) => {
    const { words, isDrawn } = told(alignment, run(2, 0, 12));
    expect(isDrawn).toBe(true);
    expect(words).toEqual([expect.stringMatching(/^Of Leaf nothing was logged: it has no line here\./)]);
    expect(told(alignment, run(2, 0, 0, true)).words).toEqual([expect.stringMatching(/nothing is logged yet/)]);
  }); // prettier-ignore

  test('of which one had no charge: by charge the other is drawn alone, by start both', () => {
    const idle = run(2, 40, 0);
    expect(told('charge', idle)).toMatchObject({
      isDrawn: true,
      words: [expect.stringMatching(/^Leaf had no charge/)],
    });
    expect(told('start', idle)).toEqual({ words: [], isDrawn: true });
  });

  test('that both have nothing are not drawn, each with its reason', () => {
    const { words, isDrawn } = told('charge', run(2, 40, 0), run(3, 0, 0));
    expect(isDrawn).toBe(false);
    expect(words.map((one) => one.split(' ').slice(0, 2).join(' '))).toEqual(['Of Bell', 'Leaf had']);
  });
});
