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

export interface ManualClock extends DashboardClock {
  /** Runs every timer that falls due on the way, in order, each at its own time. */
  advanceTo(ms: number): void;
}

export function manualClock(startMs: number): ManualClock {
  let nowMs = startMs;
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
    nowMs: () => nowMs,
    steadyMs: () => nowMs,
    after: (ms, run) => add(ms, undefined, run),
    every: (ms, run) => add(ms, ms, run),
    advanceTo(untilMs) {
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
