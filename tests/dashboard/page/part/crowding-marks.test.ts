/* Marks of crowding: of too many edges the sharpest are drawn, and all are counted. */
import { expect, test } from 'vitest';
import { crowdingOf, measureWithParts, platedCrowding } from '@bathkeeper/shared-core/part';
import { crowdingMarks } from '../../../../dashboard/page/part/model-worker/crowding-marks.js';
import { box, meshOf, together } from '../../../shared-core/part/shapes.js';

/** A roof with a ridge that bends by 120° and, like any solid of three sides, two further long edges of as much. */
const blade = meshOf(
  [[0, 0, 0], [9, 0, 0], [0, 1, 0], [9, 1, 0], [0, 0.5, 3], [9, 0.5, 3]],
  [[0, 2, 3], [0, 3, 1], [0, 1, 5], [0, 5, 4], [2, 4, 5], [2, 5, 3], [0, 4, 2], [1, 3, 5]],
); // prettier-ignore

test('draws the sharpest of too many edges, and counts all', () => {
  const mesh = together(box([2, 2, 2], [0, 20, 0]), blade);
  const part = measureWithParts(mesh);
  const crowding = crowdingOf(mesh, part, 50);
  const none = new Uint8Array(mesh.corners.length / 3);
  const plated = platedCrowding(mesh, part.edges, crowding, none, undefined);
  expect(plated.openShare).toEqual(crowding.openShare);
  const all = crowdingMarks(mesh, plated);
  expect(all.edgeCount).toBe(21);
  expect(all.edges).toHaveLength(21 * 6);
  const few = crowdingMarks(mesh, plated, 1);
  expect(few.edgeCount).toBe(21);
  expect(few.edgeLengthMm).toBe(all.edgeLengthMm);
  // The ridge: its top bends by 161°, more than any other edge here.
  expect([few.edges[2], few.edges[5]]).toEqual([3, 3]);
});
