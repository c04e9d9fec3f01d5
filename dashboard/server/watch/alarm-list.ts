/*
 * The alarm list: raises, returns and acknowledges, each transition in the store with who and when, and tells its listener in the
 * same transaction, so that a dashboard killed between raising and sending still calls after its restart. Who is called, how and how
 * often is the listener's (see AlarmListener); what counts as an alarm is the watchman's.
 */
import { alarmState, alarmStateAfter } from '@bathkeeper/shared-core/watch';
import type { AlarmName, AlarmView } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';
import { alarmTexts, checkFirstOf } from './alarm-texts.js';

/** A cause that comes back this soon belongs to the same alarm and does not call again. */
const SAME_ALARM_MS = 10 * 60_000;

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
  delivered_at_ms: number | null;
  tries: number | null;
}

export interface AlarmCause {
  readonly controllerId: string;
  readonly name: AlarmName;
  readonly causeAtMs: number;
  readonly detail: string;
  /** Added to the title: "Tripped: … (emergency stop)". */
  readonly because?: string;
  /** The controller's condition that caused it, where it is known: what to check for it comes first. */
  readonly condition?: number | undefined;
  /** What to check first, where more is known than the usual text knows. */
  readonly checkFirst?: string;
  /** Where the usual one does not fit. */
  readonly priority?: AlarmView['priority'];
}

/**
 * Whoever calls people. Each is told within the transaction that wrote the change: what it writes to the same store stands or falls with
 * it, and what it throws undoes both. Each may be told of an alarm of any priority, and more than once in the life of an alarm.
 */
export interface AlarmListener {
  /**
   * A new alarm that is not silent. With `calledWithAlarmId` it belongs to the call of that alarm (raised in the same second, explained by
   * it, or part of a flood): it needs no call of its own, and that call lists it as long as it was not sent. It is told again as `onUnsilenced`
   * when the call that covers it was acknowledged without it.
   */
  onRaised(alarm: AlarmView, nowMs: number): void;
  /** It stands again within ten minutes, unacknowledged as before: no new call is begun, but what `onReturned` ended goes on. */
  onRaisedAgain(alarm: AlarmView, nowMs: number): void;
  /** Call it now: it stands unacknowledged, and nothing silences it any more, or nobody else's call covers it. */
  onUnsilenced(alarm: AlarmView, nowMs: number): void;
  /** Nobody is to be called for it from now on, though it stands. */
  onSilenced(alarm: AlarmView, nowMs: number): void;
  /** Its cause is gone, and for what latches: it was reset at the bath. A trip whose cause is gone still wants somebody until then. */
  onReturned(alarm: AlarmView, nowMs: number): void;
  onAcknowledged(alarm: AlarmView, nowMs: number): void;
}

export interface AlarmList {
  raise(cause: AlarmCause, nowMs: number): number | undefined;
  /** The cause is gone. False: there was no such alarm. */
  returnToNormal(controllerId: string, name: AlarmName, nowMs: number): boolean;
  /** Undefined: there is no such alarm. */
  acknowledge(alarmId: number, who: string, nowMs: number): AlarmView | undefined;
  isStanding(controllerId: string, name: AlarmName): boolean;
  views(): AlarmView[];
  ofRun(controllerId: string, fromMs: number, toMs: number): AlarmView[];
}

export function openAlarmList(store: Store, listener: AlarmListener): AlarmList {
  const { database } = store;
  const columns = `a.*, n.delivered_at_ms, n.tries FROM alarms a LEFT JOIN notifications n ON n.alarm_id = a.alarm_id`;
  const standing = database.prepare<[string, string], AlarmRow>(
    `SELECT ${columns} WHERE a.controller_id = ? AND a.name = ? AND a.returned_at_ms IS NULL ORDER BY a.alarm_id DESC LIMIT 1`,
  );
  const recent = database.prepare<[string, string, number], AlarmRow>(
    `SELECT ${columns} WHERE a.controller_id = ? AND a.name = ? AND a.acknowledged_at_ms IS NULL AND a.returned_at_ms > ?
     ORDER BY a.alarm_id DESC LIMIT 1`,
  );
  const byId = database.prepare<[number], AlarmRow>(`SELECT ${columns} WHERE a.alarm_id = ?`);
  const open = database.prepare<[], AlarmRow>(
    `SELECT ${columns} WHERE a.acknowledged_at_ms IS NULL OR a.returned_at_ms IS NULL ORDER BY a.alarm_id DESC LIMIT 200`,
  );
  const closed = database.prepare<[], AlarmRow>(
    `SELECT ${columns} WHERE a.acknowledged_at_ms IS NOT NULL AND a.returned_at_ms IS NOT NULL ORDER BY a.alarm_id DESC LIMIT 50`,
  );
  const between = database.prepare<[string, number, number], AlarmRow>(
    `SELECT ${columns} WHERE a.controller_id = ? AND a.raised_at_ms >= ? AND a.cause_at_ms <= ? ORDER BY a.alarm_id`,
  );
  const insert = database.prepare(
    `INSERT INTO alarms (controller_id, name, priority, title, detail, check_first, cause_at_ms, raised_at_ms)
     VALUES (?, ?, ?, ?, ?, ?, CAST(? AS INTEGER), CAST(? AS INTEGER))`,
  );
  const setReturned = database.prepare(
    'UPDATE alarms SET returned_at_ms = CAST(? AS INTEGER) WHERE alarm_id = CAST(? AS INTEGER)',
  );
  const setAcknowledged = database.prepare(
    'UPDATE alarms SET acknowledged_at_ms = CAST(? AS INTEGER), acknowledged_by = ? WHERE alarm_id = CAST(? AS INTEGER)',
  );
  const note = database.prepare(
    `INSERT INTO alarm_transitions (alarm_id, controller_id, name, at_ms, what, state, who)
     SELECT alarm_id, controller_id, name, CAST(? AS INTEGER), ?, ?, ? FROM alarms WHERE alarm_id = CAST(? AS INTEGER)`,
  );

  return {
    raise: (cause, nowMs) =>
      store.together(() => {
        if (standing.get(cause.controllerId, cause.name)) return undefined;
        const again = recent.get(cause.controllerId, cause.name, nowMs - SAME_ALARM_MS);
        if (again && belongsTo(again, cause)) {
          setReturned.run(null, again.alarm_id);
          note.run(nowMs, 'raised-again', 'unacknowledged', 'bath', again.alarm_id);
          listener.onRaisedAgain(viewOf(byId.get(again.alarm_id)!), nowMs);
          return again.alarm_id;
        }
        const text = alarmTexts[cause.name];
        const title = cause.because === undefined ? text.title : `${text.title} (${cause.because})`;
        const alarmId = Number(
          insert.run(
            cause.controllerId,
            cause.name,
            cause.priority ?? text.priority,
            title,
            cause.detail,
            cause.checkFirst ?? checkFirstOf(cause.name, cause.condition),
            Math.round(cause.causeAtMs),
            nowMs,
          ).lastInsertRowid,
        );
        note.run(nowMs, 'raised', 'unacknowledged', 'bath', alarmId);
        listener.onRaised(viewOf(byId.get(alarmId)!), nowMs);
        return alarmId;
      }),
    returnToNormal: (controllerId, name, nowMs) =>
      store.together(() => {
        const row = standing.get(controllerId, name);
        if (!row) return false;
        setReturned.run(nowMs, row.alarm_id);
        note.run(nowMs, 'returned', alarmState(row.acknowledged_at_ms, nowMs), 'bath', row.alarm_id);
        listener.onReturned(viewOf(byId.get(row.alarm_id)!), nowMs);
        return true;
      }),
    acknowledge: (alarmId, who, nowMs) =>
      store.together(() => {
        const row = byId.get(alarmId);
        if (!row) return undefined;
        const state = alarmStateAfter(alarmState(row.acknowledged_at_ms, row.returned_at_ms), 'acknowledge');
        if (state !== undefined) {
          setAcknowledged.run(nowMs, who, alarmId);
          note.run(nowMs, 'acknowledged', state, who, alarmId);
          listener.onAcknowledged(viewOf(byId.get(alarmId)!), nowMs);
        }
        return viewOf(byId.get(alarmId)!);
      }),
    isStanding: (controllerId, name) => standing.get(controllerId, name) !== undefined,
    views: () => [...open.all(), ...closed.all()].map(viewOf),
    ofRun: (controllerId, fromMs, toMs) => between.all(controllerId, fromMs, toMs).map(viewOf),
  };
}

const rank = { low: 0, medium: 1, high: 2 } as const;

/** A cause that comes and goes calls once. A trip is never taken for the one before, nor anything for what was milder or called nobody. */
function belongsTo(again: AlarmRow, cause: AlarmCause): boolean {
  const priority = cause.priority ?? alarmTexts[cause.name].priority;
  return cause.name !== 'trip' && rank[again.priority] >= rank[priority] && again.tries !== null;
}

function viewOf(row: AlarmRow): AlarmView {
  return {
    alarmId: row.alarm_id,
    controllerId: row.controller_id,
    name: row.name,
    priority: row.priority,
    state: alarmState(row.acknowledged_at_ms, row.returned_at_ms),
    title: row.title,
    detail: row.detail,
    checkFirst: row.check_first,
    causeAtMs: row.cause_at_ms,
    raisedAtMs: row.raised_at_ms,
    notifiedAtMs: row.delivered_at_ms,
    acknowledgedAtMs: row.acknowledged_at_ms,
    acknowledgedBy: row.acknowledged_by,
    returnedAtMs: row.returned_at_ms,
    notification:
      row.tries === null
        ? 'none'
        : row.delivered_at_ms !== null
          ? 'delivered'
          : row.tries === 0
            ? 'waiting'
            : 'failing',
  };
}
