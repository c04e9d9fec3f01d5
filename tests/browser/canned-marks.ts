/* Alarms, a note and a weighing of the canned night, answered as the dashboard does for any window. Used by the browser tests of charts and logbook. */
import type { ChartMark, ChartMarks } from '@bathkeeper/shared-core/messages';
import { NIGHT_MS } from './canned-night.js';

const HOUR = 3_600_000;
const marks: readonly ChartMark[] = [
  { kind: 'alarm', atMs: NIGHT_MS - 3 * HOUR, alarmId: 9, name: 'current-off-permitted', untilMs: NIGHT_MS - 2.9 * HOUR },
  { kind: 'note', atMs: NIGHT_MS - 2 * HOUR, incarnation: 7, run: 3, entryId: 2, who: 'Robin', note: 'The belt <b>slipped</b>.', weighing: null },
  { kind: 'weighing', atMs: NIGHT_MS - 3.9 * HOUR, incarnation: 7, run: 3, entryId: 3, who: 'Robin', note: 'With both wires.', weighing: { kind: 'weighing', when: 'before', grams: 812.4, uncertaintyGrams: 0.1 } },
  { kind: 'alarm', atMs: NIGHT_MS - 0.5 * HOUR, alarmId: 12, name: 'rotation-stalled', untilMs: null },
]; // prettier-ignore

/** For the shelf /api/series/marks. */
export function cannedMarks(query: URLSearchParams): ChartMarks {
  const [from, to] = [Number(query.get('fromMs')), Number(query.get('toMs'))];
  const seen = marks.filter(({ atMs }) => atMs >= from && atMs <= to);
  return { marks: seen, count: seen.length };
}
