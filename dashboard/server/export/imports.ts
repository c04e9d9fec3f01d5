/*
 * Brings runs from files into the store, one after the other: a file is read and checked aside, then its rows enter in steps, between which samples are taken and
 * acknowledged, and the last step makes them a run of the logbook. What was left half-way by a fault, or by the end of the program, is cleared in steps likewise.
 * Opened by the composition root, called by the route of imports and by the dashboard's clock.
 */
import { rmSync } from 'node:fs';
import type { ImportedRun } from '@bathkeeper/shared-core/messages';
import { openClearing } from '../logbook/gone-imports.js';
import type { Store } from '../store/store.js';
import { asideInThread } from './aside-in-thread.js';
import { breath } from './breath.js';
import { importedRun, type KnownBefore, knownBefore, type RunFile } from './imported-runs.js';
import { loggedSteps } from './keep-logged.js';
import { beginImport, endImport } from './keep-run.js';
import { openRowsAside } from './rows-aside.js';
import type { SetAside } from './set-aside.js';
import { UnreadableRun } from './unreadable-run.js';

/** Each waits with its file on the disk. */
const WAITING_MAX = 4;

/** It is not the file's fault; the message says what to do. Nothing of it is in the logbook. */
export class UnkeptRun extends Error {}

export interface Imports {
  /** Rejects with UnreadableRun or UnkeptRun. Nothing is left of the file but the file. */
  keep(file: RunFile): Promise<ImportedRun | KnownBefore>;
  /** A step of clearing what was left half-way; answers whether anything is left to do. */
  clearNext(): boolean;
  /** What is under way stops at its next step. Resolves when it has. */
  close(): Promise<void>;
}

export interface ImportOptions {
  readonly store: Store;
  /** Told why one was not kept, for the log. */
  readonly failed: (what: string, fault: unknown) => void;
  /** Absent: in a thread of its own. */
  readonly read?: (path: string, aside: string, signal: AbortSignal) => Promise<SetAside>;
  /** What happens between two steps. Absent: everything else, for some milliseconds. */
  readonly between?: () => Promise<unknown>;
}

export function openImports({ store, failed, read = asideInThread, between = breath }: ImportOptions): Imports {
  const closing = new AbortController();
  const clearing = openClearing(store);
  const nextLeft = store.database
    .prepare<[string], string>(
      'SELECT controller_id FROM begun_imports WHERE controller_id <> ? ORDER BY import_number LIMIT 1',
    ) // prettier-ignore
    .pluck();
  let underWay = '';
  let waiting = 0;

  const keep = async (file: RunFile): Promise<ImportedRun | KnownBefore> => {
    const aside = `${file.path}.rows`;
    try {
      const taken = await read(file.path, aside, closing.signal);
      const known = knownBefore(store, taken.header, file.nowMs);
      return known ?? (await keptInSteps(taken, aside, file));
    } finally {
      rmSync(aside, { force: true });
    }
  };
  const keptInSteps = async (taken: SetAside, aside: string, file: RunFile): Promise<ImportedRun> => {
    const rows = openRowsAside(aside);
    const { incarnation, run } = taken.header.run;
    try {
      const begun = store.together(() => beginImport(store, file.nowMs));
      const { controllerId } = begun;
      underWay = controllerId;
      for (const step of loggedSteps(store, rows, { controllerId, incarnation, run })) {
        await between();
        closing.signal.throwIfAborted();
        store.together(step);
      }
      store.together(() => {
        endImport(store, begun, taken, rows, file);
      });
      return importedRun(store, controllerId)!;
    } finally {
      underWay = '';
      rows.close();
    }
  };
  /** Where even that fails, the dashboard's clock goes on with it. */
  const clear = async (): Promise<void> => {
    while (!closing.signal.aborted && clearNext()) await between();
  };
  const clearNext = (): boolean => {
    const controllerId = nextLeft.get(underWay);
    if (controllerId === undefined) return false;
    clearing(controllerId);
    return true;
  };
  const uncleared = (fault: unknown): void => {
    failed('what was left of an import could not be cleared', fault);
  };
  let last: Promise<unknown> = clear().catch(uncleared);
  return {
    keep: (file) => {
      if (closing.signal.aborted) return Promise.reject(new UnkeptRun(CLOSING));
      if (waiting > WAITING_MAX) return Promise.reject(new UnkeptRun('Several files are being imported. Nothing was changed; send it again when they are through.')); // prettier-ignore
      waiting++;
      const kept = last.then(() => keep(file));
      last = kept
        .catch((fault: unknown) => (fault instanceof UnreadableRun ? undefined : clear()))
        .catch(uncleared)
        .finally(() => waiting--);
      return kept.catch((fault: unknown) => {
        if (fault instanceof UnreadableRun) throw fault;
        if (closing.signal.aborted) throw new UnkeptRun(CLOSING);
        failed('a run could not be imported', fault);
        throw new UnkeptRun(unkeptWords(fault));
      });
    },
    clearNext,
    close: async () => {
      closing.abort();
      await last;
    },
  };
}

const CLOSING = 'The dashboard is being closed. Nothing of the file was kept; import it again when it is back.';

function unkeptWords(fault: unknown): string {
  const { message, code } = fault as Error & { code?: string };
  const isFull = code === 'SQLITE_FULL' || code === 'ENOSPC' || /disk is full/.test(message);
  const what = isFull
    ? 'The disk is full, so that the run was not imported. Make room on it (an import takes up to four times the size of its file meanwhile), and import it again'
    : `The run could not be imported (${message.replace(/\.$/, '')}). Import it again; if it stays so, look into the log of the dashboard`;
  return `${what}. Nothing of it is in the logbook.`;
}
