/* Choices of what is not plated, the regions they work on, pointing with a ray, other scales, several parts. Areas against closed forms. */
import fc from 'fast-check';
import icosphere from 'icosphere';
import { describe, expect, test } from 'vitest';
import {
  bathLoad,
  type Choice,
  firstTriangleOnRay,
  largestPieces,
  measurePart,
  measureWithParts,
  type Mesh,
  type NotPlated,
  platedAllOver,
  scaled,
  scaledMeasure,
  Selectable,
  smoothRegions,
  takenOf,
} from '@bathkeeper/shared-core/part';
import { box, meshOf, moved, together, torus, turned } from './shapes.js';

const selectable = (mesh: Mesh) => new Selectable(mesh, measureWithParts(mesh));
const plated = (mesh: Mesh, notPlated: Partial<NotPlated>) =>
  selectable(mesh).share({ ...platedAllOver, ...notPlated }).platedAreaMm2;
const ball = () => {
  const { positions, cells } = icosphere(3);
  return meshOf(positions, cells);
};

describe('smooth regions', () => {
  test('of a box are its six faces, the largest first, each flat, with its middle and the way it faces', () => {
    const mesh = box([2, 3, 5]);
    const part = measureWithParts(mesh);
    const { count, regionOf } = smoothRegions(mesh, part.edges);
    expect(count).toBe(6);
    const faces = largestPieces(mesh, part, regionOf, count, 4);
    expect(faces.map((face) => face.areaMm2)).toEqual([15, 15, 10, 10]);
    expect(faces[0]).toMatchObject({ triangle: 0, areaMm2: 15, middleMm: [0, 1.5, 2.5], facing: [-1, 0, 0] });
  });

  test('of a ball is one, which faces all ways', () => {
    const mesh = ball();
    const part = measureWithParts(mesh);
    const { count, regionOf } = smoothRegions(mesh, part.edges);
    expect(count).toBe(1);
    expect(Math.hypot(...largestPieces(mesh, part, regionOf, count, 9)[0]!.facing)).toBeCloseTo(0, 6);
  });

  test('look outwards on a solid and inwards in its cavity', () => {
    const mesh = together(box([4, 4, 4]), turned(box([2, 2, 2], [1, 1, 1])));
    const part = measureWithParts(mesh);
    const shells = largestPieces(mesh, part, part.shells.shellOf, part.shells.count, 2);
    expect(shells[0]!.outwards).toBeGreaterThan(0.5);
    expect(shells[1]!.outwards).toBeLessThan(-0.5);
  });

  test('do not end at a triangle that faces the wrong way', () => {
    const mesh = ball();
    const corners = mesh.corners.slice();
    [corners[31], corners[32]] = [corners[32]!, corners[31]!];
    const inverted = { ...mesh, corners };
    expect(smoothRegions(inverted, measureWithParts(inverted).edges).count).toBe(1);
  });

  test('leave out pieces beyond those wanted, and triangles of no piece', () => {
    const mesh = together(box([1, 1, 1]), box([2, 2, 2], [5, 0, 0]), box([3, 3, 3], [9, 0, 0]));
    const part = measureWithParts(mesh);
    const largest = largestPieces(mesh, part, part.shells.shellOf, part.shells.count, 2);
    expect(largest.map((each) => each.areaMm2)).toEqual([54, 24]);
    const none = new Uint32Array(part.shells.shellOf.length).fill(0xffffffff);
    expect(largestPieces(mesh, part, none, 3, 2)).toEqual([]);
  });
});

describe('what is not plated', () => {
  const cube = box([2, 3, 5]);

  test('is nothing at first', () => {
    expect(plated(cube, {})).toBe(62);
  });

  test('can be a flat region, a smooth one, a shell', () => {
    expect(plated(cube, { choices: [{ kind: 'flat', triangle: 0, isPlated: false }] })).toBe(62 - 15);
    expect(plated(cube, { choices: [{ kind: 'smooth', triangle: 4, isPlated: false }] })).toBe(62 - 10);
    const two = together(cube, box([1, 1, 1], [9, 0, 0]));
    expect(plated(two, { choices: [{ kind: 'shell', triangle: 12, isPlated: false }] })).toBe(62);
  });

  test('takes the later of two choices, and taking the last one back is as if it had never been', () => {
    const shell: Choice = { kind: 'shell', triangle: 0, isPlated: false };
    const face: Choice = { kind: 'flat', triangle: 0, isPlated: true };
    expect(plated(cube, { choices: [shell] })).toBe(0);
    expect(plated(cube, { choices: [shell, face] })).toBe(15);
    expect(plated(cube, { choices: [face, shell] })).toBe(0);
  });

  test('can lie above or below a height, and what is masked as well counts once', () => {
    const above = { axis: 'z', side: 'above', atMm: 4 } as const;
    expect(plated(cube, { cutOff: above })).toBeCloseTo(46, 9);
    expect(plated(cube, { cutOff: { axis: 'z', side: 'below', atMm: 4 } })).toBeCloseTo(16, 9);
    expect(plated(cube, { cutOff: { axis: 'x', side: 'above', atMm: 1 } })).toBeCloseTo(31, 9);
    // One of the two faces of 15 goes whole; of the rest a fifth of the sides and the top.
    const face: Choice = { kind: 'flat', triangle: 0, isPlated: false };
    expect(plated(cube, { cutOff: above, choices: [face] })).toBeCloseTo(46 - 12, 9);
  });

  test('are closed cavities unless somebody says otherwise', () => {
    const hollow = together(box([4, 4, 4]), turned(box([2, 2, 2], [1, 1, 1])));
    expect(plated(hollow, {})).toBe(96);
    expect(plated(hollow, { areCavitiesPlated: true })).toBe(120);
    expect(selectable(hollow).share(platedAllOver).notPlatedAreaMm2).toBe(24);
  });

  test('counts a triangle that is there twice once, as the measure does', () => {
    const corners = new Uint32Array([...cube.corners, ...cube.corners.subarray(0, 3)]);
    const twice = { positionsMm: cube.positionsMm, corners };
    expect(measurePart(twice).areaMm2).toBe(62);
    expect(plated(twice, {})).toBe(62);
  });

  test('of a choice for another model is refused in words', () => {
    const choices: Choice[] = [{ kind: 'flat', triangle: 99, isPlated: false }];
    expect(() => plated(cube, { choices })).toThrow(/triangle 99: expected 0 to 11.*choose again/);
  });

  test('plated and not plated together are the whole, whatever is chosen', () => {
    const mesh = together(torus(10, 3, 24, 12), box([4, 4, 4], [20, 0, 0]));
    const made = selectable(mesh);
    const whole = measurePart(mesh).areaMm2;
    const choice = fc.record({
      kind: fc.constantFrom('flat', 'smooth', 'shell' as const),
      triangle: fc.nat(mesh.corners.length / 3 - 1),
      isPlated: fc.boolean(),
    }) as fc.Arbitrary<Choice>;
    const cutOff = fc.option(
      fc.record({
        axis: fc.constantFrom('x', 'y', 'z' as const),
        side: fc.constantFrom('above', 'below' as const),
        atMm: fc.double({ min: -15, max: 25, noNaN: true }),
      }),
      { nil: undefined },
    ) as fc.Arbitrary<NotPlated['cutOff']>;
    fc.assert(
      fc.property(fc.array(choice, { maxLength: 6 }), cutOff, (choices, cut) => {
        const share = made.share({ choices, cutOff: cut, areCavitiesPlated: false });
        expect(share.platedAreaMm2).toBeGreaterThanOrEqual(-1e-9);
        expect(share.platedAreaMm2 + share.notPlatedAreaMm2).toBeCloseTo(whole, 9);
      }),
    );
  });

  test('is told of each piece: none, some or all of it', () => {
    const made = selectable(box([2, 3, 5]));
    const { mask } = made.share({ ...platedAllOver, choices: [{ kind: 'flat', triangle: 0, isPlated: false }] });
    expect(takenOf(made.regions.regionOf, [0, 4], mask)).toEqual(['all', 'none']);
    expect(takenOf(made.part.shells.shellOf, [0], mask)).toEqual(['some']);
    expect(made.piece('smooth', 4).filter((each) => each === 1)).toHaveLength(2);
  });
});

describe('a ray', () => {
  test('finds the triangle in front, and none where it passes by', () => {
    const mesh = box([2, 2, 2]);
    const front = firstTriangleOnRay(mesh, [1, 1, 9], [0, 0, -1]);
    const back = firstTriangleOnRay(mesh, [1, 1, -9], [0, 0, 1]);
    const heights = (triangle: number) =>
      [0, 1, 2].map((k) => mesh.positionsMm[mesh.corners[triangle * 3 + k]! * 3 + 2]!);
    expect(heights(front!)).toEqual([2, 2, 2]);
    expect(heights(back!)).toEqual([0, 0, 0]);
    expect(firstTriangleOnRay(mesh, [5, 5, 9], [0, 0, -1])).toBeUndefined();
    expect(firstTriangleOnRay(mesh, [1, 1, 9], [0, 0, 1])).toBeUndefined();
  });
});

test('a measure at another scale is the measure of the mesh at that scale', () => {
  fc.assert(
    fc.property(fc.double({ min: 0.001, max: 1000, noNaN: true }), (factor) => {
      const mesh = moved(torus(10, 3, 24, 12), ([x, y, z]) => [x + 5, y - 2, z * 2]);
      const told = scaledMeasure(measurePart(mesh), factor);
      const made = measurePart(scaled(mesh, factor));
      expect(told.areaMm2 / made.areaMm2).toBeCloseTo(1, 5);
      expect(told.volumeMm3! / made.volumeMm3!).toBeCloseTo(1, 5);
      told.boxMm.max.forEach((each, axis) => expect(each / made.boxMm.max[axis]!).toBeCloseTo(1, 5));
      told.boxMm.min.forEach((each, axis) => expect(each / made.boxMm.min[axis]!).toBeCloseTo(1, 5));
    }),
    { numRuns: 20 },
  );
  const open = meshOf([[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[0, 1, 2]]); // prettier-ignore
  expect(scaledMeasure(measurePart(open), 2).volumeMm3).toBeUndefined();
});

describe('several parts in a bath', () => {
  const bell = { name: 'Fluted bell', pieces: 2, areaDm2: 12, volumeCm3: 130 };
  const plate = { name: 'Plate', pieces: 1, areaDm2: 3, volumeCm3: 20 };

  test('add up, each as often as it hangs there', () => {
    expect(bathLoad([bell, plate])).toEqual({ pieces: 3, areaDm2: 27, volumeCm3: 280 });
  });

  test('have no volume as soon as one of them has none, and none have none', () => {
    expect(bathLoad([bell, { ...plate, volumeCm3: undefined }]).volumeCm3).toBeUndefined();
    expect(bathLoad([])).toEqual({ pieces: 0, areaDm2: 0, volumeCm3: undefined });
  });
});
