/* What a picture is drawn from, and from where it is looked at: pure, without a browser. */
import fc from 'fast-check';
import icosphere from 'icosphere';
import { describe, expect, test } from 'vitest';
import { measureWithParts, type Mesh, type Triple } from '@bathkeeper/shared-core/part';
import { extentOf, pictureMesh, pictureStates } from '../../../../dashboard/page/part/model-worker/picture-mesh.js';
import {
  cameraOf,
  FIELD_DEGREES,
  firstView,
  magnified,
  rayThrough,
  turned as turnedBy,
} from '../../../../dashboard/page/part/picture/view.js';
import { box, meshOf, together, torus, turned } from '../../../shared-core/part/shapes.js';

const drawn = (mesh: Mesh, most?: number) => pictureMesh(mesh, measureWithParts(mesh).shells.isInverted, most);
const ball = (fineness: number) => {
  const { positions, cells } = icosphere(fineness);
  return meshOf(positions, cells);
};

describe('the mesh of a picture', () => {
  test('holds every triangle of a model that is not too fine, with its own corners', () => {
    const mesh = box([2, 3, 5]);
    const { pieces, triangleOf } = drawn(mesh);
    expect([...triangleOf]).toEqual(Array.from({ length: 12 }, (_, t) => t));
    expect(pieces).toHaveLength(1);
    expect([...pieces[0]!.positions]).toEqual(
      [...mesh.corners].flatMap((corner) => [...mesh.positionsMm.subarray(corner * 3, corner * 3 + 3)]),
    );
  });

  test('keeps the edges of a box sharp and makes a ball round', () => {
    const normals = drawn(box([2, 2, 2])).pieces[0]!.normals;
    for (let k = 0; k < normals.length; k += 4)
      expect([...normals.subarray(k, k + 3)].map(Math.abs).sort((a, b) => a - b)).toEqual([0, 0, 127]);
    const round = drawn(ball(3)).pieces[0]!;
    for (let corner = 0; corner < 300; corner++)
      for (let axis = 0; axis < 3; axis++)
        expect(round.normals[corner * 4 + axis]! / 127).toBeCloseTo(round.positions[corner * 3 + axis]!, 1);
  });

  test('lights a triangle that faces the wrong way as if it did not', () => {
    const mesh = ball(2);
    const corners = mesh.corners.slice();
    [corners[1], corners[2]] = [corners[2]!, corners[1]!];
    const { normals, positions } = drawn({ ...mesh, corners }).pieces[0]!;
    const along = [0, 1, 2].reduce((sum, axis) => sum + normals[axis]! * positions[axis]!, 0);
    expect(along).toBeGreaterThan(100);
  });

  test('of a model too fine is made of fewer of its own triangles, none of them far from where it was', () => {
    const mesh = torus(30, 10, 300, 200);
    const { pieces, triangleOf } = drawn(mesh, 10_000);
    expect(triangleOf.length).toBeLessThanOrEqual(10_000);
    expect(triangleOf.length).toBeGreaterThan(3000);
    expect(pieces.reduce((sum, piece) => sum + piece.positions.length / 9, 0)).toBe(triangleOf.length);
    const { positions } = pieces[0]!;
    for (let t = 0; t < Math.min(500, positions.length / 9); t++) {
      const own = mesh.corners[triangleOf[t]! * 3]! * 3;
      const moved = Math.hypot(...[0, 1, 2].map((axis) => positions[t * 9 + axis]! - mesh.positionsMm[own + axis]!));
      expect(moved).toBeLessThan(3);
    }
  });

  test('ends with few triangles even where all lie in one place', () => {
    const far = meshOf([[1e6, 0, 0], [1e6 + 1, 0, 0], [1e6, 1, 0]], [[0, 1, 2]]); // prettier-ignore
    expect(drawn(together(ball(4), far), 100).triangleOf.length).toBeLessThanOrEqual(100);
    const flat = meshOf([[0, 0, 0], [0, 0, 0], [0, 0, 0]], [[0, 1, 2]]); // prettier-ignore
    expect(drawn(flat, 0).triangleOf).toHaveLength(0);
  });

  test('tells each corner whether its triangle is masked, pointed at, or both', () => {
    const states = pictureStates(Uint32Array.of(2, 0, 1), Uint8Array.of(1, 0, 1), Uint8Array.of(0, 1, 1));
    expect([...states]).toEqual([3, 3, 3, 1, 1, 1, 2, 2, 2]);
    expect([...pictureStates(Uint32Array.of(0), Uint8Array.of(1), undefined)]).toEqual([1, 1, 1]);
  });
});

describe('the view', () => {
  const views = fc.record({
    aroundDegrees: fc.double({ min: -720, max: 720, noNaN: true }),
    aboveDegrees: fc.double({ min: -88, max: 88, noNaN: true }),
    magnification: fc.constant(1),
    up: fc.constantFrom('y' as const, 'z' as const),
  });
  const minus = (a: Triple, b: Triple) => a.map((each, axis) => each - b[axis]!) as unknown as Triple;
  const dot = (a: Triple, b: Triple) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

  test('holds all of the part, however it is turned and however narrow the picture is', () => {
    const mesh = box([20, 3, 70], [5, -9, 4]);
    const extent = extentOf(mesh);
    fc.assert(
      fc.property(views, fc.double({ min: 0.4, max: 3, noNaN: true }), (view, widthToHeight) => {
        const camera = cameraOf(view, extent, widthToHeight);
        const ahead = minus(camera.target, camera.place);
        const distance = Math.hypot(...ahead);
        for (let k = 0; k < mesh.positionsMm.length; k += 3) {
          const to = minus([...mesh.positionsMm.subarray(k, k + 3)] as unknown as Triple, camera.place);
          const deep = dot(to, ahead) / distance;
          const aside = Math.sqrt(Math.max(0, dot(to, to) - deep * deep));
          const half = Math.tan((FIELD_DEGREES * Math.PI) / 360) * Math.min(1, widthToHeight);
          expect(aside / deep).toBeLessThan(half * 1.0001);
          expect(deep).toBeGreaterThan(camera.nearMm);
          expect(deep).toBeLessThan(camera.farMm);
        }
      }),
    );
  });

  test('sends a ray through the middle to the middle, and through the upper edge above it', () => {
    fc.assert(
      fc.property(views, (view) => {
        const camera = cameraOf(view, { middleMm: [1, 2, 3], radiusMm: 10 }, 1.5);
        const ahead = minus(camera.target, camera.place);
        const middle = rayThrough(camera, 0, 0, 1.5);
        expect(dot(middle, ahead) / Math.hypot(...middle) / Math.hypot(...ahead)).toBeCloseTo(1, 9);
        expect(dot(minus(rayThrough(camera, 0, 1, 1.5), middle), camera.up)).toBeGreaterThan(0);
        // To the right on the picture is to the right of the way ahead.
        const right = minus(rayThrough(camera, 1, 0, 1.5), middle);
        const [a, u] = [ahead, camera.up];
        const cross: Triple = [a[1] * u[2] - a[2] * u[1], a[2] * u[0] - a[0] * u[2], a[0] * u[1] - a[1] * u[0]];
        expect(dot(right, cross)).toBeGreaterThan(0);
      }),
    );
  });

  test('cannot be turned over the pole, nor brought so near or far that the part is lost', () => {
    expect(turnedBy(firstView, 0, 500).aboveDegrees).toBe(88);
    expect(turnedBy(firstView, 0, -500).aboveDegrees).toBe(-88);
    expect(magnified(firstView, 1e9).magnification).toBe(20);
    expect(magnified(firstView, 1e-9).magnification).toBe(0.5);
  });

  test('makes room for a part that has no size', () => {
    const flat = extentOf(turned(meshOf([[1, 1, 1], [1, 1, 1], [1, 1, 1]], [[0, 1, 2]]))); // prettier-ignore
    expect(cameraOf(firstView, flat, 1).place.every(Number.isFinite)).toBe(true);
  });
});
