/*
 * What the controller's conditions mean to the watch: which trip or hold, which alarm follows which in the live message, and an alarm's cause
 * in words. Used by those who read events and live messages; it raises nothing.
 */
import { Condition, conditionRows, EventKind, Reaction, ROW_COLUMNS, RowColumn } from '@bathkeeper/shared-core/control';
import { type AlarmName, EventColumn } from '@bathkeeper/shared-core/messages';
import type { Row } from '../store/store.js';
import type { AlarmCause } from './alarm-cause.js';
import type { AlarmList } from './alarm-list.js';
import { alarmOfCondition } from './condition-alarms.js';
import { conditionWords } from './condition-words.js';

/** Codes of the controller's own table whose reaction is this. */
function codesOf(reaction: Reaction): ReadonlySet<number> {
  return new Set(
    Object.values(Condition).filter(
      (code) => conditionRows[(code - 1) * ROW_COLUMNS + RowColumn.reaction] === reaction,
    ),
  );
}
export const tripConditions = codesOf(Reaction.trip);
export const holdConditions = codesOf(Reaction.hold);

/** What this dashboard judges by itself as well: it says when such an alarm is over. */
const judgedHere: ReadonlySet<AlarmName> = new Set<AlarmName>([
  'current-off-permitted',
  'bath-temperature-out-of-band',
  'controller-silent',
]);

/** Alarms that stand as long as any of these conditions stands in the live message. */
export const followedAlarms: ReadonlyMap<AlarmName, readonly number[]> = followed();
function followed(): Map<AlarmName, number[]> {
  const codes = new Map<AlarmName, number[]>();
  for (const code of Object.values(Condition)) {
    const name = alarmOfCondition(code);
    if (name !== undefined && !judgedHere.has(name)) codes.set(name, [...(codes.get(name) ?? []), code]);
  }
  return codes;
}

/** Why a run was held or tripped. */
export interface PhaseCause {
  readonly words: string;
  readonly condition: number;
}

/** The first condition that trips, among rows of events. */
export function tripCauseIn(rows: readonly Row[]): PhaseCause | undefined {
  const row = rows.find(
    (one) => one[EventColumn.kind] === EventKind.conditionRaised && tripConditions.has(one[EventColumn.code]!),
  );
  if (row === undefined) return undefined;
  const condition = row[EventColumn.code]!;
  return { words: conditionWords(condition, row[EventColumn.a], row[EventColumn.b]), condition };
}

/**
 * The alarm that a condition raises by itself. A bath that says that nobody has acknowledged is no graver than what is unseen: for what somebody
 * has seen, or shelved, it rings nobody.
 */
export function alarmCauseOf(
  alarms: Pick<AlarmList, 'callingPriority'>,
  cause: Pick<AlarmCause, 'controllerId' | 'name' | 'causeAtMs' | 'detail'> & { readonly condition: number },
  nowMs: number,
): AlarmCause {
  const priority = cause.name === 'not-acknowledged' ? alarms.callingPriority(cause.controllerId, nowMs) : undefined;
  return priority === undefined ? cause : { ...cause, priority };
}
