/* The set-point at any moment of a recipe. */
import { Phase, setPointAmps } from '@bathkeeper/shared-core/control';
import { expect, test } from 'vitest';
import { lampshade } from './scripted-bath.js';

test.each([
  ['idle', 0, 0],
  ['ready', 0, 0],
  ['strike', 0, 4],
  ['strike', 599, 4],
  ['ramp', 0, 4],
  ['ramp', 450, 8],
  ['ramp', 900, 12],
  ['ramp', 1800, 20],
  ['ramp', 9999, 20],
  ['plate', 0, 20],
  ['finish', 0, 2],
  ['done', 0, 0],
  ['hold', 0, 3],
  ['trip', 0, 0],
] as const)('in %s after %d s it is %d A', (phase, seconds, amps) => {
  expect(setPointAmps(lampshade, Phase[phase], seconds, lampshade.strikeAmps)).toBe(amps);
});

test('a ramp after a hold climbs on the same slope from where the hold was', () => {
  expect(setPointAmps(lampshade, Phase.ramp, 900, 3)).toBe(11);
});

test('a ramp after a hold climbs also where strike was at the plating current already', () => {
  expect(setPointAmps({ ...lampshade, strikeAmps: 20 }, Phase.ramp, 1800, 3)).toBe(20);
});

test('a ramp without length or height is a number all the same', () => {
  expect(setPointAmps({ ...lampshade, rampSeconds: 0 }, Phase.ramp, 0, 4)).toBe(4);
  expect(setPointAmps({ ...lampshade, rampSeconds: 0 }, Phase.ramp, 0.2, 4)).toBe(20);
  expect(setPointAmps({ ...lampshade, rampSeconds: 0, strikeAmps: 20 }, Phase.ramp, 0.2, 20)).toBe(20);
});
