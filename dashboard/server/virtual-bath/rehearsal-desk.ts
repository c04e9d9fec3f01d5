/*
 * Rehearsals from the page: one at a time, in a thread of its own so that the watch is never held up; told how far it is, cancelled when asked, the newest kept
 * until the next or the end of the program. Called by the routes of the rehearsal. It touches no bath.
 */
import { Worker } from 'node:worker_threads';
import { partNames, type RehearsalView } from '@bathkeeper/shared-core/trade';
import { compiledFile } from '../compiled-file.js';
import type { NightOfPlan } from './rehearsal-night.js';
import { rehearsalResult } from './rehearsal-result.js';
import type { FromRehearsal } from './rehearsal-worker.js';

/** A night takes some 65 MB; one that takes far more is ended before it harms the watch. */
const MEMORY_MEGABYTES = 400;

export interface RehearsalDesk {
  readonly newest: RehearsalView | null;
  /** undefined: one is being played. */
  start(night: NightOfPlan): RehearsalView | undefined;
  /** The newest, cancelled if it was being played. */
  cancel(): RehearsalView | null;
  /** Resolves when nothing is being played. */
  settled(): Promise<void>;
}

/** `failed` is told what went wrong, for the log. */
export function openRehearsalDesk(
  failed: (fault: unknown) => void,
  workerFile = compiledFile('virtual-bath/rehearsal-worker'),
): RehearsalDesk {
  let newest: RehearsalView | null = null;
  let thread: Worker | undefined;
  let settled = Promise.resolve();

  const change = (rehearsalId: number, to: Partial<RehearsalView>): void => {
    // A thread may say something after it was cancelled.
    if (newest?.rehearsalId === rehearsalId && newest.state === 'running') newest = { ...newest, ...to };
  };
  return {
    get newest() {
      return newest;
    },
    start: (night) => {
      if (newest?.state === 'running') return undefined;
      const rehearsalId = (newest?.rehearsalId ?? 0) + 1;
      newest = {
        rehearsalId,
        parts: partNames(night.plan.request.parts),
        state: 'running',
        share: 0,
        result: null,
        problem: null,
      };
      const playing = new Worker(workerFile, {
        workerData: night.night,
        // It runs what was compiled, whatever this process was started with.
        execArgv: [],
        resourceLimits: { maxOldGenerationSizeMb: MEMORY_MEGABYTES },
      });
      playing.unref();
      thread = playing;
      playing.on('message', (message: FromRehearsal) => {
        change(rehearsalId, heard(message, night));
      });
      playing.on('error', (fault) => {
        failed(fault);
        change(rehearsalId, failedWith(fault instanceof Error ? fault.message : String(fault)));
      });
      settled = new Promise((done) => {
        playing.on('exit', () => {
          change(rehearsalId, failedWith('the thread ended without a result'));
          done();
        });
      });
      return newest;
    },
    cancel: () => {
      if (newest?.state === 'running') {
        newest = { ...newest, state: 'cancelled' };
        void thread?.terminate();
      }
      return newest;
    },
    settled: () => settled,
  };
}

function heard(message: FromRehearsal, night: NightOfPlan): Partial<RehearsalView> {
  if ('afterSeconds' in message) return { share: Math.min(0.99, message.afterSeconds / night.night.plannedSeconds) };
  const { played } = message;
  return played.problem === undefined
    ? { state: 'done', share: 1, result: rehearsalResult(night, played) }
    : failedWith(played.problem.split('\n')[0] ?? '');
}

function failedWith(why: string): Partial<RehearsalView> {
  return {
    state: 'failed',
    problem: `The rehearsal could not be played: ${why.replace(/\.$/, '')}. Try it again; the log of the dashboard says more.`,
  };
}
