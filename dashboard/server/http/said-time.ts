/* A time that somebody said of an entry: not to come, and not before it could have been. Asked by the routes that take entries. */

/** A clock that is a little ahead on the phone is no reason to refuse. */
const AHEAD_MS = 10 * 60_000;
/** Before that nobody wrote into this program, and what a device without a clock says (1970, 1980) lies there. A bath's own past may reach back to it. */
export const EARLIEST_MS = Date.UTC(2000, 0, 1);
/** A part is painted, weighed and photographed before it is plated, but not more than a year before. */
const BEFORE_A_RUN_MS = 366 * 86_400_000;

export function earliestOfRun(startedAtMs: number): number {
  return Math.max(EARLIEST_MS, startedAtMs - BEFORE_A_RUN_MS);
}

/** What is wrong with it, to stand behind the name of the field; undefined: nothing. */
export function timeFault(atMs: number, nowMs: number, earliestMs = EARLIEST_MS): string | undefined {
  if (atMs > nowMs + AHEAD_MS) return 'expected a time that has been, got one to come. Correct the date.';
  const day = (ms: number): string => new Date(ms).toISOString().slice(0, 10);
  return atMs < earliestMs
    ? `expected a time from ${day(earliestMs)} on, got ${day(atMs)}. Correct the date.`
    : undefined;
}
