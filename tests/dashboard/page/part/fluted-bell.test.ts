/* The demonstration bell: a sound surface of the size and wall that it is said to have. */
import { expect, test } from 'vitest';
import { measureWithParts, smoothRegions } from '@bathkeeper/shared-core/part';
import { flutedBell } from '../../../../dashboard/page/part/fluted-bell.js';

test('the demonstration bell is one closed shell that faces outwards, without a fault, about 150 mm high', () => {
  const { measure, sums } = measureWithParts(flutedBell());
  expect(measure).toMatchObject({ isClosed: true, shells: 1, warnings: [], cavityAreaMm2: 0 });
  expect(sums.volumeMm3[0]).toBeGreaterThan(0);
  const [width, depth, height] = measure.boxMm.max.map((most, axis) => most - measure.boxMm.min[axis]!);
  expect(height).toBeGreaterThan(148);
  expect(height).toBeLessThan(153);
  expect(width).toBeCloseTo(depth!, 0);
  expect(width).toBeGreaterThan(125);
});

test('the demonstration bell has a wall of about 2.4 mm: half its area times that is its volume', () => {
  const { measure } = measureWithParts(flutedBell());
  expect(measure.volumeMm3! / ((measure.areaMm2 / 2) * 2.4)).toBeGreaterThan(0.9);
  expect(measure.volumeMm3! / ((measure.areaMm2 / 2) * 2.4)).toBeLessThan(1.02);
});

test('the demonstration bell can be chosen by inside, outside and its two rims', () => {
  const mesh = flutedBell();
  expect(smoothRegions(mesh, measureWithParts(mesh).edges).count).toBe(4);
});
