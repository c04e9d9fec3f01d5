/* The integral of mean curvature: closed forms, and that the area grows as Steiner says. */
import { meanCurvatureMm, measureWithParts, type Mesh } from '@bathkeeper/shared-core/part';
import icosphere from 'icosphere';
import { describe, expect, test } from 'vitest';
import { box, meshOf, torus, turned } from './shapes.js';

const of = (mesh: Mesh) => meanCurvatureMm(mesh, measureWithParts(mesh));

describe('the integral of mean curvature', () => {
  test('of a box is π times the sum of its edges (exact)', () => {
    expect(of(box([2, 3, 5]))).toBeCloseTo(Math.PI * 10, 6);
  });

  test('of a ball nears 4πr, of a torus 2π² times its ring radius', () => {
    const { positions, cells } = icosphere(4);
    expect(of(meshOf(positions, cells))! / (4 * Math.PI)).toBeCloseTo(1, 2);
    // Convex outside and hollow inside: what the inside takes off is counted as well.
    expect(of(torus(3, 1, 192, 96))! / (2 * Math.PI ** 2 * 3)).toBeCloseTo(1, 3);
  });

  test('is not there where a surface is open or faces inwards', () => {
    expect(of(turned(box([2, 3, 5])))).toBeUndefined();
    const open = box([2, 3, 5]);
    expect(of({ ...open, corners: open.corners.slice(3) })).toBeUndefined();
  });
});
