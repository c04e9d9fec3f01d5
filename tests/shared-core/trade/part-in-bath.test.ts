/* Floating, growing, fitting, and how open a simple shape is. */
import {
  averageToRecess,
  ballastGrams,
  fittingLength,
  grown,
  opennessOf,
  submergedWeightNewtons,
  thicknessOnGrowingBody,
} from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expectWithin } from './within.js';

describe('a litre of PLA (1.24 g/cm3, from memory) in a bath of 1.16', () => {
  test('sinks when solid with 0.785 N, and floats a quarter filled and sealed with 8.34 N (computed)', () => {
    expectWithin(submergedWeightNewtons(1240, 1000, 1.16), 0.785, 0.001);
    expectWithin(submergedWeightNewtons(310, 1000, 1.16), -8.34, 0.001);
  });

  test('with its ballast has just the weight that was asked for', () => {
    const newtons = fc.double({ min: -50, max: 50, noNaN: true });
    fc.assert(
      fc.property(
        newtons,
        fc.double({ min: 0, max: 10, noNaN: true }),
        fc.double({ min: 2, max: 20, noNaN: true }),
        (weight, least, density) => {
          const grams = ballastGrams(weight, least, density, 1.16);
          const withBallast = weight + submergedWeightNewtons(grams, grams / density, 1.16);
          expect(withBallast).toBeGreaterThanOrEqual(Math.max(weight, least) - 1e-9);
          if (grams > 0) expect(withBallast).toBeCloseTo(least, 6);
        },
      ),
    );
  });
});

describe('growth', () => {
  test('of a cube of 10 mm by 0.5 mm gives 697.389 mm2 and 1324.086 mm3 (Steiner; exact)', () => {
    const cube = { areaMm2: 600, volumeMm3: 1000, meanCurvatureMm: 30 * Math.PI };
    expectWithin(grown(cube, 0.5).areaMm2, 697.389, 1e-6);
    expectWithin(grown(cube, 0.5).volumeMm3, 1324.086, 1e-6);
  });

  test('of a ball is the larger ball', () => {
    const ball = (radius: number) => ({
      areaMm2: 4 * Math.PI * radius ** 2,
      volumeMm3: (4 / 3) * Math.PI * radius ** 3,
      meanCurvatureMm: 4 * Math.PI * radius,
    });
    const { areaMm2, volumeMm3 } = grown(ball(10), 2);
    expectWithin(areaMm2, ball(12).areaMm2, 1e-12);
    expectWithin(volumeMm3, ball(12).volumeMm3, 1e-12);
  });

  test('takes the thickness that its growing area leaves: on a wire less, on a plate as much', () => {
    // A rod: (r + t)² − r² = 2 r T, so t = √(r² + 2 r T) − r; long enough that its ends do not count.
    const [radius, length, nominal] = [0.5, 1e5, 0.3];
    const rod = { areaMm2: 2 * Math.PI * radius * length, volumeMm3: 0, meanCurvatureMm: Math.PI * length };
    const exact = Math.sqrt(radius ** 2 + 2 * radius * nominal) - radius;
    expectWithin(thicknessOnGrowingBody(rod, rod.areaMm2 * nominal), exact, 1e-4);
    expectWithin(thicknessOnGrowingBody({ ...rod, meanCurvatureMm: 1e-9 }, rod.areaMm2 * nominal), nominal, 1e-4);
  });

  test('is met by an offset of each wall: a shaft is drawn smaller and a hole larger by twice the growth, whatever their size', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 500, noNaN: true }),
        fc.double({ min: 0, max: 0.4, noNaN: true }),
        (wanted, growth) => {
          const { outerMm, innerMm } = fittingLength(wanted, growth);
          expect(outerMm + 2 * growth).toBeCloseTo(wanted, 9);
          expect(innerMm - 2 * growth).toBeCloseTo(wanted, 9);
          // scaling would give another size to each: the offset is the same for all
          expect(wanted - outerMm).toBeCloseTo(2 * growth, 9);
        },
      ),
    );
  });
});

describe('openness', () => {
  test('is whole for what is convex, with square edges but on a ball', () => {
    expect(opennessOf({ kind: 'sphere', diameterMm: 50 })).toEqual({ openShare: 1, edgeBendDegrees: 0 });
    expect(opennessOf({ kind: 'box', lengthMm: 1, widthMm: 2, heightMm: 3 })).toEqual({
      openShare: 1,
      edgeBendDegrees: 90,
    });
    const flatCone = opennessOf({ kind: 'cone', baseDiameterMm: 100, topDiameterMm: 0, heightMm: 50 });
    expect(flatCone.edgeBendDegrees).toBeCloseTo(135, 9);
  });

  test('of a tube falls with its length, from the whole half that each end gives', () => {
    const tube = (lengthMm: number) =>
      opennessOf({ kind: 'tube', outsideDiameterMm: 20, wallMm: 2, lengthMm }).openShare;
    expect(tube(1e-6)).toBeCloseTo(1, 4);
    expect(tube(100)).toBeLessThan(tube(20));
    expect(tube(1000)).toBeLessThan(0.001);
  });

  test('of a tube is the share of rays that leave it, drawn at random', () => {
    // A spot on the wall at half length; directions as their cosine says, followed to the wall again or out of an end.
    const [radius, length] = [8, 40];
    let seed = 1;
    const random = () => (seed = (seed * 16807) % 2147483647) / 2147483647;
    let free = 0;
    const rays = 20_000;
    for (let ray = 0; ray < rays; ray++) {
      const [up, around] = [Math.sqrt(1 - random()), 2 * Math.PI * random()];
      const flat = Math.sqrt(1 - up * up);
      // the wall's normal points along −x from (R, 0, 0): the chord in the cross-section is 2R cos of the angle in it
      const [dx, dy, dz] = [-up, flat * Math.cos(around), flat * Math.sin(around)];
      const travelled = (-2 * radius * dx) / (dx * dx + dy * dy);
      if (Math.abs(dz) * travelled > length / 2) free++;
    }
    const { openShare } = opennessOf({ kind: 'tube', outsideDiameterMm: 2 * radius + 4, wallMm: 2, lengthMm: length });
    expect(Math.abs(free / rays - openShare)).toBeLessThan(0.01);
  });

  test('of a bell is least in its crown, the less the deeper', () => {
    const bell = (heightMm: number) =>
      opennessOf({ kind: 'bell', mouthDiameterMm: 204, topDiameterMm: 100, heightMm, wallMm: 2 }).openShare;
    expect(bell(102)).toBeCloseTo(0.5, 9);
    expect(averageToRecess(bell(300))).toBeGreaterThan(averageToRecess(bell(100)));
  });
});
