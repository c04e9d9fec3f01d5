/*
 * What the dashboard and people told of one run, as the rows of an export: its alarms with each change of them, and what was written into its record. They are few,
 * and read at once. Asked by stored-run.ts; it writes nothing.
 */
import type { RunEntryBody } from '@bathkeeper/shared-core/trade';
import type { Store } from '../store/store.js';
import { entryOf, type WrittenRow } from '../store/written-entry.js';
import { ALARM_COLUMNS, type AlarmRow } from '../watch/alarm-rows.js';
import { importedAlarms, type ToldAlarm, type ToldChange } from '../watch/imported-alarms.js';
import type { StoredRow } from './run-columns.js';
import type { ToldName } from './run-tables.js';
import type { RunName } from './stored-run.js';
import type { EntryOfFile } from './told-shape.js';

export type StoredTold = Readonly<Record<ToldName, readonly StoredRow[]>>;

/** Alarms: those that stood or were raised between two instants, as the logbook shows them. */
export function storedTold(store: Store, name: RunName, span: { fromMs: number; toMs: number }): StoredTold {
  return { ...alarmsOf(store, name.controllerId, span), entries: entriesOf(store, name) };
}

function alarmsOf(
  store: Store,
  controllerId: string,
  { fromMs, toMs }: { fromMs: number; toMs: number },
): Pick<StoredTold, 'alarms' | 'alarmJournal'> {
  const brought = importedAlarms(store, controllerId);
  if (brought.length > 0)
    return {
      alarms: brought.map(({ alarm }) => alarm),
      alarmJournal: brought
        .flatMap(({ journal }) => journal)
        .sort((one, other) => one.changeNumber - other.changeNumber),
    };
  const rows = store.database
    .prepare<[string, number, number], AlarmRow>(
      `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND a.raised_at_ms >= CAST(? AS INTEGER) AND a.cause_at_ms <= CAST(? AS INTEGER)
       ORDER BY a.alarm_id`,
    )
    .all(controllerId, fromMs, toMs);
  const numbers = new Map(rows.map(({ alarm_id }, index) => [alarm_id, index + 1]));
  return {
    alarms: rows.map((row): ToldAlarm => ({
      alarmNumber: numbers.get(row.alarm_id)!,
      name: row.name,
      priority: row.priority,
      title: row.title,
      detail: row.detail,
      checkFirst: row.check_first,
      causeAtMs: row.cause_at_ms,
      raisedAtMs: row.raised_at_ms,
      notifiedAtMs: row.delivered_at_ms,
      acknowledgedAtMs: row.acknowledged_at_ms,
      // An older version did not write who.
      acknowledgedBy: row.acknowledged_at_ms === null ? null : row.acknowledged_by || 'page',
      returnedAtMs: row.returned_at_ms,
      latches: row.latches === 1 ? 1 : 0,
      resetAtMs: row.reset_at_ms,
      isFirstOut: row.is_first_out === 1 ? 1 : 0,
      causedByAlarmNumber: numbers.get(row.caused_by_alarm_id ?? -1) ?? null,
    })),
    alarmJournal: changesOf(store, numbers),
  };
}

type ChangeRow = Omit<ToldChange, 'changeNumber' | 'alarmNumber'> & { readonly id: number; readonly alarmId: number };

function changesOf({ database }: Store, numbers: ReadonlyMap<number, number>): ToldChange[] {
  const ofAlarm = database.prepare<[number], ChangeRow>(
    `SELECT id, alarm_id AS alarmId, at_ms AS atMs, what, state, who, reason FROM alarm_transitions WHERE alarm_id = CAST(? AS INTEGER)`,
  );
  return [...numbers.keys()]
    .flatMap((alarmId) => ofAlarm.all(alarmId))
    .sort((one, other) => one.id - other.id)
    .map(({ id: _id, alarmId, reason, ...rest }, index) => ({
      changeNumber: index + 1,
      alarmNumber: numbers.get(alarmId)!,
      ...rest,
      reason: reason === '' ? null : reason,
    }));
}

const NO_WEIGHING = { weighedWhen: null, massGrams: null, massUncertaintyGrams: null } as const;
const NO_PHOTOGRAPH = { photographType: null, widthPixels: null, heightPixels: null, byteCount: null } as const;

function entriesOf({ database }: Store, { controllerId, incarnation, run }: RunName): EntryOfFile[] {
  return database
    .prepare<[string, number, number], WrittenRow>(
      `SELECT e.*, u.at_ms AS undone_at_ms, u.who AS undone_who, u.reason AS undone_reason
       FROM run_entries e LEFT JOIN run_entries_undone u ON u.entry_id = e.entry_id
       WHERE controller_id = ? AND incarnation = CAST(? AS INTEGER) AND run = CAST(? AS INTEGER) ORDER BY e.entry_id`,
    )
    .all(controllerId, incarnation, run)
    .map(entryOf<RunEntryBody>)
    .map(({ atMs, writtenAtMs, who, note, body, undone }, index) => ({
      entryNumber: index + 1,
      atMs,
      writtenAtMs,
      who,
      note: note === '' ? null : note,
      ...bodyOf(body),
      undoneAtMs: undone?.atMs ?? null,
      undoneBy: undone?.who ?? null,
      undoneBecause: undone?.reason ?? null,
    }));
}

function bodyOf(body: RunEntryBody) {
  switch (body.kind) {
    case 'note':
      return { kind: body.kind, ...NO_WEIGHING, ...NO_PHOTOGRAPH };
    case 'weighing': {
      const { kind, when, grams, uncertaintyGrams } = body;
      return { kind, weighedWhen: when, massGrams: grams, massUncertaintyGrams: uncertaintyGrams, ...NO_PHOTOGRAPH };
    }
    case 'photograph': {
      const { kind, type, widthPixels, heightPixels, byteCount } = body;
      return { kind, ...NO_WEIGHING, photographType: type, widthPixels, heightPixels, byteCount };
    }
  }
}
