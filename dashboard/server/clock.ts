/*
 * The dashboard's clock: the system's, one that runs faster (a simulated bath), or one that is moved by hand (rehearsal, tests).
 * Everything that waits or stamps a time asks it; nothing else in the server reads the system's time for the bath's affairs.
 */

export type Cancel = () => void;

export interface DashboardClock {
  nowMs(): number;
  /** Milliseconds of a count that nobody sets, from any beginning: what `nowMs` is compared with to see that the clock was set. */
  steadyMs(): number;
  /** How many times faster than real time. */
  readonly speed: number;
  after(ms: number, run: () => void): Cancel;
  every(ms: number, run: () => void): Cancel;
}

/** Runs `speed` times as fast as the system's clock, from `startMs` on. */
export function scaledClock(speed: number, startMs = Date.now()): DashboardClock {
  const realStartMs = performance.now();
  const steadyMs = (): number => (performance.now() - realStartMs) * speed;
  return {
    speed,
    nowMs: () => Math.round(startMs + steadyMs()),
    steadyMs,
    after(ms, run) {
      const timer = setTimeout(run, ms / speed);
      return () => {
        clearTimeout(timer);
      };
    },
    every(ms, run) {
      const timer = setInterval(run, Math.max(5, ms / speed));
      return () => {
        clearInterval(timer);
      };
    },
  };
}

export function systemClock(): DashboardClock {
  return { ...scaledClock(1), nowMs: () => Date.now() };
}

/**
 * The same clock, which calls `turned` at the first question after it was set by more than that much, before anybody plans by the new time. It
 * also does after a sleep of the computer in which the steady count stood still: which of both it was is for the called to find out.
 */
export function heededClock(clock: DashboardClock, toleranceMs: number, turned: () => void): DashboardClock {
  let knownAheadMs = clock.nowMs() - clock.steadyMs();
  return {
    ...clock,
    nowMs: () => {
      const nowMs = clock.nowMs();
      const aheadMs = nowMs - clock.steadyMs();
      const isTurned = Math.abs(aheadMs - knownAheadMs) > toleranceMs;
      knownAheadMs = aheadMs;
      if (isTurned) turned();
      return nowMs;
    },
  };
}

export interface ManualClock extends DashboardClock {
  /** Somebody sets it by so much, back where negative: the time of day is another one, timers and the steady count go on. */
  setBy(ms: number): void;
  /** Runs every timer that falls due on the way, in order, each at its own time. */
  advanceTo(ms: number): void;
}

export function manualClock(startMs: number): ManualClock {
  let nowMs = startMs;
  let setByMs = 0;
  let serial = 0;
  const timers = new Map<number, { dueMs: number; everyMs: number | undefined; run: () => void }>();
  const add = (ms: number, everyMs: number | undefined, run: () => void): Cancel => {
    const id = ++serial;
    timers.set(id, { dueMs: nowMs + ms, everyMs, run });
    return () => {
      timers.delete(id);
    };
  };
  return {
    speed: 1,
    nowMs: () => nowMs + setByMs,
    steadyMs: () => nowMs,
    after: (ms, run) => add(ms, undefined, run),
    every: (ms, run) => add(ms, ms, run),
    setBy(ms) {
      setByMs += ms;
    },
    advanceTo(ms) {
      const untilMs = ms - setByMs;
      for (;;) {
        let next: [number, { dueMs: number; everyMs: number | undefined; run: () => void }] | undefined;
        for (const entry of timers)
          if (entry[1].dueMs <= untilMs && (!next || entry[1].dueMs < next[1].dueMs)) next = entry;
        if (!next) break;
        const [id, timer] = next;
        nowMs = Math.max(nowMs, timer.dueMs);
        if (timer.everyMs === undefined) timers.delete(id);
        else timer.dueMs += timer.everyMs;
        timer.run();
      }
      nowMs = Math.max(nowMs, untilMs);
    },
  };
}
