/* Metric and imperial: known pairs, and there and back. */
import { convertedUnits, fromUnits, inUnits, inWords, type Unit, unitName } from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expectWithin } from './within.js';

describe('imperial units', () => {
  // Exact definitions (NIST Special Publication 811, appendix B, from memory), but for the marked ones.
  test.each<[Unit, number, number, string]>([
    ['A/dm²', 1, 9.2903, 'A/ft²'], // 1 A/dm² is 9.2903 A/ft², computed
    ['A/dm²', 10.7639, 100, 'A/ft²'], // decorative copper, 100 A/ft² (Metal Finishing Guidebook 2011-12, p. 206: 10.8)
    ['µm', 25.4, 1, 'mil'],
    ['mm', 25.4, 1, 'in'],
    ['m', 3.048, 10, 'ft'],
    ['g', 28.349523125, 1, 'oz'],
    ['kg', 0.45359237, 1, 'lb'],
    ['dm²', 9.290304, 1, 'ft²'],
    ['cm³', 16.387064, 1, 'in³'],
    ['L', 3.785411784, 1, 'US gal'],
    ['Ah/L', 1, 3.785411784, 'Ah/US gal'],
    ['mL', 29.5735295625, 1, 'US fl oz'],
    ['°C', 25, 77, '°F'],
    ['°C', -40, -40, '°F'],
    ['K', 10, 18, '°F difference'],
    ['kg/m³', 119.826427, 1, 'lb/US gal'],
    ['g/cm³', 27.679905, 1, 'lb/in³'],
    ['N', 4.4482216152605, 1, 'lbf'],
    ['A', 30, 30, 'A'],
    ['Ah', 7, 7, 'Ah'],
    ['mm²', 10, 10, 'mm²'],
  ])('%s: %d is %d %s', (unit, metric, imperial, name) => {
    const got = inUnits(metric, unit, 'imperial');
    expectWithin(got.value, imperial, 1e-5);
    expect(got.unit).toBe(name);
    expect(unitName(unit, 'imperial')).toBe(name);
    expect(inUnits(metric, unit, 'metric')).toEqual({ value: metric, unit });
  });

  test('go there and back without a change, for every unit', () => {
    fc.assert(
      fc.property(
        fc.constantFrom<Unit>(...convertedUnits, 'A', 'h', '1'),
        fc.constantFrom('metric' as const, 'imperial' as const),
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        (unit, system, value) => {
          const back = fromUnits(inUnits(value, unit, system).value, unit, system);
          expect(Math.abs(back - value)).toBeLessThanOrEqual(1e-9 + 1e-12 * Math.abs(value));
        },
      ),
    );
  });
});

describe('sentences in imperial units', () => {
  test.each([
    ['8 A/dm² is above the usual 2 to 7.5 A/dm²: slow.', '74.3 A/ft² is above the usual 18.6 to 69.7 A/ft²: slow.'],
    ['from 20 to 30 °C, below 0 °C', 'from 68 to 86 °F, below 32 °F'],
    ['2.85 W a metre, 10 mm² and 5 mΩ of 4 m', '2.85 W a metre, 10 mm² and 5 mΩ of 13.1 ft'],
    ['300 µm, 161.3 g (8.96 g/cm³).', '11.8 mil, 5.69 oz (0.324 lb/in³).'],
    ['got -76.2 µm, or 1e+30 mm, or 5.5e-10 µm', 'got -3 mil, or 3.94e+28 in, or 2.17e-11 mil'],
    ['“Copper 60 L” wants 12 mL; got "3 mm"', '“Copper 60 L” wants 0.406 US fl oz; got "3 mm"'],
    ['ν is 1.2, above 1; bright-copper2 µmish 3 mmm', 'ν is 1.2, above 1; bright-copper2 µmish 3 mmm'],
  ])('%s', (metric, imperial) => {
    expect(inWords(metric, 'imperial')).toBe(imperial);
    expect(inWords(metric, 'metric')).toBe(metric);
  });
});
