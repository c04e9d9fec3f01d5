/*
 * Makes run sheets, one after the other, each in a thread of its own that ends with it. Called by the routes of sheets. A thread that fails or takes far too long
 * is ended and told of; nobody waits for it but whoever asked.
 */
import { Worker } from 'node:worker_threads';
import { compiledFile } from '../compiled-file.js';
import type { SheetAsked } from './made-sheet.js';

/** A sheet takes a second or two, on a slow computer with much to do ten times as long. */
const THREAD_SECONDS = 60;
const MEMORY_MEGABYTES = 300;
/** More at once are no readers. */
const WAITING_MAX = 8;

/** The message says what to do. */
export class UnmadeSheet extends Error {}

export interface SheetDesk {
  /** Rejects with UnmadeSheet. */
  make(asked: SheetAsked): Promise<Uint8Array>;
}

/** `failed` is told why, for the log. */
export function openSheetDesk(
  failed: (what: string, fault: unknown) => void,
  threadFile = compiledFile('sheet/sheet-thread'),
): SheetDesk {
  let waiting = 0;
  let last: Promise<unknown> = Promise.resolve();
  return {
    make: (asked) => {
      if (waiting >= WAITING_MAX)
        return Promise.reject(new UnmadeSheet('Many sheets are being made at once. Ask again in a minute.'));
      waiting++;
      const made = last.then(() => inThread(asked, threadFile));
      last = made.catch(() => undefined).finally(() => waiting--);
      return made.catch((fault: unknown) => {
        failed('a run sheet could not be made', fault);
        throw new UnmadeSheet(
          `The run sheet could not be made (${fault instanceof Error ? fault.message.replace(/\.$/, '') : String(fault)}). The run itself is kept. Ask again; if it stays so, look into the log of the dashboard.`,
        );
      });
    },
  };
}

function inThread(asked: SheetAsked, threadFile: string): Promise<Uint8Array> {
  return new Promise((done, refused) => {
    const thread = new Worker(threadFile, {
      workerData: asked,
      // It runs what was compiled, whatever this process was started with.
      execArgv: [],
      resourceLimits: { maxOldGenerationSizeMb: MEMORY_MEGABYTES },
    });
    thread.unref();
    const tooLong = setTimeout(() => void thread.terminate(), THREAD_SECONDS * 1000);
    thread.once('message', (bytes: Uint8Array) => {
      done(bytes);
    });
    thread.once('error', refused);
    thread.once('exit', () => {
      clearTimeout(tooLong);
      refused(new Error('the thread that makes it ended without a sheet'));
    });
  });
}
