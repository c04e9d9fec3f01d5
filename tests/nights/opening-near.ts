/*
 * The opening of the contactor that belongs to a trip: with a program that was lost it came before the trip was told.
 */
import type { ContactorMovement } from '@bathkeeper/firmware/bench';

/** A contactor takes this long at most after the program let go of it. */
const LATEST_SECONDS = 5;

export function openingNear(log: readonly ContactorMovement[], tripSeconds: number): ContactorMovement | undefined {
  return log.filter((movement) => !movement.isClosed && movement.atSeconds <= tripSeconds + LATEST_SECONDS).at(-1);
}
