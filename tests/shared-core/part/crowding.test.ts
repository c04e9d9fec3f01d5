/* Where current crowds and where it does not reach: simple shapes whose answer is known. */
import { crowdingOf, measureWithParts, sharpEdges, shareBelow, type Mesh } from '@bathkeeper/shared-core/part';
import icosphere from 'icosphere';
import { describe, expect, test } from 'vitest';
import { box, meshOf, together, torus, turned } from './shapes.js';

const crowding = (mesh: Mesh, samples = 400) => crowdingOf(mesh, measureWithParts(mesh), samples);
const mean = (values: Float32Array) => values.reduce((sum, each) => sum + each, 0) / values.length;

/** An open tube around z with a bottom, of inner radius 1 and a wall of 0.2: a cup `deep` mm deep. */
function cup(deep: number, around = 48): Mesh {
  const outline = [[0, -0.2], [1.2, -0.2], [1.2, deep], [1, deep], [1, 0], [0, 0]]; // prettier-ignore
  const places: number[][] = [];
  const triangles: number[][] = [];
  for (let i = 0; i < around; i++) {
    const angle = (2 * Math.PI * i) / around;
    const next = ((i + 1) % around) * outline.length;
    outline.forEach(([radius, z], j) => {
      places.push([radius! * Math.cos(angle), radius! * Math.sin(angle), z!]);
      const here = i * outline.length + j;
      if (j + 1 < outline.length) triangles.push([here, next + j, next + j + 1], [here, next + j + 1, here + 1]);
    });
  }
  return meshOf(places, triangles);
}

describe('sharp edges', () => {
  test('of a box are its twelve, with their length and bend', () => {
    const mesh = box([2, 3, 5]);
    const found = sharpEdges(mesh, measureWithParts(mesh).edges);
    expect(found.lengthMm).toBeCloseTo(40, 6);
    expect(found.sides).toHaveLength(12);
    expect([...new Set(found.bendDegrees)]).toEqual([90]);
  });

  test('are not found in the corners of a cavity, nor on a ball', () => {
    const cavity = turned(box([2, 3, 5]));
    expect(sharpEdges(cavity, measureWithParts(cavity).edges).lengthMm).toBe(0);
    const { positions, cells } = icosphere(3);
    const ball = meshOf(positions, cells);
    expect(sharpEdges(ball, measureWithParts(ball).edges).lengthMm).toBe(0);
  });
});

describe('thickness', () => {
  test('of a plate is its thickness on its faces, of a ball its diameter', () => {
    const plate = crowding(box([20, 20, 0.5]));
    expect(shareBelow(plate.thicknessMm, 0.49)).toBe(0);
    expect(shareBelow(plate.thicknessMm, 0.51)).toBeGreaterThan(0.9);
    const { positions, cells } = icosphere(3);
    expect(mean(crowding(meshOf(positions, cells)).thicknessMm)).toBeCloseTo(2, 1);
  });

  test('of a ring is about that of its tube', () => {
    const ring = crowding(torus(10, 0.5, 96, 24));
    expect(shareBelow(ring.thicknessMm, 1.01)).toBe(1);
    expect(shareBelow(ring.thicknessMm, 0.9)).toBe(0);
  });

  test('as of a rod tells a rod from a plate: its diameter, against four times the thickness of the plate', () => {
    const ring = crowding(torus(10, 0.5, 192, 96));
    expect(shareBelow(ring.rodDiameterMm, 0.92)).toBe(0);
    expect(shareBelow(ring.rodDiameterMm, 1.25)).toBeGreaterThan(0.95);
    const facetted = crowding(torus(10, 0.5, 96, 24));
    expect(shareBelow(facetted.rodDiameterMm, 0.75)).toBe(0);
    const plate = crowding(box([20, 20, 0.5]));
    // Only its narrow sides, a twentieth.
    expect(shareBelow(plate.rodDiameterMm, 1.9)).toBeLessThan(0.06);
    expect(shareBelow(plate.rodDiameterMm, 2.01)).toBeGreaterThan(0.7);
  });

  test('as of a rod is not that of the edges of a solid: a cube has none, a square bar has its own', () => {
    const cube = crowding(box([100, 100, 100]), 1000);
    // What lies within a ninth of a side of a corner is thin to both sides: a twentieth of each face.
    expect(shareBelow(cube.rodDiameterMm, 30)).toBeLessThan(0.05);
    expect(shareBelow(cube.rodDiameterMm, 3)).toBe(0);
    const bar = crowding(box([1, 1, 40]), 1000);
    expect(shareBelow(bar.rodDiameterMm, 1.1)).toBeLessThan(0.03);
    expect(shareBelow(bar.rodDiameterMm, 2.5)).toBeGreaterThan(0.97);
  });

  test('and open directions are the same of a model whose surface was written inside out', () => {
    const [right, wrong] = [box([20, 30, 40]), turned(box([20, 30, 40]))].map((mesh) => crowding(mesh));
    expect([...wrong!.openShare]).toEqual([...right!.openShare]);
    for (const limit of [10, 20, 30])
      expect(shareBelow(wrong!.rodDiameterMm, limit)).toBeCloseTo(shareBelow(right!.rodDiameterMm, limit), 1);
  });

  test('is looked at all over a large triangle, and not in its middle alone', () => {
    const { samples, placesMm } = crowding(box([20, 30, 40]), 400);
    const places = new Set(Array.from(samples, (_, i) => placesMm[3 * i]! + 100 * placesMm[3 * i + 1]!));
    expect(places.size).toBeGreaterThan(350);
    for (let i = 0; i < samples.length; i++) {
      const [x, y, z] = placesMm.subarray(3 * i, 3 * i + 3);
      const isOnFace = [x! / 20, y! / 30, z! / 40].some((each) => Math.abs(each - 0.5) > 0.4999);
      expect(isOnFace).toBe(true);
    }
  });

  test('has no end on an open sheet', () => {
    const sheet = meshOf([[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[0, 1, 2]]); // prettier-ignore
    expect(mean(crowding(sheet, 10).thicknessMm)).toBe(Infinity);
  });
});

describe('open directions', () => {
  test('are all of them on a ball and on a box', () => {
    const { positions, cells } = icosphere(3);
    expect(mean(crowding(meshOf(positions, cells)).openShare)).toBe(1);
    expect(mean(crowding(box([1, 2, 3])).openShare)).toBe(1);
  });

  test('at the bottom of a cup are those of the formula for a disk', () => {
    // Seen from the middle of the bottom the opening counts for R² / (R² + deep²) (view factor of a coaxial disk, textbook).
    for (const deep of [1, 3]) {
      const mesh = cup(deep);
      const { samples, openShare } = crowding(mesh, 3000);
      const z = (triangle: number) => [0, 1, 2].map((k) => mesh.positionsMm[mesh.corners[triangle * 3 + k]! * 3 + 2]!);
      const reach = (triangle: number) => [0, 1, 2].map((k) => {
        const at = mesh.corners[triangle * 3 + k]! * 3;
        return Math.hypot(mesh.positionsMm[at]!, mesh.positionsMm[at + 1]!);
      }); // prettier-ignore
      const bottom = [...openShare].filter(
        (_, i) => z(samples[i]!).every((each) => each === 0) && reach(samples[i]!).every((each) => each < 1.1),
      );
      expect(bottom.length).toBeGreaterThan(10);
      // The samples stand two thirds out from the middle, where a little less is open than in the middle.
      const inTheMiddle = 1 / (1 + deep * deep);
      const there = bottom.reduce((sum, each) => sum + each, 0) / bottom.length;
      expect(there).toBeLessThan(inTheMiddle + 0.03);
      expect(there).toBeGreaterThan(inTheMiddle * 0.6);
    }
  });

  test('grow fewer the deeper the recess', () => {
    const shares = [0.5, 2, 6].map((deep) => shareBelow(crowding(cup(deep), 1500).openShare, 0.2));
    expect(shares[0]).toBeLessThan(shares[1]!);
    expect(shares[1]).toBeLessThan(shares[2]!);
  });

  test('between two boxes close to each other are few', () => {
    const apart = crowding(together(box([10, 10, 1]), box([10, 10, 1], [0, 0, 1.1])), 500);
    // Two of the four large faces look at each other across a gap of a hundredth of their size.
    expect(shareBelow(apart.openShare, 0.1)).toBeCloseTo(200 / (2 * 240), 1);
  });

  test(
    'are told for fewer samples where all triangles crowd in one place of a large box, and for as large a share of each part',
    { timeout: 120_000 },
    () => {
      const { positions, cells } = icosphere(5);
      const ball = meshOf(positions, cells);
      const far = meshOf([[1e6, 1e6, 1e6], [1e6 + 1, 1e6, 1e6], [1e6, 1e6 + 1, 1e6]], [[0, 1, 2]]); // prettier-ignore
      const mesh = together(ball, far);
      const { samples, openShare } = crowdingOf(mesh, measureWithParts(mesh), 1000, 50_000_000);
      expect(samples.length).toBeLessThan(1000);
      expect(openShare).toHaveLength(samples.length);
      const lowerHalf = samples.filter((triangle) => triangle < 10_240).length;
      expect(lowerHalf / samples.length).toBeCloseTo(0.5, 1);
    },
  );

  test('do not depend on triangles that face the wrong way', () => {
    const mesh = box([1, 2, 3]);
    const corners = mesh.corners.slice();
    [corners[1], corners[2]] = [corners[2]!, corners[1]!];
    expect(mean(crowding({ ...mesh, corners }).openShare)).toBe(1);
  });
});
