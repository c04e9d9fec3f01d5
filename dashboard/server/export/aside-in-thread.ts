/* Starts the thread in which a file is read and checked, and waits for its answer. Called by the import. */
import { Worker } from 'node:worker_threads';
import { compiledFile } from '../compiled-file.js';
import type { AsideAnswer, AsideAsked } from './aside-thread.js';
import type { SetAside } from './set-aside.js';
import { UnreadableRun } from './unreadable-run.js';

/** A week at one a second takes 150 MB in the worst format; what needs more is no file of this dashboard. */
const MEMORY_MEGABYTES = 600;

/** Rejects with UnreadableRun where the file cannot be taken, and with what failed else. `signal` ends the thread. */
export function asideInThread(path: string, aside: string, signal: AbortSignal): Promise<SetAside> {
  return new Promise((done, refused) => {
    const thread = new Worker(compiledFile('export/aside-thread'), {
      workerData: { path, aside } satisfies AsideAsked,
      execArgv: [],
      resourceLimits: { maxOldGenerationSizeMb: MEMORY_MEGABYTES },
    });
    thread.unref();
    const end = (): void => void thread.terminate();
    signal.addEventListener('abort', end, { once: true });
    thread.once('message', (answer: AsideAnswer) => {
      if ('read' in answer) done(answer.read);
      else refused(new UnreadableRun(answer.unreadable.place, answer.unreadable.fault));
    });
    thread.once('error', (fault: Error & { code?: string }) => {
      refused(
        fault.code === 'ERR_WORKER_OUT_OF_MEMORY'
          ? new UnreadableRun('The file', `reading it takes more than ${String(MEMORY_MEGABYTES)} MB of memory. Expected a run as this dashboard exports it; of Parquet, groups of at most 200000 rows.`) // prettier-ignore
          : fault,
      );
    });
    thread.once('exit', () => {
      signal.removeEventListener('abort', end);
      refused(new Error('the thread that reads the file ended without an answer'));
    });
  });
}
