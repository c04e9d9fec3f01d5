/*
 * What is wrong, and where in the section through the tank it is marked: there and only there.
 * Called by the drawing; pure. Old readings mark nothing: what is not known now is not drawn as if it were.
 */
import { Phase } from '@bathkeeper/shared-core/control';
import type { AlarmName, AlarmView, ControllerView } from '@bathkeeper/shared-core/messages';
import { isActive } from '../words/alarm-story.js';
import { type Gravity, type Place, isGraver, wordsForCondition, wordsForPermissive } from '../words/conditions.js';

export interface Mark {
  readonly place: Place;
  /** `wants`: missing before a start, nothing is broken. */
  readonly kind: 'wrong' | 'wants';
  /** At most two words, written beside the ring. */
  readonly mark: string;
  /** A clause for the description of the drawing. */
  readonly clause: string;
}

/** Alarms that the dashboard judges itself: the controller has no condition of its own for them. */
const judgedByDashboard: Partial<Record<AlarmName, { place: Place; mark: string; clause: string }>> = {
  'current-off-permitted': { place: 'shunt', mark: 'off', clause: 'the current is off its permitted value' },
  'bath-temperature-out-of-band': { place: 'probe', mark: 'out of band', clause: 'the bath is out of its band' },
};

/** One mark a place, the gravest; wrong before missing. */
export function marksOf(controller: ControllerView, alarms: readonly AlarmView[]): Mark[] {
  const { live } = controller;
  if (live === null) return [];
  const found = new Map<Place, Mark & { gravity: Gravity }>();
  const put = (place: Place, gravity: Gravity, mark: string, clause: string): void => {
    const before = found.get(place);
    if (before === undefined || isGraver(gravity, before.gravity)) {
      found.set(place, { place, kind: 'wrong', gravity, mark, clause });
    }
  };
  for (const code of live.conditions) {
    const words = wordsForCondition(code);
    if (words.gravity !== 'note') put(words.place, words.gravity, words.mark, words.clause);
  }
  for (const alarm of alarms) {
    const judged = judgedByDashboard[alarm.name];
    if (judged && alarm.controllerId === controller.controllerId && isActive(alarm) && !found.has(judged.place)) {
      put(judged.place, 'warn', judged.mark, judged.clause);
    }
  }
  if (live.cathodeCurrentAmps === null && !found.has('shunt'))
    put('shunt', 'warn', 'no reading', 'the shunt monitor gives no reading');
  if (live.bathTemperatureCelsius === null && !found.has('probe'))
    put('probe', 'warn', 'no reading', 'the temperature probe gives no reading');
  if (live.phase === Phase.trip && live.isContactorClosed && !found.has('contactor')) {
    put('contactor', 'trip', 'still closed', 'the contactor reports closed in a trip');
  }
  if (live.phase === Phase.ready) {
    for (const code of live.permissivesMissing) {
      const { place, missing } = wordsForPermissive(code);
      if (place !== null && !found.has(place)) {
        found.set(place, { place, kind: 'wants', gravity: 'note', mark: 'wanted', clause: missing });
      }
    }
  }
  return [...found.values()].map(({ place, kind, mark, clause }) => ({ place, kind, mark, clause }));
}
