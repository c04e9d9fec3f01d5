/*
 * The live message has the last word on what stands: events can be lost (their ring is finite, a controller can be paired in mid-trip), and what no
 * event told is raised from it, or ended. Called by the watchman with every live message; what the dashboard judges by itself is not among it.
 */
import { Phase } from '@bathkeeper/shared-core/control';
import type { AlarmName, LiveView } from '@bathkeeper/shared-core/messages';
import type { AlarmList } from './alarm-list.js';
import { conditionWords } from './condition-words.js';
import { attempts } from './attempts.js';
import { alarmCauseOf, followedAlarms, holdConditions, tripConditions } from './controller-conditions.js';

/** The live message says it this long and no event told of it: then it is taken at its word. */
const EVENT_LATE_SECONDS = 5;

export type LiveWord = (controllerId: string, live: LiveView, nowMs: number) => void;

export function openLiveWord(
  alarms: Pick<AlarmList, 'raise' | 'returnToNormal' | 'resetAtBath' | 'isStanding' | 'callingPriority'>,
): LiveWord {
  /** Since when a live message says what no event told, by controller and alarm. */
  const seenSinceMs = new Map<string, number>();

  const followCondition = (
    controllerId: string,
    name: AlarmName,
    codes: readonly number[],
    live: LiveView,
    nowMs: number,
  ): void => {
    const condition = codes.find((one) => live.conditions.includes(one));
    if (condition === undefined) {
      // (All is calm most of the time: then there is nothing to look up.)
      if (seenSinceMs.size > 0) seenSinceMs.delete(`${controllerId} ${name}`);
      alarms.returnToNormal(controllerId, name, nowMs);
      return;
    }
    const key = `${controllerId} ${name}`;
    const causeAtMs = Math.min(seenSinceMs.get(key) ?? nowMs, nowMs);
    seenSinceMs.set(key, causeAtMs);
    if (nowMs - causeAtMs < EVENT_LATE_SECONDS * 1000 || alarms.isStanding(controllerId, name)) return;
    const cause = { controllerId, name, causeAtMs, detail: conditionWords(condition), condition };
    alarms.raise(alarmCauseOf(alarms, cause, nowMs), nowMs);
  };
  const followPhase = (controllerId: string, phase: Phase, name: AlarmName, live: LiveView, nowMs: number): void => {
    if (live.phase !== phase) {
      // Only a reset at the bath leaves a trip.
      if (phase === Phase.trip) alarms.resetAtBath(controllerId, nowMs);
      else alarms.returnToNormal(controllerId, name, nowMs);
    } else if (alarms.isStanding(controllerId, name)) {
      if (phase === Phase.trip && !live.conditions.some((code) => tripConditions.has(code)))
        alarms.returnToNormal(controllerId, name, nowMs);
    } else if (live.phaseSeconds >= EVENT_LATE_SECONDS) {
      const causeAtMs = nowMs - live.phaseSeconds * 1000;
      const told = live.conditions.filter((code) => tripConditions.has(code) || holdConditions.has(code));
      const detail = told.map((code) => conditionWords(code)).join('; ') || 'the controller says so, not why';
      alarms.raise({ controllerId, name, causeAtMs, detail, condition: told[0] }, nowMs);
    }
  };
  return (controllerId, live, nowMs) => {
    const all = attempts();
    all.attempt(() => {
      followPhase(controllerId, Phase.hold, 'held', live, nowMs);
    });
    all.attempt(() => {
      followPhase(controllerId, Phase.trip, 'trip', live, nowMs);
    });
    for (const [name, codes] of followedAlarms)
      all.attempt(() => {
        followCondition(controllerId, name, codes, live, nowMs);
      });
    all.settle();
  };
}
