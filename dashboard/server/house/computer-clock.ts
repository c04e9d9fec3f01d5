/*
 * Was the clock of this computer set, or did the watch stand still? Pure: two looks at three counts. Asked by house-watch.ts every ten
 * seconds; it reads no clock itself.
 */

export interface ClockReading {
  /** The time of day. Somebody, or the network, can set it. */
  readonly wallMs: number;
  /** Nobody can set it; on some systems it stands still while the computer sleeps. */
  readonly steadyMs: number;
  /** Since the computer was switched on, sleep included where the system counts it. */
  readonly upMs: number;
}

export interface ClockTurn {
  /** So much longer than planned nobody looked. 0: about as planned. */
  readonly stoodStillMs: number;
  /** So much the clock was set: forward is positive. 0: it ran on. */
  readonly setByMs: number;
}

/** Below it nothing in the journal is misleading, and no alarm comes late. Our own practice, no source. */
export const CLOCK_TOLERANCE_MS = 60_000;

/**
 * What happened between two looks that were planned `plannedMs` apart. A sleeping computer passes time that the steady count may not have:
 * of the two counts the one that went on is believed.
 *
 * Example: ten seconds planned, the clock three hours on, both counts ten seconds on: it was set forward by three hours.
 */
export function clockTurn(
  before: ClockReading,
  now: ClockReading,
  plannedMs: number,
  toleranceMs = CLOCK_TOLERANCE_MS,
): ClockTurn {
  const passedMs = Math.max(now.steadyMs - before.steadyMs, now.upMs - before.upMs);
  const lateMs = passedMs - plannedMs;
  const setByMs = now.wallMs - before.wallMs - passedMs;
  return {
    stoodStillMs: lateMs > toleranceMs ? lateMs : 0,
    setByMs: Math.abs(setByMs) > toleranceMs ? setByMs : 0,
  };
}
