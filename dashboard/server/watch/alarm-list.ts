/*
 * The alarm list: raises, returns and acknowledges, each transition in the store with who and when, and tells its listener in the
 * same transaction, so that a dashboard killed between raising and sending still calls after its restart. Who is called, how and how
 * often is the listener's (see AlarmListener); what counts as an alarm is the watchman's. It puts the files beside it together.
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
import { alarmStateAfter, priorityRank } from '@bathkeeper/shared-core/watch';
import type { Store } from '../store/store.js';
import { openAlarmAnnouncing } from './alarm-announcing.js';
import { type AlarmCause, causeOf } from './alarm-cause.js';
import { openAlarmChatter } from './alarm-chatter.js';
import { alarmEnding } from './alarm-ending.js';
import { type JournalQuestion, openAlarmJournal } from './alarm-journal.js';
import type { AlarmListener } from './alarm-listener.js';
import { alarmRaising, SAME_ALARM_MS } from './alarm-raising.js';
import { isLatched, latches, namedOf, stateOf, type AlarmRow } from './alarm-rows.js';
import { openAlarmSilences } from './alarm-silences.js';
import { openAlarmTable } from './alarm-table.js';
import { openSilenceDesk } from './silence-desk.js';

export type { AlarmListener } from './alarm-listener.js';

/** A controller says after ten minutes that nobody has acknowledged; what it means may be gone for as long, and its word be late. */
const TOLD_LATELY_MS = 2 * SAME_ALARM_MS;

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
  const table = openAlarmTable(store);
  const chatter = openAlarmChatter(store);
  const silences = openAlarmSilences(store);
  const journal = openAlarmJournal(store);
  const announcing = openAlarmAnnouncing({ store, silences, journal, listener, phaseOf });
  const desk = openSilenceDesk({
    together: store.together,
    silences,
    journal,
    openOf: (controllerId, name) => table.newestOpen(controllerId, name),
    suppressedNames: (controllerId) =>
      table.openOf(controllerId).flatMap((row) => (row.suppressed_because === null ? [] : [row.name])),
    changed: (controllerId, name, nowMs) => {
      for (const row of table.allOpen(controllerId, name)) announcing.refresh(row.alarm_id, nowMs);
    },
  });

  const shown = (row: AlarmRow, nowMs: number): AlarmView => announcing.view(row.alarm_id, nowMs);

  const ending = alarmEnding({ table, journal, listener, announcing });
  const raising = alarmRaising({ together: store.together, table, chatter, journal, listener, announcing, ending });

  return {
    raise: raising.raise,
    returnToNormal: (controllerId, name, nowMs) =>
      store.together(() => {
        const rows = table.allOpen(controllerId, name).filter((row) => row.returned_at_ms === null);
        for (const row of rows) ending.end(row, nowMs);
        return rows.length > 0;
      }),
    resetAtBath: (controllerId, nowMs) =>
      store.together(() => {
        const rows = table.openOf(controllerId).filter((row) => latches(row.name));
        for (const row of rows) ending.endLatched(row, nowMs);
        return rows.length > 0;
      }),
    bathTakenAway: (controllerId, nowMs) => {
      store.together(() => {
        for (const row of table.openOf(controllerId))
          ending.endLatched(row, nowMs, 'Its bath was taken away from this dashboard.');
        for (const row of table.unacknowledgedOf(controllerId)) listener.onSilenced(shown(row, nowMs), nowMs);
      });
    },
    acknowledge: (alarmId, who, nowMs) =>
      store.together(() => {
        const row = table.byId(alarmId);
        if (!row) return undefined;
        const state = alarmStateAfter(stateOf(row), 'acknowledge', isLatched(row));
        if (state !== undefined) {
          table.setAcknowledged(alarmId, who, nowMs);
          journal.note({ ...namedOf(row), what: 'acknowledged', state, who }, nowMs);
          listener.onAcknowledged(shown(row, nowMs), nowMs);
        }
        return shown(row, nowMs);
      }),
    isStanding: (controllerId, name) => table.newestOpen(controllerId, name) !== undefined,
    callingPriority: (controllerId, nowMs) => {
      const told = table.toldSince(controllerId, nowMs - TOLD_LATELY_MS);
      return told.length === 0
        ? undefined
        : told
            .map((row) => (row.acknowledged_at_ms === null && row.is_silent === 0 ? row.priority : 'low'))
            .reduce((high, one) => (priorityRank[one] > priorityRank[high] ? one : high));
    },
    view: (alarmId, nowMs) => (table.byId(alarmId) === undefined ? undefined : announcing.view(alarmId, nowMs)),
    views: (nowMs) => table.shown().map((row) => shown(row, nowMs)),
    ofRun: (controllerId, fromMs, toMs, nowMs) =>
      table.between(controllerId, fromMs, toMs).map((row) => shown(row, nowMs)),
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
      raising.callWhatStays(nowMs);
    },
  };
}
