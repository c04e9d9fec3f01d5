import { describe, expect, it } from 'vitest';
import { resistivePartFactor } from '../../../firmware/bench/tank/electrolyte.js';
import { PaintedLayer } from '../../../firmware/bench/tank/painted-layer.js';

/** One square decimetre, 5 cm from the clip to the far end. */
function layer(paintOhmsPerSquare: number): PaintedLayer {
  return new PaintedLayer({ areaDm2: 1, paintWayMetres: 0.05, paintOhmsPerSquare, islandMicrometres: 1 });
}

describe('a painted layer', () => {
  // Tobias and Wijsman 1953 (from memory; derivable): v = L sqrt(Rs / r), at the contact v coth v, at the far end v / sinh v.
  it.each([
    [0.5, 1.082, 0.9595],
    [1, 1.313, 0.8509],
    [2, 2.0746, 0.5514],
    [3, 3.0149, 0.2995],
    [5, 5.0005, 0.0674],
  ])('spreads a current over bare paint as the closed form does, v = %f', (v, atContact, atFarEnd) => {
    const areaResistanceOhmM2 = 5e-3;
    const paint = layer((v / 0.05) ** 2 * areaResistanceOhmM2);
    paint.spread(areaResistanceOhmM2);
    expect(Math.abs(paint.factor / resistivePartFactor(v) - 1)).toBeLessThan(0.01);
    const { shares } = paint;
    // The pieces at both ends hold the means of their widths, not the ends themselves: 24 pieces, so some per cent beside.
    expect(Math.abs((shares[0]! * shares.length) / atContact - 1)).toBeLessThan(0.12);
    expect(Math.abs((shares.at(-1)! * shares.length) / atFarEnd - 1)).toBeLessThan(0.03);
    expect(shares.reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 12);
  });

  it('is covered near the clip first, and the coverage spreads to the far end', () => {
    const paint = layer(55);
    const covered: number[] = [];
    for (let step = 0; step < 200; step++) {
      paint.spread(5e-3);
      paint.grow(0.01);
      covered.push(paint.coverage);
      const micrometres = [...paint.micrometres];
      expect(micrometres).toEqual([...micrometres].sort((one, other) => other - one));
    }
    expect(covered[5]).toBeGreaterThan(0);
    expect(covered[5]).toBeLessThan(0.5);
    expect(covered).toEqual([...covered].sort((one, other) => one - other));
    expect(covered.at(-1)).toBe(1);
  });

  it('loses no copper: what the pieces hold is what was grown', () => {
    const paint = layer(5);
    paint.spread(5e-3);
    paint.grow(1);
    const mean = paint.micrometres.reduce((sum, micrometres) => sum + micrometres, 0) / paint.micrometres.length;
    // 1 g on 1 dm2 at 8.96 g/cm3: 11.161 micrometres, from the density.
    expect(mean).toBeCloseTo(11.161, 3);
  });
});
