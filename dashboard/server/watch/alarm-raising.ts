/*
 * What becomes of a cause: a new alarm, one that stood before and goes on, or nothing new. Used by the alarm list; each raising is one transaction with its
 * journal and whoever is told. It ends what gives way to something graver, and holds back what somebody has seen and that only comes and goes.
 */
import { FIRST_OUT_MS, firstOutOf, isHeldBack, isNewsInTrip, priorityRank } from '@bathkeeper/shared-core/watch';
import type { Store } from '../store/store.js';
import { type AlarmAnnouncing, HOUSE } from './alarm-announcing.js';
import type { AlarmCause } from './alarm-cause.js';
import type { AlarmChatter } from './alarm-chatter.js';
import type { AlarmEnding } from './alarm-ending.js';
import type { AlarmJournal } from './alarm-journal.js';
import type { AlarmListener } from './alarm-listener.js';
import { type AlarmRow, latches, namedOf, stateOf } from './alarm-rows.js';
import type { AlarmTable } from './alarm-table.js';
import { alarmTexts } from './alarm-texts.js';
import { checkFirstOf } from './condition-alarms.js';

/** A cause that comes back this soon belongs to the same alarm and does not call again. */
export const SAME_ALARM_MS = 10 * 60_000;

export interface AlarmRaising {
  /** The number of what was raised or stands again; undefined: it stands already. */
  raise(cause: AlarmCause, nowMs: number): number | undefined;
  /** What was held back and stays is news, under a number of its own. */
  callWhatStays(nowMs: number): void;
}

export function alarmRaising(options: {
  together: Store['together'];
  table: AlarmTable;
  chatter: AlarmChatter;
  journal: AlarmJournal;
  listener: AlarmListener;
  announcing: AlarmAnnouncing;
  ending: AlarmEnding;
}): AlarmRaising {
  const { together, table, chatter, journal, listener, announcing, ending } = options;

  /** It stands again, and belongs to what was told before: nobody has acknowledged that yet, or it is held back. */
  const reopen = (row: AlarmRow, nowMs: number): number => {
    table.setReturned(row.alarm_id, null);
    announcing.opened(row.controller_id);
    announcing.refresh(row.alarm_id, nowMs);
    const again = table.byId(row.alarm_id)!;
    const isSilent = again.is_silent === 1;
    journal.note({ ...namedOf(row), what: 'raised-again', state: stateOf(again), who: 'bath', isSilent }, nowMs);
    // What was silent until now has been told as such.
    if (!isSilent && row.is_silent === 0 && row.acknowledged_at_ms === null)
      listener.onRaisedAgain(announcing.view(row.alarm_id, nowMs), nowMs);
    return row.alarm_id;
  };
  const raiseNew = (cause: AlarmCause, nowMs: number): number => {
    const { controllerId, name } = cause;
    const text = alarmTexts[name];
    const priority = cause.priority ?? text.priority;
    const latching = latches(name) ? 1 : 0;
    const standing = [...table.openOf(controllerId), ...(controllerId === HOUSE ? [] : table.openOf(HOUSE))];
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
    if (causedBy !== undefined) table.setFirstOut(causedBy);
    const silence = announcing.silenceAtRaise(
      { controller_id: controllerId, name, priority, latches: latching },
      nowMs,
    );
    const alarmId = table.add({
      controller_id: controllerId,
      name,
      priority,
      title: cause.because === undefined ? text.title : `${text.title} (${cause.because})`,
      detail: cause.detail,
      check_first: cause.checkFirst ?? checkFirstOf(name, cause.condition),
      cause_at_ms: Math.round(cause.causeAtMs),
      raised_at_ms: nowMs,
      latches: latching,
      condition: cause.condition ?? null,
      caused_by_alarm_id: causedBy ?? null,
      is_silent: silence.isSilent ? 1 : 0,
      suppressed_because: silence.suppressedBecause,
    });
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
    const isKnown = table.allOpen(cause.controllerId, cause.name).some((row) => row.condition === cause.condition);
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
  const callWhatStays = (nowMs: number): void => {
    for (const { row, cause } of chatter.overdue(nowMs)) {
      together(() => {
        ending.end(row, nowMs, 'It came back and stays: another alarm of the same name took its place.');
        raiseNew(cause, nowMs);
      });
      chatter.letGo(row.alarm_id);
    }
  };

  return {
    raise: (cause, nowMs) =>
      together(() => {
        const { controllerId, name } = cause;
        const open = table.newestOpen(controllerId, name);
        if (latches(name)) return raiseLatching(cause, open, nowMs);
        const rank = priorityRank[cause.priority ?? alarmTexts[name].priority];
        if (open !== undefined) {
          // Milder, it called nobody or not loud enough: it gives way to another alarm, which calls.
          if (priorityRank[open.priority] >= rank) return undefined;
          ending.end(open, nowMs, 'It became graver: another alarm of the same name took its place.');
          return raiseNew(cause, nowMs);
        }
        const again = table.returnedSince(controllerId, name, nowMs - SAME_ALARM_MS);
        if (again === undefined) return raiseSeen(cause, nowMs) ?? raiseNew(cause, nowMs);
        if (priorityRank[again.priority] < rank) return raiseNew(cause, nowMs);
        // What nobody was told of is only taken up again where nobody is to be told now either.
        const wasTold = again.announced_at_ms !== null;
        const asked = { controller_id: controllerId, name, priority: again.priority, latches: 0 };
        return wasTold || announcing.silenceAtRaise(asked, nowMs).isSilent
          ? reopen(again, nowMs)
          : raiseNew(cause, nowMs);
      }),
    callWhatStays,
  };
}
