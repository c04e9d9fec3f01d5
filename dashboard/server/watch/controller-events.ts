/*
 * Turns the controller's events into alarms: conditions that were raised and cleared, holds and trips with their cause, messages that it did not
 * believe. Called by the watchman with each new event, in their order. It judges nothing: the controller has.
 */
import { Condition, EventKind, Phase } from '@bathkeeper/shared-core/control';
import { EventColumn } from '@bathkeeper/shared-core/messages';
import type { Row } from '../store/store.js';
import type { AlarmList } from './alarm-list.js';
import { alarmOfCondition } from './condition-alarms.js';
import { conditionWords } from './condition-words.js';
import { alarmCauseOf, holdConditions, type PhaseCause, tripCauseIn, tripConditions } from './controller-conditions.js';
import type { Refusals } from './refusals.js';

/** `later`: the rows that came with it and follow it; a restart tells its trip before its cause. */
export type TakeEvent = (
  controllerId: string,
  row: Row,
  takenAtMs: number,
  nowMs: number,
  later?: readonly Row[],
) => void;

export function openControllerEvents(options: {
  alarms: Pick<AlarmList, 'raise' | 'returnToNormal' | 'resetAtBath' | 'callingPriority'>;
  refusals: Pick<Refusals, 'command'>;
  /** Conditions in the newest live message. */
  standingConditions: (controllerId: string) => readonly number[];
}): TakeEvent {
  const { alarms, refusals } = options;
  const lastCause = new Map<string, PhaseCause>();

  const conditionRaised = (controllerId: string, row: Row, takenAtMs: number, nowMs: number): void => {
    const condition = row[EventColumn.code]!;
    const a = row[EventColumn.a]!;
    const detail = conditionWords(condition, a, row[EventColumn.b]);
    const name = alarmOfCondition(condition);
    // The cause of a stopped rotation began when the last pulse came.
    const causeAtMs = condition === Condition.rotationStopped ? takenAtMs - a : takenAtMs;
    if (name !== undefined)
      alarms.raise(alarmCauseOf(alarms, { controllerId, name, causeAtMs, detail, condition }, nowMs), nowMs);
    if (tripConditions.has(condition) || holdConditions.has(condition))
      lastCause.set(controllerId, { words: detail, condition });
    if (tripConditions.has(condition))
      alarms.raise({ controllerId, name: 'trip', causeAtMs, detail, because: detail, condition }, nowMs);
  };
  const conditionCleared = (controllerId: string, condition: number, nowMs: number): void => {
    const name = alarmOfCondition(condition);
    const isAnotherStanding = options
      .standingConditions(controllerId)
      .some((one) => one !== condition && alarmOfCondition(one) === name);
    if (name !== undefined && !isAnotherStanding) alarms.returnToNormal(controllerId, name, nowMs);
  };
  const phaseEntered = (
    controllerId: string,
    [phase, before]: readonly [number, number],
    later: readonly Row[],
    takenAtMs: number,
    nowMs: number,
  ): void => {
    const cause = lastCause.get(controllerId) ?? (phase === Phase.trip ? tripCauseIn(later) : undefined);
    const told = { controllerId, causeAtMs: takenAtMs, condition: cause?.condition };
    if (phase === Phase.hold) {
      const detail = cause?.words ?? 'hold was asked at the bath or from the page';
      alarms.raise({ ...told, name: 'held', detail }, nowMs);
    } else if (phase === Phase.trip) {
      const detail = cause?.words ?? 'the controller tripped';
      alarms.raise({ ...told, name: 'trip', detail, ...(cause === undefined ? {} : { because: cause.words }) }, nowMs);
    }
    if (before === Phase.hold && phase !== Phase.hold) alarms.returnToNormal(controllerId, 'held', nowMs);
    if (before === Phase.trip && phase !== Phase.trip) alarms.resetAtBath(controllerId, nowMs);
    if (phase !== Phase.hold && phase !== Phase.trip) lastCause.delete(controllerId);
    // A run that is over has no stopped rotation.
    if (phase === Phase.done || phase === Phase.idle) alarms.returnToNormal(controllerId, 'rotation-stalled', nowMs);
  };

  return (controllerId, row, takenAtMs, nowMs, later = []) => {
    const code = row[EventColumn.code]!;
    switch (row[EventColumn.kind] ?? 0) {
      case EventKind.conditionRaised:
        conditionRaised(controllerId, row, takenAtMs, nowMs);
        break;
      case EventKind.booted:
        // What was the cause before a restart is not the cause after it.
        lastCause.delete(controllerId);
        break;
      case EventKind.conditionCleared:
        conditionCleared(controllerId, code, nowMs);
        break;
      case EventKind.commandRefused:
        refusals.command(controllerId, code, row[EventColumn.b]!, takenAtMs, nowMs);
        break;
      case EventKind.phaseEntered:
        phaseEntered(controllerId, [code, row[EventColumn.a]!], later, takenAtMs, nowMs);
        break;
    }
  };
}
