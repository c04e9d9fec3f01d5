/* Figures typed in one system of units and read in the other: what was typed stays, and its value with it. */
import fc from 'fast-check';
import { convertedUnits, fromUnits, inUnits, type Unit, type UnitSystem } from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { metricValue, textIn, typedIn } from '../../../dashboard/page/forms/typed-figure.js';

const systems = fc.constantFrom<UnitSystem>('metric', 'imperial');
/** As people type: up to six digits before the point and six behind it. */
const texts = fc
  .tuple(fc.integer({ min: 0, max: 999_999 }), fc.stringMatching(/^\d{0,6}$/))
  .map(([whole, decimals]) => (decimals === '' ? String(whole) : `${String(whole)}.${decimals}`));

describe('a typed figure', () => {
  // 1 mil = 25.4 µm, 1 ft² = 9.290304 dm², 1 oz = 28.349523125 g (NIST Special Publication 811, appendix B.8, from memory).
  test.each([
    ['12', 'µm', 304.8],
    ['20', 'A/dm²', 2.152782083],
    ['3', 'dm²', 27.870912],
    ['6', 'mm', 152.4],
    ['75', '°C', 23.88888889],
    ['10', 'g', 283.49523125],
  ] as const)('%s in the imperial unit for %s is %d', (text, unit, metric) => {
    expect(metricValue(typedIn('imperial', text), unit)! / metric).toBeCloseTo(1, 9);
  });

  test.each([
    ['300', 'µm', '11.81'],
    ['1.6', 'A/dm²', '14.86'],
    ['12', 'dm²', '1.292'],
    ['24', '°C', '75.2'],
    ['0.123456', 'mm', '0.004860472'],
  ] as const)('%s %s stands as %s in imperial', (text, unit, shown) => {
    expect(textIn(typedIn('metric', text), unit, 'imperial')).toBe(shown);
  });

  test('keeps what was typed however often the units are changed, and the value that it stands for', () => {
    fc.assert(
      fc.property(
        texts,
        fc.constantFrom<Unit>(...convertedUnits, 'A', 'Ah'),
        systems,
        fc.array(systems, { maxLength: 5 }),
        (text, unit, typedUnits, changes) => {
          const figure = typedIn(typedUnits, text);
          const before = metricValue(figure, unit)!;
          for (const units of changes) textIn(figure, unit, units);
          expect(textIn(figure, unit, typedUnits)).toBe(text);
          expect(metricValue(figure, unit)).toBe(before);
          expect(Math.abs(before - fromUnits(Number(text), unit, typedUnits))).toBeLessThanOrEqual(
            1e-12 * Math.max(1, Math.abs(before)),
          );
        },
      ),
    );
  });

  test('is shown in the other units to at least four digits', () => {
    fc.assert(
      fc.property(texts, fc.constantFrom<Unit>('µm', 'A/dm²', 'dm²', 'mm', 'g'), systems, (text, unit, typedUnits) => {
        const other = typedUnits === 'metric' ? 'imperial' : 'metric';
        const exact = inUnits(metricValue(typedIn(typedUnits, text), unit)!, unit, other).value;
        const shown = Number(textIn(typedIn(typedUnits, text), unit, other));
        expect(Math.abs(shown - exact)).toBeLessThanOrEqual(0.0005 * exact);
      }),
    );
  });

  test('that is no number stands as it was typed, in either units', () => {
    for (const units of ['metric', 'imperial'] as const)
      expect(textIn(typedIn('metric', 'thick'), 'µm', units)).toBe('thick');
    expect(metricValue(typedIn('imperial', 'thick'), 'µm')).toBeUndefined();
  });
});
