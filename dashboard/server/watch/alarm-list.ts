/*
 * The alarm list: raises, returns and acknowledges, each transition in the store with who and when, and tells its listener in the
 * same transaction, so that a dashboard killed between raising and sending still calls after its restart. Who is called, how and how
 * often is the listener's (see AlarmListener); what counts as an alarm is the watchman's.
 */
import type { Phase } from '@bathkeeper/shared-core/control';
import type {
  AlarmFigures,
  AlarmName,
  AlarmStandingView,
  AlarmView,
  JournalEntry,
  ShelveRequest,
} from '@bathkeeper/shared-core/messages';
import {
  alarmStateAfter,
  FIRST_OUT_MS,
  firstOutOf,
  isHeldBack,
  isNewsInTrip,
  priorityRank,
} from '@bathkeeper/shared-core/watch';
import type { Store } from '../store/store.js';
import { HOUSE, openAlarmAnnouncing } from './alarm-announcing.js';
import { causeOf, openAlarmChatter } from './alarm-chatter.js';
import { type JournalQuestion, openAlarmJournal } from './alarm-journal.js';
import type { AlarmListener } from './alarm-listener.js';
import { ALARM_COLUMNS, type AlarmRow, IS_OPEN, isLatched, latches, namedOf, stateOf } from './alarm-rows.js';
import { openAlarmSilences } from './alarm-silences.js';
import { alarmTexts, checkFirstOf } from './alarm-texts.js';
import { openSilenceDesk } from './silence-desk.js';

export type { AlarmListener } from './alarm-listener.js';

/** A cause that comes back this soon belongs to the same alarm and does not call again. */
const SAME_ALARM_MS = 10 * 60_000;

/** A controller says after ten minutes that nobody has acknowledged; what it means may be gone for as long, and its word be late. */
const TOLD_LATELY_MS = 2 * SAME_ALARM_MS;

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

export interface AlarmList {
  raise(cause: AlarmCause, nowMs: number): number | undefined;
  /** The cause is gone; what latches waits for its reset at the bath. False: there was no such alarm. */
  returnToNormal(controllerId: string, name: AlarmName, nowMs: number): boolean;
  /** The controller left its trip, which only a reset at the bath can do: what latched is over. False: nothing had. */
  resetAtBath(controllerId: string, nowMs: number): boolean;
  /** Nobody watches this bath any more: what stands has ended, and nobody is called for it. */
  bathTakenAway(controllerId: string, nowMs: number): void;
  /** Undefined: there is no such alarm. */
  acknowledge(alarmId: number, who: string, nowMs: number): AlarmView | undefined;
  /** Its cause stands, or it waits for its reset at the bath. */
  isStanding(controllerId: string, name: AlarmName): boolean;
  /**
   * How grave the gravest is that nobody has acknowledged and nothing silences, standing or gone a short while ago; low: all that was told of
   * this controller has been seen or is silent; undefined: nothing was told of it. What the controller itself says of being unheard does not count.
   */
  callingPriority(controllerId: string, nowMs: number): AlarmView['priority'] | undefined;
  view(alarmId: number, nowMs: number): AlarmView | undefined;
  views(nowMs: number): AlarmView[];
  ofRun(controllerId: string, fromMs: number, toMs: number, nowMs: number): AlarmView[];
  /** Shelves a name, raised or not. Faults, each a whole sentence: it was not. */
  shelve(controllerId: string, name: AlarmName, request: ShelveRequest, who: string, nowMs: number): SilenceAnswer;
  unshelve(controllerId: string, name: AlarmName, who: string, nowMs: number): AlarmStandingView;
  takeOutOfService(controllerId: string, name: AlarmName, reason: string, who: string, nowMs: number): SilenceAnswer;
  putBackInService(controllerId: string, name: AlarmName, who: string, nowMs: number): AlarmStandingView;
  /** Every name that is silent now, raised or not. */
  silences(controllerId: string, nowMs: number): AlarmStandingView[];
  journal(question: JournalQuestion): JournalEntry[];
  figures(controllerId: string, fromMs: number, toMs: number): AlarmFigures;
  /** What the next tick calls for, though it could not yet be written: a silence that has ended, a cause that came back and stays. Reads only. */
  owed(nowMs: number): AlarmCause[];
  /** Once a second: shelves end, the plant's state is followed, and what is silent no more is called. */
  tick(nowMs: number): void;
}

export type SilenceAnswer = AlarmStandingView | { readonly faults: readonly string[] };

/** `phaseOf`: the phase of a controller that is heard; undefined: unknown, then nothing is suppressed anew and nothing ceases to be. */
export function openAlarmList(
  store: Store,
  listener: AlarmListener,
  phaseOf: (controllerId: string, nowMs: number) => Phase | undefined,
): AlarmList {
  const { database } = store;
  const newestOpen = database.prepare<[string, string], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND a.name = ? AND ${IS_OPEN} ORDER BY a.alarm_id DESC LIMIT 1`,
  );
  const allOpen = database.prepare<[string, string], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND a.name = ? AND ${IS_OPEN} ORDER BY a.alarm_id`,
  );
  const openOf = database.prepare<[string], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND ${IS_OPEN} ORDER BY a.alarm_id`,
  );
  const unacknowledgedOf = database.prepare<[string], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND a.acknowledged_at_ms IS NULL ORDER BY a.alarm_id`,
  );
  const recent = database.prepare<[string, string, number], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND a.name = ? AND a.acknowledged_at_ms IS NULL AND a.returned_at_ms > ?
     ORDER BY a.alarm_id DESC LIMIT 1`,
  );
  const byId = database.prepare<[number], AlarmRow>(`SELECT ${ALARM_COLUMNS} WHERE a.alarm_id = ?`);
  const shownOpen = database.prepare<[], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.acknowledged_at_ms IS NULL OR ${IS_OPEN} ORDER BY a.alarm_id DESC LIMIT 200`,
  );
  const shownClosed = database.prepare<[], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE NOT (a.acknowledged_at_ms IS NULL OR ${IS_OPEN}) ORDER BY a.alarm_id DESC LIMIT 50`,
  );
  const between = database.prepare<[string, number, number], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND a.raised_at_ms >= ? AND a.cause_at_ms <= ? ORDER BY a.alarm_id`,
  );
  const toldLately = database.prepare<
    [string, number],
    Pick<AlarmRow, 'priority' | 'acknowledged_at_ms' | 'is_silent'>
  >(
    `SELECT priority, acknowledged_at_ms, is_silent FROM alarms
     WHERE controller_id = ? AND name <> 'not-acknowledged' AND (returned_at_ms > ? OR ${IS_OPEN})`,
  );
  const insert = database.prepare(
    `INSERT INTO alarms (controller_id, name, priority, title, detail, check_first, cause_at_ms, raised_at_ms, latches, condition,
       caused_by_alarm_id, is_silent, suppressed_because)
     VALUES (?, ?, ?, ?, ?, ?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER),
       CAST(? AS INTEGER), ?)`,
  );
  const setReturned = database.prepare(
    'UPDATE alarms SET returned_at_ms = CAST(? AS INTEGER) WHERE alarm_id = CAST(? AS INTEGER)',
  );
  const setReset = database.prepare(
    'UPDATE alarms SET reset_at_ms = CAST(? AS INTEGER) WHERE alarm_id = CAST(? AS INTEGER)',
  );
  const setFirstOut = database.prepare('UPDATE alarms SET is_first_out = 1 WHERE alarm_id = CAST(? AS INTEGER)');
  const setAcknowledged = database.prepare(
    'UPDATE alarms SET acknowledged_at_ms = CAST(? AS INTEGER), acknowledged_by = ? WHERE alarm_id = CAST(? AS INTEGER)',
  );

  const chatter = openAlarmChatter(store);
  const silences = openAlarmSilences(store);
  const journal = openAlarmJournal(store);
  const announcing = openAlarmAnnouncing({ store, silences, journal, listener, phaseOf });
  const desk = openSilenceDesk({
    together: store.together,
    silences,
    journal,
    openOf: (controllerId, name) => newestOpen.get(controllerId, name),
    suppressedNames: (controllerId) =>
      openOf.all(controllerId).flatMap((row) => (row.suppressed_because === null ? [] : [row.name])),
    changed: (controllerId, name, nowMs) => {
      for (const row of allOpen.all(controllerId, name)) announcing.refresh(row.alarm_id, nowMs);
    },
  });

  const shown = (row: AlarmRow, nowMs: number): AlarmView => announcing.view(row.alarm_id, nowMs);

  /** Its cause is gone. */
  const end = (row: AlarmRow, nowMs: number, reason?: string): void => {
    setReturned.run(nowMs, row.alarm_id);
    row.returned_at_ms = nowMs;
    journal.note({ ...namedOf(row), what: 'returned', state: stateOf(row), who: 'bath', reason }, nowMs);
    if (!isLatched(row)) listener.onReturned(shown(row, nowMs), nowMs);
  };
  /** And for what latches: nothing waits for a reset any more. */
  const endLatched = (row: AlarmRow, nowMs: number, reason?: string): void => {
    if (row.returned_at_ms === null) end(row, nowMs, reason);
    if (!isLatched(row)) return;
    setReset.run(nowMs, row.alarm_id);
    row.reset_at_ms = nowMs;
    journal.note({ ...namedOf(row), what: 'reset', state: stateOf(row), who: 'bath', reason }, nowMs);
    listener.onReturned(shown(row, nowMs), nowMs);
  };
  /** It stands again, and belongs to what was told before: nobody has acknowledged that yet, or it is held back. */
  const reopen = (row: AlarmRow, nowMs: number): number => {
    setReturned.run(null, row.alarm_id);
    announcing.opened(row.controller_id);
    announcing.refresh(row.alarm_id, nowMs);
    const again = byId.get(row.alarm_id)!;
    const isSilent = again.is_silent === 1;
    journal.note({ ...namedOf(row), what: 'raised-again', state: stateOf(again), who: 'bath', isSilent }, nowMs);
    // What was silent until now has been told as such.
    if (!isSilent && row.is_silent === 0 && row.acknowledged_at_ms === null)
      listener.onRaisedAgain(shown(row, nowMs), nowMs);
    return row.alarm_id;
  };
  const raiseNew = (cause: AlarmCause, nowMs: number): number => {
    const { controllerId, name } = cause;
    const text = alarmTexts[name];
    const priority = cause.priority ?? text.priority;
    const latching = latches(name) ? 1 : 0;
    const standing = [...openOf.all(controllerId), ...(controllerId === HOUSE ? [] : openOf.all(HOUSE))];
    const causedBy = firstOutOf(
      name,
      nowMs,
      standing
        .filter((row) => nowMs - row.raised_at_ms <= FIRST_OUT_MS)
        .map((row) => ({
          alarmId: row.alarm_id,
          name: row.name,
          raisedAtMs: row.raised_at_ms,
          causedByAlarmId: row.caused_by_alarm_id,
        })),
    );
    if (causedBy !== undefined) setFirstOut.run(causedBy);
    const silence = announcing.silenceAtRaise(
      { controller_id: controllerId, name, priority, latches: latching },
      nowMs,
    );
    const alarmId = Number(
      insert.run(
        controllerId,
        name,
        priority,
        cause.because === undefined ? text.title : `${text.title} (${cause.because})`,
        cause.detail,
        cause.checkFirst ?? checkFirstOf(name, cause.condition),
        Math.round(cause.causeAtMs),
        nowMs,
        latching,
        cause.condition ?? null,
        causedBy ?? null,
        silence.isSilent ? 1 : 0,
        silence.suppressedBecause,
      ).lastInsertRowid,
    );
    announcing.opened(controllerId);
    const noted = { controllerId, name, alarmId, state: 'unacknowledged', who: 'bath' } as const;
    journal.note({ ...noted, what: 'raised', isSilent: silence.isSilent }, nowMs);
    if (silence.suppressedBecause !== null)
      journal.note({ ...noted, what: 'suppressed', reason: silence.suppressedBecause }, nowMs);
    if (!silence.isSilent) announcing.announce(alarmId, 'onRaised', nowMs);
    return alarmId;
  };

  /** A trip is never taken for one that was reset. While one waits for its reset, what is new is what nobody was called for. */
  const raiseLatching = (cause: AlarmCause, open: AlarmRow | undefined, nowMs: number): number | undefined => {
    if (open === undefined) return raiseNew(cause, nowMs);
    if (open.acknowledged_at_ms === null) return open.returned_at_ms === null ? undefined : reopen(open, nowMs);
    if (open.returned_at_ms !== null) return raiseNew(cause, nowMs);
    const isKnown = allOpen.all(cause.controllerId, cause.name).some((row) => row.condition === cause.condition);
    return !isKnown && isNewsInTrip(cause.condition) ? raiseNew(cause, nowMs) : undefined;
  };

  /** Somebody has seen it a short while ago: it calls when it stays. Undefined: it is news. */
  const raiseSeen = (cause: AlarmCause, nowMs: number): number | undefined => {
    const { controllerId, name } = cause;
    const seen = chatter.seen(controllerId, name, nowMs);
    if (seen === undefined) return undefined;
    const { priority, acknowledged_at_ms: acknowledgedAtMs, returned_at_ms: returnedAtMs } = seen;
    const raised = { name, priority: cause.priority ?? alarmTexts[name].priority };
    if (!isHeldBack(raised, { priority, acknowledgedAtMs: acknowledgedAtMs!, returnedAtMs: returnedAtMs! }, nowMs))
      return undefined;
    chatter.hold(seen.alarm_id, cause, nowMs);
    return reopen(seen, nowMs);
  };
  /** What was held back and stays is news, under a number of its own. */
  const callWhatStays = (nowMs: number): void => {
    for (const { row, cause } of chatter.overdue(nowMs)) {
      store.together(() => {
        end(row, nowMs, 'It came back and stays: another alarm of the same name took its place.');
        raiseNew(cause, nowMs);
      });
      chatter.letGo(row.alarm_id);
    }
  };

  return {
    raise: (cause, nowMs) =>
      store.together(() => {
        const { controllerId, name } = cause;
        const open = newestOpen.get(controllerId, name);
        if (latches(name)) return raiseLatching(cause, open, nowMs);
        const rank = priorityRank[cause.priority ?? alarmTexts[name].priority];
        if (open !== undefined) {
          // Milder, it called nobody or not loud enough: it gives way to another alarm, which calls.
          if (priorityRank[open.priority] >= rank) return undefined;
          end(open, nowMs, 'It became graver: another alarm of the same name took its place.');
          return raiseNew(cause, nowMs);
        }
        const again = recent.get(controllerId, name, nowMs - SAME_ALARM_MS);
        if (again === undefined) return raiseSeen(cause, nowMs) ?? raiseNew(cause, nowMs);
        if (priorityRank[again.priority] < rank) return raiseNew(cause, nowMs);
        // What nobody was told of is only taken up again where nobody is to be told now either.
        const wasTold = again.announced_at_ms !== null;
        const asked = { controller_id: controllerId, name, priority: again.priority, latches: 0 };
        return wasTold || announcing.silenceAtRaise(asked, nowMs).isSilent
          ? reopen(again, nowMs)
          : raiseNew(cause, nowMs);
      }),
    returnToNormal: (controllerId, name, nowMs) =>
      store.together(() => {
        const rows = allOpen.all(controllerId, name).filter((row) => row.returned_at_ms === null);
        for (const row of rows) end(row, nowMs);
        return rows.length > 0;
      }),
    resetAtBath: (controllerId, nowMs) =>
      store.together(() => {
        const rows = openOf.all(controllerId).filter((row) => latches(row.name));
        for (const row of rows) endLatched(row, nowMs);
        return rows.length > 0;
      }),
    bathTakenAway: (controllerId, nowMs) => {
      store.together(() => {
        for (const row of openOf.all(controllerId))
          endLatched(row, nowMs, 'Its bath was taken away from this dashboard.');
        for (const row of unacknowledgedOf.all(controllerId)) listener.onSilenced(shown(row, nowMs), nowMs);
      });
    },
    acknowledge: (alarmId, who, nowMs) =>
      store.together(() => {
        const row = byId.get(alarmId);
        if (!row) return undefined;
        const state = alarmStateAfter(stateOf(row), 'acknowledge', isLatched(row));
        if (state !== undefined) {
          setAcknowledged.run(nowMs, who, alarmId);
          journal.note({ ...namedOf(row), what: 'acknowledged', state, who }, nowMs);
          listener.onAcknowledged(shown(row, nowMs), nowMs);
        }
        return shown(row, nowMs);
      }),
    isStanding: (controllerId, name) => newestOpen.get(controllerId, name) !== undefined,
    callingPriority: (controllerId, nowMs) => {
      const told = toldLately.all(controllerId, nowMs - TOLD_LATELY_MS);
      return told.length === 0
        ? undefined
        : told
            .map((row) => (row.acknowledged_at_ms === null && row.is_silent === 0 ? row.priority : 'low'))
            .reduce((high, one) => (priorityRank[one] > priorityRank[high] ? one : high));
    },
    view: (alarmId, nowMs) => (byId.get(alarmId) === undefined ? undefined : announcing.view(alarmId, nowMs)),
    views: (nowMs) => [...shownOpen.all(), ...shownClosed.all()].map((row) => shown(row, nowMs)),
    ofRun: (controllerId, fromMs, toMs, nowMs) =>
      between.all(controllerId, fromMs, toMs).map((row) => shown(row, nowMs)),
    ...desk,
    journal: journal.entries,
    figures: journal.figures,
    owed: (nowMs) => [
      ...announcing.owed(nowMs).map((row) => causeOf(row)),
      ...chatter.overdue(nowMs).map(({ cause }) => cause),
    ],
    tick: (nowMs) => {
      desk.tick(nowMs);
      announcing.tick(nowMs);
      callWhatStays(nowMs);
    },
  };
}
