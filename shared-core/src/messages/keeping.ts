/*
 * What keeps the store: its check, its backups, its room on the disk. Answered by the server's room keeping under /api/keeping, shown by the page.
 */

/** GET /api/keeping. POST /api/keeping/check and /api/keeping/backups begin their work and answer this at once. */
export interface KeepingView {
  readonly check: StoreCheckView;
  readonly backups: BackupsView;
  readonly room: StoreRoomView;
}

/** SQLite's own look at every page of the store, in a thread beside the watch. */
export interface StoreCheckView {
  /** `unread`: the check itself failed, so that nothing is known. */
  readonly state: 'not-yet' | 'under-way' | 'sound' | 'damaged' | 'unread';
  /** When the newest result came; null: there is none since the start. */
  readonly atMs: number | null;
  /** What was found where it is damaged, in SQLite's words; why there is no result where it is unread. */
  readonly found: readonly string[];
}

export interface BackupsView {
  readonly isUnderWay: boolean;
  /** Where this computer puts them. */
  readonly folder: string;
  /** Why the newest one could not be made; null: it was, or none was asked since the start. */
  readonly problem: string | null;
  /** The newest that was made and read back, by the page or by the command, wherever it lies; null: none is known. */
  readonly newest: MadeBackup | null;
  /** What lies in the folder, the newest first. Each was read back before it got its name. */
  readonly kept: readonly KeptBackup[];
}
export interface MadeBackup {
  readonly madeAtMs: number;
  readonly file: string;
  readonly isThere: boolean;
  readonly bytes: number;
  /** What was found in it when it was read back. */
  readonly runs: number;
  readonly newestRecordAtMs: number | null;
}
/** GET /api/keeping/backups/:name is the file; DELETE takes it away. */
export interface KeptBackup {
  readonly name: string;
  readonly madeAtMs: number;
  readonly bytes: number;
}

/**
 * Room on the disk, and how long it lasts: what is logged at the rate of the last seven days, photographs and backups, which come now and then, at that of the last thirty.
 * What else fills the disk comes on top.
 */
export interface StoreRoomView {
  /** Photographs are in it. */
  readonly storeBytes: number;
  readonly photographBytes: number;
  /** Of the last thirty days; likewise of backups. */
  readonly photographBytesLately: number;
  /** Those of the page's folder, where it is on the store's disk; null: it is on another one. */
  readonly backupBytes: number | null;
  readonly backupBytesLately: number;
  /** null: the disk does not say, likewise below. */
  readonly freeBytes: number | null;
  /** Days for which each second is kept. */
  readonly recordsKeptDays: number;
  /** Of what is logged, as is `bytesADayThen`. */
  readonly bytesADay: number;
  /** In so many days the oldest seconds begin to go, and only summaries are added. */
  readonly recordsFullInDays: number;
  readonly bytesADayThen: number;
  readonly daysUntilFull: number | 'more than ten years' | null;
}
