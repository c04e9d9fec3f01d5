/*
 * The phases of a run, as the controller numbers them on the wire and in its memory.
 * Used by the supervisor, the journal and every message; never holds behaviour.
 */

/** Phase numbers. `strike` to `finish` and `hold` are live: the contactor is closed and current may flow. */
export const Phase = {
  idle: 0,
  ready: 1,
  strike: 2,
  ramp: 3,
  plate: 4,
  finish: 5,
  done: 6,
  hold: 7,
  trip: 8,
  /** The contactor is closed; a low current proves that it flows, and the right way, before strike. Live. */
  polarity: 9,
} as const;
export type Phase = (typeof Phase)[keyof typeof Phase];

/** True while the contactor is meant to be closed. */
export function isLive(phase: Phase): boolean {
  return (phase >= Phase.strike && phase <= Phase.finish) || phase === Phase.hold || phase === Phase.polarity;
}
