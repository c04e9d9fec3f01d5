/*
 * What people write into the record of a run: notes, weighings, photographs. The contract between page and dashboard; no behaviour. An entry is never changed:
 * what was wrong is undone with a reason and stays to be read.
 */
import type { Undone } from '../ledger/ledger-entry.js';

/** Words alone; they stand in the entry's note. */
export interface NoteBody {
  readonly kind: 'note';
}

/** The part on the balance, dry, each time with the same wires and hooks. */
export interface WeighingBody {
  readonly kind: 'weighing';
  readonly when: 'before' | 'after';
  readonly grams: number;
  /** The balance is right within so much, up or down. */
  readonly uncertaintyGrams: number;
}

export type PhotographType = 'image/jpeg' | 'image/png' | 'image/webp';

/** The picture itself is asked for by the entry's number. */
export interface PhotographBody {
  readonly kind: 'photograph';
  readonly type: PhotographType;
  readonly widthPixels: number;
  readonly heightPixels: number;
  readonly byteCount: number;
  /** It came with a run from a file, which has no pictures. Absent: the picture is here. */
  readonly isElsewhere?: true;
}

export type RunEntryBody = NoteBody | WeighingBody | PhotographBody;

export interface RunEntry {
  readonly entryId: number;
  /** When it was so, as somebody said. */
  readonly atMs: number;
  readonly writtenAtMs: number;
  readonly who: string;
  readonly note: string;
  readonly body: RunEntryBody;
  readonly undone: Undone | null;
}

/** POST /api/runs/:controllerId/:incarnation/:run/entries. */
export interface NewRunEntry {
  /** Absent: now. */
  readonly atMs?: number | undefined;
  readonly who: string;
  readonly note?: string | undefined;
  readonly body: NoteBody | WeighingBody;
  /** Somebody has read what is doubtful about the weighing, and wants it kept all the same. */
  readonly isConfirmed?: boolean | undefined;
}

/** POST /api/runs/:controllerId/:incarnation/:run/entries/:entry/correct: a note, or what is said of a photograph, is undone and written anew, both or neither. */
export interface CorrectRunNote {
  readonly who: string;
  readonly note: string;
  readonly reason: string;
}
