/* How the check values of the trade are compared: relative, with a tolerance that belongs to the source. Used by the tests beside it. */
import { expect } from 'vitest';

export function expectWithin(got: number, expected: number, fraction: number): void {
  expect(Math.abs(got - expected) / Math.abs(expected), `${got} against ${expected}`).toBeLessThanOrEqual(fraction);
}
