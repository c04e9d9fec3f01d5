/* Simple shapes: against closed forms worked by hand, against each other where one is a limit of another, and against meshes. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  measureShape,
  shapeDimensions,
  type ShapeKind,
  type ShapeMeasure,
  shapeSurfaceWords,
  type SimpleShape,
} from '@bathkeeper/shared-core/part';

function measure(shape: SimpleShape): ShapeMeasure {
  const reading = measureShape(shape);
  if ('refusals' in reading) throw new Error(reading.refusals.join(' '));
  return reading.measure;
}

const { PI } = Math;

describe('a simple shape', () => {
  // Each worked by hand from the formulas of solid geometry (mm² / 10,000 and mm³ / 1,000).
  test.each<[string, SimpleShape, number, number]>([
    ['a plate', { kind: 'plate', lengthMm: 100, widthMm: 50, thicknessMm: 2 }, 1.06, 10],
    ['a cube', { kind: 'box', lengthMm: 100, widthMm: 100, heightMm: 100 }, 6, 1000],
    ['a box', { kind: 'box', lengthMm: 10, widthMm: 20, heightMm: 30 }, 0.22, 6],
    ['a rod', { kind: 'cylinder', diameterMm: 10, lengthMm: 100 }, 0.105 * PI, 2.5 * PI],
    ['a tube', { kind: 'tube', outsideDiameterMm: 20, wallMm: 2, lengthMm: 100 }, 0.3672 * PI, 3.6 * PI],
    ['a ball', { kind: 'sphere', diameterMm: 60 }, 0.36 * PI, 36 * PI],
    // Slant 5 from the triangle 3-4-5: π·3·5 + π·9 mm².
    ['a pointed cone', { kind: 'cone', baseDiameterMm: 6, topDiameterMm: 0, heightMm: 4 }, 0.0024 * PI, 0.012 * PI],
    // Slant 5 again, radii 6 and 3: π·9·5 + π·36 + π·9 mm²; π·4/3·(36 + 18 + 9) mm³.
    ['a blunt cone', { kind: 'cone', baseDiameterMm: 12, topDiameterMm: 6, heightMm: 4 }, 0.009 * PI, 0.084 * PI],
    // A cup: outside 40·100, inside 36·98, crown 40 and 36, rim 40 without 36.
    [
      'a bell with a straight wall',
      { kind: 'bell', mouthDiameterMm: 40, topDiameterMm: 40, heightMm: 100, wallMm: 2 },
      (PI * (40 * 100 + 36 * 98 + 2 * 400)) / 10_000,
      (PI * (400 * 100 - 324 * 98)) / 1000,
    ],
  ])('%s has the area and volume of its closed form', (_name, shape, areaDm2, volumeCm3) => {
    expect(measure(shape).areaDm2).toBeCloseTo(areaDm2, 12);
    expect(measure(shape).volumeCm3).toBeCloseTo(volumeCm3, 10);
  });

  const length = fc.double({ min: 0.1, max: 2000, noNaN: true });

  test('a bell in the limit of a wall that fills it is the solid cone', () => {
    fc.assert(
      fc.property(length, length, (mouthDiameterMm, heightMm) => {
        const topDiameterMm = mouthDiameterMm / 1e9;
        const bell = measure({ kind: 'bell', mouthDiameterMm, topDiameterMm, heightMm, wallMm: topDiameterMm / 4 });
        const cone = measure({ kind: 'cone', baseDiameterMm: mouthDiameterMm, topDiameterMm, heightMm });
        const baseDm2 = (PI * mouthDiameterMm ** 2) / 40_000;
        // A wall of next to nothing: the slanting side twice, the base not at all.
        expect(bell.areaDm2 / (2 * (cone.areaDm2 - baseDm2))).toBeCloseTo(1, 6);
        expect(bell.volumeCm3 / cone.volumeCm3).toBeLessThan(1e-6);
      }),
    );
  });

  test('a tube with a wall that fills it is a rod, but for its bore without a width', () => {
    fc.assert(
      fc.property(length, length, (diameterMm, lengthMm) => {
        const tube = measure({ kind: 'tube', outsideDiameterMm: diameterMm, wallMm: diameterMm / 2, lengthMm });
        const rod = measure({ kind: 'cylinder', diameterMm, lengthMm });
        expect(tube.areaDm2 / rod.areaDm2).toBeCloseTo(1, 12);
        expect(tube.volumeCm3 / rod.volumeCm3).toBeCloseTo(1, 12);
      }),
    );
  });

  test('one k times as large has k² times the area and k³ times the volume', () => {
    const kinds = Object.keys(shapeDimensions) as ShapeKind[];
    fc.assert(
      fc.property(fc.constantFrom(...kinds), fc.double({ min: 0.01, max: 100, noNaN: true }), (kind, k) => {
        const sized = (factor: number) =>
          ({
            kind,
            ...Object.fromEntries(
              shapeDimensions[kind].map(({ name }, i) => [name, (name === 'wallMm' ? 3 : 50 + 10 * i) * factor]),
            ),
          }) as unknown as SimpleShape;
        expect(measure(sized(k)).areaDm2 / measure(sized(1)).areaDm2 / k ** 2).toBeCloseTo(1, 9);
        expect(measure(sized(k)).volumeCm3 / measure(sized(1)).volumeCm3 / k ** 3).toBeCloseTo(1, 9);
      }),
    );
  });
});

describe('a shape that cannot be', () => {
  test('names every length that is missing, not above zero, or no number', () => {
    expect(measureShape({ kind: 'box', lengthMm: 0, widthMm: NaN, heightMm: 5 })).toEqual({
      refusals: [
        'Length: expected a length above 0, got 0 mm. Enter it again.',
        'Width: expected a length above 0, got NaN mm. Enter it again.',
      ],
    });
    expect(measureShape({ kind: 'sphere', diameterMm: Infinity })).toHaveProperty('refusals');
    expect(measureShape({ kind: 'sphere' } as unknown as SimpleShape)).toHaveProperty('refusals');
  });

  test('has a wall that leaves no hollow', () => {
    const tube = { kind: 'tube', outsideDiameterMm: 10, lengthMm: 20 } as const;
    expect(measureShape({ ...tube, wallMm: 5 })).toHaveProperty('measure');
    expect(measureShape({ ...tube, wallMm: 5.1 })).toEqual({
      refusals: [expect.stringContaining('expected at most 5 mm, got 5.1 mm')],
    });
    const bell = { kind: 'bell', mouthDiameterMm: 60, topDiameterMm: 10, heightMm: 80 } as const;
    expect(measureShape({ ...bell, wallMm: 5 })).toHaveProperty('measure');
    expect(measureShape({ ...bell, wallMm: 5.1 })).toHaveProperty('refusals');
    expect(measureShape({ ...bell, heightMm: 1, wallMm: 2 })).toHaveProperty('refusals');
  });
});

test('each shape says in words what counts as its surface', () => {
  for (const kind of Object.keys(shapeDimensions)) expect(shapeSurfaceWords[kind as ShapeKind]).toMatch(/\.$/);
});
