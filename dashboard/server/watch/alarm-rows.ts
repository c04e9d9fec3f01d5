/*
 * An alarm as the store keeps it, and as the page is shown it. Used by the alarm list, its silences and its journal; decides nothing but
 * how a row reads.
 */
import type { AlarmName, AlarmSilence, AlarmState, AlarmView } from '@bathkeeper/shared-core/messages';
import { alarmState, mayBeShelved, priorityRank } from '@bathkeeper/shared-core/watch';
import { alarmTexts } from './alarm-texts.js';

export interface AlarmRow {
  alarm_id: number;
  controller_id: string;
  name: AlarmName;
  priority: AlarmView['priority'];
  title: string;
  detail: string;
  check_first: string;
  cause_at_ms: number;
  raised_at_ms: number;
  acknowledged_at_ms: number | null;
  acknowledged_by: string | null;
  returned_at_ms: number | null;
  latches: number;
  reset_at_ms: number | null;
  is_first_out: number;
  caused_by_alarm_id: number | null;
  /** The controller's condition, where it is known. */
  condition: number | null;
  is_silent: number;
  /** As last known for certain; null: the plant's state lets it call. */
  suppressed_because: string | null;
  announced_at_ms: number | null;
  called_with_alarm_id: number | null;
  is_flood_call: number;
  delivered_at_ms: number | null;
  tries: number | null;
  /** 1: somebody can be reached at all. */
  has_channels: number;
}

/** Columns of an AlarmRow, and where they are from. */
export const ALARM_COLUMNS = `a.*, n.delivered_at_ms, n.tries, EXISTS (SELECT 1 FROM channels) AS has_channels FROM alarms a LEFT JOIN notifications n ON n.alarm_id = a.alarm_id`;
/** It stands, or waits for its reset at the bath. As the index has it. */
export const IS_OPEN = '(returned_at_ms IS NULL OR (latches = 1 AND reset_at_ms IS NULL))';

/** Only a trip: what latches at the controller until it is reset at the bath. */
export function latches(name: AlarmName): boolean {
  return name === 'trip';
}

export function isLatched(row: AlarmRow): boolean {
  return row.latches === 1 && row.reset_at_ms === null;
}

export function isOpen(row: AlarmRow): boolean {
  return row.returned_at_ms === null || isLatched(row);
}

export function stateOf(row: AlarmRow): AlarmState {
  return alarmState(row.acknowledged_at_ms, row.returned_at_ms, isLatched(row));
}

/** As the journal names it. */
export function namedOf(row: AlarmRow): Pick<AlarmView, 'controllerId' | 'name' | 'alarmId'> {
  return { controllerId: row.controller_id, name: row.name, alarmId: row.alarm_id };
}

/** The graver of what its name usually has and what it was raised with: by that it is judged what may be silenced. */
export function raisedPriority(name: AlarmName, raisedWith: AlarmView['priority'] = 'low'): AlarmView['priority'] {
  const usual = alarmTexts[name].priority;
  return priorityRank[raisedWith] > priorityRank[usual] ? raisedWith : usual;
}

/** `silences`: those that hold for this alarm now. */
export function viewOf(row: AlarmRow, silences: readonly AlarmSilence[]): AlarmView {
  return {
    alarmId: row.alarm_id,
    controllerId: row.controller_id,
    name: row.name,
    priority: row.priority,
    state: stateOf(row),
    title: row.title,
    detail: row.detail,
    checkFirst: row.check_first,
    causeAtMs: row.cause_at_ms,
    raisedAtMs: row.raised_at_ms,
    notifiedAtMs: row.delivered_at_ms,
    acknowledgedAtMs: row.acknowledged_at_ms,
    acknowledgedBy: row.acknowledged_by,
    returnedAtMs: row.returned_at_ms,
    notification: notificationOf(row),
    mayBeShelved: mayBeShelved({ priority: raisedPriority(row.name, row.priority), latches: latches(row.name) }),
    ...(row.latches === 1 && row.reset_at_ms !== null ? { resetAtMs: row.reset_at_ms } : {}),
    ...(isLatched(row) ? { isLatched: true } : {}),
    ...(row.is_first_out === 1 ? { isFirstOut: true } : {}),
    ...(row.caused_by_alarm_id === null ? {} : { causedByAlarmId: row.caused_by_alarm_id }),
    ...(row.called_with_alarm_id === null ? {} : { calledWithAlarmId: row.called_with_alarm_id }),
    ...(row.is_flood_call === 1 ? { isFloodCall: true } : {}),
    ...(silences.length === 0 ? {} : { silences }),
  };
}

function notificationOf(row: AlarmRow): AlarmView['notification'] {
  if (row.tries === null) return 'none';
  if (row.delivered_at_ms !== null) return 'delivered';
  if (row.tries > 0) return 'failing';
  // What was acknowledged on the page first calls nobody any more.
  if (row.acknowledged_at_ms !== null) return 'none';
  return row.has_channels === 1 ? 'waiting' : 'nobody';
}
