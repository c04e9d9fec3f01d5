/*
 * How far strike and ramp have come, and what was seen of the cell on the way. Kept in the run's state; changed by ramp-watch.ts and by
 * the presses at the bath (ramp-tells.ts). Strike and ramp end by progress, not by the clock: what waits does not come nearer to its end.
 */

/** What strike and ramp do now; on the wire as it is here. */
export const RampState = {
  goesOn: 0,
  /** voltage at its ceiling, resistance not falling, or the supply does not follow */
  waits: 1,
  /** contact is being lost: less current until it is back */
  backsOff: 2,
  /** by a press at the bath */
  paused: 3,
} as const;
export type RampState = (typeof RampState)[keyof typeof RampState];

export interface RampProgress {
  /** Time of this strike or ramp that counts, and where it ends. */
  doneMs: number;
  endMs: number;
  /** 1, or less when it was lengthened at the bath: so much counts of each millisecond. */
  pace: number;
  isPaused: boolean;
  /** When start was pressed for the pause: a press that is held on becomes a skip. NaN: not in this phase. */
  pressedAtMs: number;
  /** Voltage by current, smoothed; 0 before it was seen. */
  ohms: number;
  /** The lowest so far, and the current it was seen at; 0 before. */
  lowestOhms: number;
  lowestAtAmps: number;
  /** Since when contact looks like being lost, and (while backing off) since when it looks well; NaN while it does not. */
  losingSinceMs: number;
  wellSinceMs: number;
}

/** @onceAtBoot */
export function createRampProgress(): RampProgress {
  return {
    doneMs: 0,
    endMs: 0,
    pace: 1,
    isPaused: false,
    pressedAtMs: NaN,
    ohms: 0,
    lowestOhms: 0,
    lowestAtAmps: 0,
    losingSinceMs: NaN,
    wellSinceMs: NaN,
  };
}
