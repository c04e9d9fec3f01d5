/*
 * Area, volume and faults of a surface. Numbers from outside: closed forms, the tables of check values for icospheres and
 * for the meshes of npm packages (computed elsewhere), and an independent geometry library.
 */
import { measurePart, scaled, type Mesh } from '@bathkeeper/shared-core/part';
import modeling from '@jscad/modeling';
import * as bunny from 'bunny';
import fc from 'fast-check';
import icomesh from 'icomesh';
import icosphere from 'icosphere';
import { describe, expect, test } from 'vitest';
import { box, boxPlaces, boxTriangles, meshOf, moved, together, torus, turned, type Place } from './shapes.js';

/** As another library, which works on lists of polygons in 64 bits, measures the same triangles. */
function measuredElsewhere(mesh: Mesh): { area: number; volume: number } {
  const place = (corner: number) =>
    [...mesh.positionsMm.subarray(corner * 3, corner * 3 + 3)] as [number, number, number];
  const polygons = Array.from({ length: mesh.corners.length / 3 }, (_, t) =>
    modeling.geometries.poly3.create([0, 1, 2].map((k) => place(mesh.corners[3 * t + k]!))),
  );
  const solid = modeling.geometries.geom3.create(polygons);
  return { area: modeling.measurements.measureArea(solid), volume: modeling.measurements.measureVolume(solid) };
}

const relative = (value: number | undefined, expected: number) => Math.abs((value ?? NaN) / expected - 1);

describe('area and volume', () => {
  test('of a box are those of the textbook', () => {
    const measure = measurePart(box([2, 3, 5]));
    expect(measure).toMatchObject({
      areaMm2: 62,
      volumeMm3: 30,
      isClosed: true,
      shells: 1,
      triangles: 12,
      warnings: [],
    });
    expect(measure.boxMm).toEqual({ min: [0, 0, 0], max: [2, 3, 5] });
  });

  test('of a torus of 96 by 48 pieces are those of the check values', () => {
    // Computed outside from the same division: 118.2979 and 59.0065.
    const measure = measurePart(torus(3, 1, 96, 48));
    expect(relative(measure.areaMm2, 118.2979)).toBeLessThan(1e-6);
    expect(relative(measure.volumeMm3, 59.0065)).toBeLessThan(1e-6);
  });

  test.each([
    [0, 9.57454, 2.53615],
    [1, 11.66593, 3.65871],
    [2, 12.32906, 4.04701],
    [3, 12.50618, 4.15268],
    [4, 12.55127, 4.17972],
  ])('of an icosphere of %i subdivisions are those of the check values, from two packages', (order, area, volume) => {
    const one = icosphere(order);
    const other = icomesh(order);
    const meshes = [meshOf(one.positions, one.cells), meshOf(triples(other.vertices), triples(other.triangles))];
    for (const measure of meshes.map(measurePart)) {
      expect(measure.areaMm2).toBeCloseTo(area, 5);
      expect(measure.volumeMm3).toBeCloseTo(volume, 5);
      expect(measure.isClosed).toBe(true);
    }
  });

  test('of the bunny are those of the check values and of an independent library', () => {
    const mesh = meshOf(bunny.positions, bunny.cells);
    const measure = measurePart(mesh);
    const elsewhere = measuredElsewhere(mesh);
    expect(relative(measure.areaMm2, 218.68927)).toBeLessThan(1e-7);
    expect(relative(measure.volumeMm3, 194.28837)).toBeLessThan(1e-7);
    expect(relative(measure.areaMm2, elsewhere.area)).toBeLessThan(1e-9);
    expect(relative(measure.volumeMm3, elsewhere.volume)).toBeLessThan(1e-9);
  });

  test('do not suffer from a place far from the origin', () => {
    // 2^17 mm away 32 bits still hold every corner of this box exactly.
    expect(measurePart(box([2, 3, 5], [131072, -131072, 131072]))).toMatchObject({ areaMm2: 62, volumeMm3: 30 });
  });

  test('stay the same however the part is turned, and grow with the square and the cube of its size', () => {
    const part = torus(3, 1, 24, 12);
    const before = measurePart(part);
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 7, noNaN: true }),
        fc.double({ min: 0.01, max: 500, noNaN: true }),
        (angle, factor) => {
          const turn = ([x, y, z]: Place): Place => [
            Math.cos(angle) * x - Math.sin(angle) * y,
            Math.cos(angle) * (Math.sin(angle) * x + Math.cos(angle) * y) - Math.sin(angle) * z,
            Math.sin(angle) * (Math.sin(angle) * x + Math.cos(angle) * y) + Math.cos(angle) * z,
          ];
          const after = measurePart(scaled(moved(part, turn), factor));
          // The corners are kept in 32 bits, so a few parts in ten million are rounding.
          expect(relative(after.areaMm2, before.areaMm2 * factor ** 2)).toBeLessThan(1e-6);
          expect(relative(after.volumeMm3, before.volumeMm3! * factor ** 3)).toBeLessThan(1e-6);
          expect(after.isClosed).toBe(true);
        },
      ),
      { numRuns: 50 },
    );
  });
});

describe('what is wrong with a surface', () => {
  const places = boxPlaces([2, 2, 2]);

  test('a missing triangle leaves three open edges, the area, and no volume', () => {
    const measure = measurePart(meshOf(places, boxTriangles.slice(1)));
    expect(measure).toMatchObject({ areaMm2: 22, volumeMm3: undefined, isClosed: false });
    expect(measure.faults.openEdges).toBe(3);
    expect(measure.warnings.join(' ')).toContain('3 open edges');
    expect(measure.warnings.join(' ')).toContain('The area can be trusted');
  });

  test('inverted triangles are counted, and area and volume are as if they were turned', () => {
    const inverted = boxTriangles.map((each, i) => (i % 5 === 1 ? [each[0], each[2], each[1]] : each));
    const measure = measurePart(meshOf(places, inverted));
    expect(measure).toMatchObject({ areaMm2: 24, volumeMm3: 8, isClosed: true });
    expect(measure.faults.invertedTriangles).toBe(3);
  });

  test('a whole box that faces inwards is one shell inside out, with its volume', () => {
    const measure = measurePart(turned(box([2, 2, 2])));
    expect(measure.faults).toMatchObject({ insideOutShells: 1, invertedTriangles: 0 });
    expect(measure.volumeMm3).toBe(8);
  });

  test('a triangle that is there three times is two duplicates, its area counted once', () => {
    const measure = measurePart(meshOf(places, [...boxTriangles, [1, 3, 0], [3, 0, 1]]));
    expect(measure.faults).toMatchObject({ duplicateTriangles: 2, overusedEdges: 3 });
    expect(measure).toMatchObject({ areaMm2: 24, volumeMm3: undefined, isClosed: false });
  });

  test('every triangle of a box twice is twelve duplicates', () => {
    expect(measurePart(meshOf(places, [...boxTriangles, ...boxTriangles])).faults.duplicateTriangles).toBe(12);
  });

  test('a sheet with a front and a back has two areas and no duplicate', () => {
    const sheet = meshOf(places, [[0, 1, 3], [0, 3, 1]]); // prettier-ignore
    expect(measurePart(sheet)).toMatchObject({ areaMm2: 4, isClosed: true, faults: { duplicateTriangles: 0 } });
  });

  test('triangles without an area are counted and change nothing', () => {
    const measure = measurePart(meshOf([...places, [0, 0, 1]], [...boxTriangles, [0, 0, 5], [3, 3, 3]]));
    expect(measure).toMatchObject({ areaMm2: 24, volumeMm3: 8, isClosed: true, shells: 1 });
    expect(measure.faults.degenerateTriangles).toBe(2);
  });

  test('three corners in a line close a gap and count as without an area', () => {
    // The edge from 0 to 1 is cut in the middle on one side only; a flat triangle fills the slit.
    const cut = boxTriangles.flatMap((each, i): readonly (readonly number[])[] => (i === 0 ? [[0, 8, 3], [8, 1, 3]] : [each])); // prettier-ignore
    const measure = measurePart(meshOf([...places, [0, 0, 1]], [...cut, [0, 1, 8]]));
    expect(measure).toMatchObject({ areaMm2: 24, volumeMm3: 8, isClosed: true });
    expect(measure.faults.degenerateTriangles).toBe(1);
  });

  test('a Möbius strip cannot say where its outside is', () => {
    const strip = Array.from({ length: 10 }, (_, i) => {
      const angle = (2 * Math.PI * Math.floor(i / 2)) / 5;
      const out = (i % 2 === 0 ? 1 : -1) * Math.cos(angle / 2);
      const up = (i % 2 === 0 ? 1 : -1) * Math.sin(angle / 2);
      return [(4 + out) * Math.cos(angle), (4 + out) * Math.sin(angle), up];
    });
    const triangles = Array.from({ length: 5 }, (_, i) => {
      const [a, b] = [2 * i, 2 * i + 1];
      const [c, d] = i === 4 ? [1, 0] : [2 * i + 2, 2 * i + 3];
      return [[a, b, c], [b, d, c]]; // prettier-ignore
    }).flat();
    expect(measurePart(meshOf(strip, triangles)).faults).toMatchObject({ unorientableShells: 1, openEdges: 10 });
  });

  test('two boxes that share an edge meet four times there', () => {
    const measure = measurePart(together(box([1, 1, 1]), box([1, 1, 1], [1, 1, 0])));
    expect(measure.faults.overusedEdges).toBe(1);
    expect(measure.volumeMm3).toBeUndefined();
  });

  test('a fan of a hundred thousand triangles around one corner is measured like any other', () => {
    const rim = Array.from({ length: 100_000 }, (_, i) => {
      const angle = (2 * Math.PI * i) / 100_000;
      return [Math.cos(angle), Math.sin(angle), 0];
    });
    const fan = meshOf([[0, 0, 1], ...rim], rim.map((_, i) => [0, 1 + i, 1 + ((i + 1) % rim.length)])); // prettier-ignore
    const measure = measurePart(fan);
    expect(measure.faults.openEdges).toBe(100_000);
    expect(relative(measure.areaMm2, Math.PI * Math.SQRT2)).toBeLessThan(1e-6);
  });
});

describe('shells within shells', () => {
  test('a cavity is taken off the volume, and its area is named', () => {
    const measure = measurePart(together(box([4, 4, 4]), turned(box([2, 2, 2], [1, 1, 1]))));
    expect(measure).toMatchObject({ volumeMm3: 56, areaMm2: 120, cavityAreaMm2: 24, shells: 2, isClosed: true });
    expect(measure.warnings).toEqual([]);
  });

  test('an island in a cavity counts again', () => {
    const island = box([1, 1, 1], [1.5, 1.5, 1.5]);
    const measure = measurePart(together(box([4, 4, 4]), turned(box([2, 2, 2], [1, 1, 1])), island));
    expect(measure).toMatchObject({ volumeMm3: 57, cavityAreaMm2: 30, warnings: [] });
  });

  test('a shell within that faces like the one around refuses the volume', () => {
    const measure = measurePart(together(box([4, 4, 4]), box([2, 2, 2], [1, 1, 1])));
    expect(measure.volumeMm3).toBeUndefined();
    expect(measure.faults.unclearInnerShells).toBe(1);
    expect(measure.volumeRefusal).toContain('hollow or solid');
  });

  test('boxes that cross are told, boxes side by side are not', () => {
    const crossing = measurePart(together(box([4, 1, 1]), box([1, 4, 1], [1, -1, 0])));
    expect(crossing.faults.possiblyOverlappingShellPairs).toBe(1);
    const apart = measurePart(together(box([1, 1, 1]), box([1, 1, 1], [2, 0, 0])));
    expect(apart).toMatchObject({ volumeMm3: 2, warnings: [] });
  });

  test('a ball in the hole of a ring is not within it', () => {
    const ball = icosphere(2);
    const measure = measurePart(together(torus(3, 1, 48, 24), meshOf(ball.positions, ball.cells)));
    expect(measure.cavityAreaMm2).toBe(0);
    expect(measure.faults.possiblyOverlappingShellPairs).toBe(1);
  });
});

function triples(numbers: ArrayLike<number>): number[][] {
  return Array.from({ length: numbers.length / 3 }, (_, i) => [
    numbers[3 * i]!,
    numbers[3 * i + 1]!,
    numbers[3 * i + 2]!,
  ]);
}
