/*
 * What happened to a bath between two instants, for the time axis of charts: alarms, and the notes, photographs and weighings of its runs. Asked by the route of series; reads the
 * store and changes nothing. What was undone, and what was written of a deleted run, is not marked.
 */
import {
  type AlarmChartMark,
  type ChartMark,
  type ChartMarks,
  MARKS_MAX,
  type NoteChartMark,
} from '@bathkeeper/shared-core/messages';
import type { WeighingBody } from '@bathkeeper/shared-core/trade';
import type { Store } from '../store/store.js';

const ALARMS = 'FROM alarms WHERE controller_id = ? AND raised_at_ms BETWEEN CAST(? AS INTEGER) AND CAST(? AS INTEGER)';
/** What a file tells of is over; an alarm of which it tells no end is told to the end of its run. */
const IMPORTED =
  'FROM imported_alarms i JOIN runs r ON r.controller_id = i.controller_id WHERE i.controller_id = ? AND i.raised_at_ms BETWEEN CAST(? AS INTEGER) AND CAST(? AS INTEGER)';
const NOTES = `FROM run_entries e WHERE e.controller_id = ? AND e.at_ms BETWEEN CAST(? AS INTEGER) AND CAST(? AS INTEGER)
  AND e.body ->> 'kind' IN ('note', 'photograph', 'weighing') AND NOT EXISTS (SELECT 1 FROM run_entries_undone u WHERE u.entry_id = e.entry_id)
  AND NOT EXISTS (SELECT 1 FROM deleted_runs d WHERE d.controller_id = e.controller_id AND d.incarnation = e.incarnation AND d.run = e.run)`;

type Window = [controllerId: string, fromMs: number, toMs: number];

export function openChartMarks({
  database,
}: Store): (controllerId: string, fromMs: number, toMs: number) => ChartMarks {
  const most = String(MARKS_MAX);
  const alarms = database.prepare<Window, Omit<AlarmChartMark, 'kind'>>(
    `SELECT raised_at_ms AS atMs, alarm_id AS alarmId, name, returned_at_ms AS untilMs ${ALARMS} ORDER BY raised_at_ms DESC LIMIT ${most}`,
  );
  const imported = database.prepare<Window, Omit<AlarmChartMark, 'kind'>>(
    `SELECT i.raised_at_ms AS atMs, -i.imported_alarm AS alarmId, i.body ->> '$.alarm.name' AS name,
       coalesce(i.body ->> '$.alarm.returnedAtMs', r.ended_at_ms) AS untilMs ${IMPORTED} ORDER BY i.raised_at_ms DESC LIMIT ${most}`,
  );
  const notes = database.prepare<Window, Omit<NoteChartMark, 'weighing'> & { body: string }>(
    `SELECT e.body ->> 'kind' AS kind, e.at_ms AS atMs, e.incarnation, e.run, e.entry_id AS entryId, e.who, e.note, e.body ${NOTES}
     ORDER BY e.at_ms DESC LIMIT ${most}`,
  );
  const countOf = (what: string) => database.prepare<Window, number>(`SELECT count(*) ${what}`).pluck();
  const counts = [countOf(ALARMS), countOf(IMPORTED), countOf(NOTES)];
  return (...window) => {
    const found: ChartMark[] = [
      ...[...alarms.all(...window), ...imported.all(...window)].map((alarm): ChartMark => ({
        kind: 'alarm',
        ...alarm,
      })),
      ...notes.all(...window).map(noteMark),
    ];
    return {
      marks: found.sort((one, other) => one.atMs - other.atMs).slice(-MARKS_MAX),
      count: counts.reduce((sum, count) => sum + count.get(...window)!, 0),
    };
  };
}

function noteMark({ body, ...mark }: Omit<NoteChartMark, 'weighing'> & { body: string }): NoteChartMark {
  return { ...mark, weighing: mark.kind === 'weighing' ? (JSON.parse(body) as WeighingBody) : null };
}
