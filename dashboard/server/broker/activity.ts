/*
 * Counts what goes over the connections within this process and what is done with it, so that a rehearsal or a test can wait until everything
 * that was sent has come to its end. Used by the composition root; it changes nothing on its way.
 */
import type { Duplex } from 'node:stream';

/** After so many turns of the event loop without anything, nothing is on its way any more. */
const QUIET_TURNS = 4;

export interface Activity {
  readonly noted: () => void;
  /** The same end of a connection, counted and paused until somebody reads it. */
  readonly watched: (end: Duplex) => Duplex;
  /** Calls `finishWork` in each turn, and resolves when nothing happened for some turns in which it answered that nothing waits. */
  readonly settled: (finishWork: () => Promise<boolean>) => Promise<void>;
}

export function openActivity(): Activity {
  let count = 0;
  const noted = (): void => {
    count++;
  };
  return {
    noted,
    watched: (end) => {
      const write = end.write.bind(end) as (...args: unknown[]) => boolean;
      end.write = ((...args: unknown[]) => {
        noted();
        return write(...args);
      }) as Duplex['write'];
      end.on('data', noted);
      end.pause();
      return end;
    },
    settled: async (finishWork) => {
      let quietTurns = 0;
      let seen = count;
      while (quietTurns < QUIET_TURNS) {
        await new Promise<void>((next) => setImmediate(next));
        const isNothingWaiting = await finishWork();
        quietTurns = seen === count && isNothingWaiting ? quietTurns + 1 : 0;
        seen = count;
      }
    },
  };
}
