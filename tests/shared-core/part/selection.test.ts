/* What is not plated, chosen by piece, by region, by plane. Areas against closed forms. */
import {
  above,
  areaBeyondPlaneMm2,
  connectedMask,
  innerMask,
  maskedAreaMm2,
  measurePart,
  measureWithParts,
  platedAreaMm2,
  regionMask,
} from '@bathkeeper/shared-core/part';
import fc from 'fast-check';
import icosphere from 'icosphere';
import { describe, expect, test } from 'vitest';
import { box, boxTriangles, meshOf, together, torus, turned } from './shapes.js';

const flat = { acrossEdgeDegrees: 1, fromFirstDegrees: 5 };

describe('regions', () => {
  test('a flat region of a cube is one of its faces, wherever one clicks', () => {
    const mesh = box([2, 3, 5]);
    const { edges } = measureWithParts(mesh);
    const areas = boxTriangles.map((_, triangle) => maskedAreaMm2(mesh, regionMask(mesh, edges, triangle, flat)));
    expect(areas).toEqual([15, 15, 15, 15, 10, 10, 10, 10, 6, 6, 6, 6]);
  });

  test('a smooth region goes around a ball, and not around the edge of a cube', () => {
    const { positions, cells } = icosphere(3);
    const ball = meshOf(positions, cells);
    const smooth = { acrossEdgeDegrees: 30, fromFirstDegrees: 180 };
    const whole = regionMask(ball, measureWithParts(ball).edges, 7, smooth);
    expect(maskedAreaMm2(ball, whole)).toBeCloseTo(12.50618, 4);
    const cube = box([1, 1, 1]);
    expect(maskedAreaMm2(cube, regionMask(cube, measureWithParts(cube).edges, 0, smooth))).toBe(1);
    // As far as 30° from the pole: a cap of 2π (1 − cos 30°), rough by the size of the triangles.
    const cap = regionMask(ball, measureWithParts(ball).edges, 7, { acrossEdgeDegrees: 30, fromFirstDegrees: 30 });
    expect(Math.abs(maskedAreaMm2(ball, cap) / (2 * Math.PI * (1 - Math.cos(Math.PI / 6))) - 1)).toBeLessThan(0.1);
  });

  test('a connected piece is one of two boxes, the inside what lies within a closed shell', () => {
    const two = measureWithPartsOf(together(box([1, 1, 1]), box([2, 2, 2], [3, 0, 0])));
    expect(maskedAreaMm2(two.mesh, connectedMask(two.part, 0))).toBe(6);
    expect(maskedAreaMm2(two.mesh, connectedMask(two.part, 12))).toBe(24);
    const hollow = measureWithPartsOf(together(box([4, 4, 4]), turned(box([2, 2, 2], [1, 1, 1]))));
    expect(maskedAreaMm2(hollow.mesh, innerMask(hollow.part))).toBe(24);
  });
});

describe('a plane', () => {
  test('cuts a box where it should, through corners, faces and triangles', () => {
    const mesh = box([2, 3, 5]);
    expect(areaBeyondPlaneMm2(mesh, above(-1))).toBe(62);
    expect(areaBeyondPlaneMm2(mesh, above(0))).toBeCloseTo(56, 9);
    expect(areaBeyondPlaneMm2(mesh, above(4))).toBeCloseTo(16, 9);
    expect(areaBeyondPlaneMm2(mesh, above(5))).toBe(0);
    // The diagonal plane through two edges leaves half of everything.
    expect(areaBeyondPlaneMm2(mesh, { normal: [3, -2, 0], offset: 0 })).toBeCloseTo(31, 9);
  });

  test('cuts a ball by height alone (Archimedes)', () => {
    const { positions, cells } = icosphere(5);
    const ball = meshOf(positions, cells);
    for (const height of [-0.7, -0.1, 0.3, 0.9])
      expect(Math.abs(areaBeyondPlaneMm2(ball, above(height)) / (2 * Math.PI * (1 - height)) - 1)).toBeLessThan(0.004);
  });

  test('parts the area without loss: both sides together are the whole', () => {
    const mesh = torus(3, 1, 17, 11);
    const whole = measurePart(mesh).areaMm2;
    const number = fc.double({ min: -1, max: 1, noNaN: true });
    fc.assert(
      fc.property(number, number, number, fc.double({ min: -4, max: 4, noNaN: true }), (x, y, z, offset) => {
        fc.pre(Math.hypot(x, y, z) > 0.01);
        const beyond = areaBeyondPlaneMm2(mesh, { normal: [x, y, z], offset });
        const before = areaBeyondPlaneMm2(mesh, { normal: [-x, -y, -z], offset: -offset });
        expect(Math.abs((beyond + before) / whole - 1)).toBeLessThan(1e-9);
        expect(beyond).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  test('and a mask leave what is plated', () => {
    const mesh = box([2, 2, 2]);
    const bottom = regionMask(mesh, measureWithParts(mesh).edges, 8, flat);
    expect(platedAreaMm2(mesh, undefined, undefined)).toBe(24);
    expect(platedAreaMm2(mesh, bottom, undefined)).toBe(20);
    expect(platedAreaMm2(mesh, bottom, above(1))).toBeCloseTo(8, 9);
  });
});

function measureWithPartsOf(mesh: ReturnType<typeof box>) {
  return { mesh, part: measureWithParts(mesh) };
}
