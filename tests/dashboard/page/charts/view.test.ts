/* What a hand does to the stretch of an axis that is looked at. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { lengthOf, panned, pinched, type View, within, zoomed } from '../../../../dashboard/page/charts/view.js';

const limits = { whole: { from: 0, to: 1000 }, least: 10 };
const share = fc.double({ min: 0, max: 1, noNaN: true });
const views = fc
  .tuple(fc.integer({ min: 0, max: 990 }), fc.integer({ min: 10, max: 1000 }))
  .map(([from, length]): View => within({ from, to: from + length }, limits));

describe('a view', () => {
  test('zooms about the place under the hand', () => {
    expect(zoomed({ from: 100, to: 200 }, 2, 0.5, limits)).toEqual({ from: 125, to: 175 });
    expect(zoomed({ from: 100, to: 200 }, 2, 0, limits)).toEqual({ from: 100, to: 150 });
    expect(zoomed({ from: 100, to: 200 }, 0.5, 1, limits)).toEqual({ from: 0, to: 200 });
  });
  test('grows no shorter than its least, and then stays where it is', () => {
    const closest = zoomed({ from: 100, to: 112 }, 8, 0.5, limits);
    expect(closest).toEqual({ from: 101, to: 111 });
    expect(zoomed(closest, 2, 0.9, limits)).toEqual(closest);
  });
  test('pans by a share of its own length, and stops at the end without growing shorter', () => {
    expect(panned({ from: 100, to: 200 }, 0.5, limits)).toEqual({ from: 150, to: 250 });
    expect(panned({ from: 850, to: 950 }, 2, limits)).toEqual({ from: 900, to: 1000 });
  });
  test('keeps under two fingers what lay under them', () => {
    // The fingers lie at 125 and 175, and move apart to the quarters of the chart.
    const view = pinched({ from: 100, to: 200 }, [0.25, 0.75], [0.1, 0.9], limits);
    expect(view.from + 0.1 * lengthOf(view)).toBeCloseTo(125, 9);
    expect(view.from + 0.9 * lengthOf(view)).toBeCloseTo(175, 9);
  });
  test('never leaves what there is, whatever the hand does', () => {
    fc.assert(
      fc.property(views, fc.double({ min: 0.01, max: 100, noNaN: true }), share, share, fc.double({ min: -5, max: 5, noNaN: true }), (view, factor, one, other, by) => {
        for (const next of [zoomed(view, factor, one, limits), panned(view, by, limits), pinched(view, [0.3, 0.6], [one, other], limits)]) {
          expect(next.from).toBeGreaterThanOrEqual(-1e-9);
          expect(next.to).toBeLessThanOrEqual(1000 + 1e-9);
          expect(lengthOf(next)).toBeGreaterThanOrEqual(10 - 1e-9);
        }
      }),
    );
  }); // prettier-ignore
});
