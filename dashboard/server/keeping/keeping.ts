/*
 * The care for the store: looks at all of it at each start and when a person asks, backs it up for the page, and tells how long the disk will do.
 * Opened by the composition root with a thread of its own, so that charts do not wait for it. It mends nothing: that is a restore, which a person
 * does.
 */
import type { KeepingView, StoreCheckView } from '@bathkeeper/shared-core/messages';
import type { DashboardClock } from '../clock.js';
import { HOUSE } from '../watch/alarm-announcing.js';
import type { AlarmList } from '../watch/alarm-list.js';
import type { Store } from '../store/store.js';
import type { BackupFolder } from './backup-folder.js';
import { newestBackup, noteBackup } from './newest-backup.js';
import { type Reading, UnreadRecords } from './reading.js';
import { backupGrowth, storeGrowth, storeRoom } from './store-room.js';

export interface Keeping {
  readonly folder: Pick<BackupFolder, 'fileOf' | 'takeAway'>;
  view(): KeepingView;
  /** Begins a check unless one is under way. Resolves when its result was told; never rejects. */
  checkStore(): Promise<void>;
  /** Begins a backup unless one is under way. Resolves when it was read back, or why not is in the view; never rejects. */
  backUp(): Promise<void>;
}

export interface KeepingOptions {
  readonly clock: DashboardClock;
  readonly store: Pick<Store, 'database'>;
  readonly dataFolder: string;
  readonly folder: BackupFolder;
  readonly recordsKeptDays: number;
  /** Of the disk that holds the store; undefined: not known. */
  readonly freeBytes: () => number | undefined;
  readonly reading: Pick<Reading, 'ask'>;
  readonly alarms: Pick<AlarmList, 'raise' | 'returnToNormal' | 'isStanding'>;
  readonly changed: () => void;
  readonly failed: (what: string, fault: unknown) => void;
}

export function openKeeping(options: KeepingOptions): Keeping {
  const check = openStoreCheck(options);
  const backups = openBackups(options);
  const { clock, store, folder } = options;
  return {
    folder,
    view: () => {
      const nowMs = clock.nowMs();
      const kept = folder.kept();
      const backedUp = folder.sharesDiskWith(options.dataFolder) ? backupGrowth(kept, nowMs) : null;
      return {
        check: check.view(),
        backups: {
          isUnderWay: backups.isUnderWay(),
          folder: folder.path,
          problem: backups.problem(),
          newest: newestBackup(options.dataFolder),
          kept,
        },
        room: storeRoom(storeGrowth(store.database, nowMs), options.recordsKeptDays, {
          freeBytes: options.freeBytes(),
          backups: backedUp,
        }),
      };
    },
    checkStore: check.begin,
    backUp: backups.begin,
  };
}

function openStoreCheck({ clock, reading, alarms, changed, failed }: KeepingOptions): {
  view: () => StoreCheckView;
  begin: () => Promise<void>;
} {
  let newest: StoreCheckView = { state: 'not-yet', atMs: null, found: [] };
  const tell = (found: readonly string[]): void => {
    const nowMs = clock.nowMs();
    if (found.length === 0) alarms.returnToNormal(HOUSE, 'store-damaged', nowMs);
    else if (!alarms.isStanding(HOUSE, 'store-damaged'))
      alarms.raise({ controllerId: HOUSE, name: 'store-damaged', causeAtMs: nowMs, detail: found.join('; ') }, nowMs);
  };
  const checked = async (): Promise<void> => {
    newest = { ...newest, state: 'under-way' };
    try {
      const found = await reading.ask('storeFaults', {});
      newest = { state: found.length === 0 ? 'sound' : 'damaged', atMs: clock.nowMs(), found };
    } catch (fault) {
      newest = { state: 'unread', atMs: clock.nowMs(), found: [(fault as Error).message] };
      failed('the store could not be checked', fault);
    }
    try {
      if (newest.state !== 'unread') tell(newest.found);
    } catch (fault) {
      // The call went out from memory, and the result stands in the view.
      failed('the alarm store-damaged could not be stored', fault);
    }
    changed();
  };
  return { view: () => newest, begin: oneAtATime(checked).begin };
}

function openBackups({ clock, store, dataFolder, folder, reading, changed, failed }: KeepingOptions): {
  isUnderWay: () => boolean;
  problem: () => string | null;
  begin: () => Promise<void>;
} {
  let problem: string | null = null;
  const made = async (): Promise<void> => {
    problem = null;
    try {
      const { storeBytes, freeInStoreBytes } = storeGrowth(store.database, clock.nowMs());
      const place = await folder.place(clock.nowMs(), storeBytes - freeInStoreBytes);
      const answer = 'problem' in place ? place : await reading.ask('backUp', { to: place.file });
      if ('problem' in answer) problem = answer.problem;
      else if ('file' in place && !noteBackup(dataFolder, { ...answer, madeAtMs: clock.nowMs(), file: place.file }))
        problem = 'It was made, but its note beside the store could not be written.';
    } catch (fault) {
      problem = fault instanceof UnreadRecords ? fault.message : `No backup was made: ${(fault as Error).message}.`;
      failed('no backup could be made', fault);
    }
    changed();
  };
  const { begin, isUnderWay } = oneAtATime(made);
  return { isUnderWay, problem: () => problem, begin };
}

/** Whoever begins it while it is under way waits for the same end. */
function oneAtATime(work: () => Promise<void>): { begin: () => Promise<void>; isUnderWay: () => boolean } {
  let underWay: Promise<void> | undefined;
  return {
    begin: () =>
      (underWay ??= work().finally(() => {
        underWay = undefined;
      })),
    isUnderWay: () => underWay !== undefined,
  };
}
