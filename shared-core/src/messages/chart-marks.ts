/*
 * What happened to one controller's bath between two instants, to be marked on an axis of time: its alarms, and what people wrote of its runs. Answered by the
 * dashboard's logbook, drawn by the page's charts. No behaviour.
 */
import type { AlarmName } from './api.js';

export interface AlarmChartMark {
  readonly kind: 'alarm';
  readonly atMs: number;
  readonly alarmId: number;
  readonly name: AlarmName;
  /** Its cause was gone then; a trip was reset at the bath. null: it stands. */
  readonly untilMs: number | null;
}

/** As the record of a run keeps it; told here anew, since the controller, which has this room, has no place for that one. */
export interface MarkedWeighing {
  readonly kind: 'weighing';
  readonly when: 'before' | 'after';
  readonly grams: number;
  readonly uncertaintyGrams: number;
}

/** A note, a photograph with its words, a weighing with its note. */
export interface NoteChartMark {
  readonly kind: 'note' | 'photograph' | 'weighing';
  readonly atMs: number;
  readonly incarnation: number;
  readonly run: number;
  readonly entryId: number;
  readonly who: string;
  readonly note: string;
  /** What the balance said; null: it is no weighing. */
  readonly weighing: MarkedWeighing | null;
}

export type ChartMark = AlarmChartMark | NoteChartMark;

/** GET /api/series/marks?controllerId=&fromMs=&toMs=: in order of time. */
export interface ChartMarks {
  readonly marks: readonly ChartMark[];
  /** So many are there: where they are more than MARKS_MAX, the newest are told. */
  readonly count: number;
}

export const MARKS_MAX = 1000;
