/*
 * What is wrong, and where in the section through the tank it is marked: there and only there. Everything of one place is
 * gathered in one mark, the worst first; the key under the drawing tells all of it.
 * Called by the drawing; pure. Old readings mark nothing: what is not known now is not drawn as if it were.
 */
import { Phase } from '@bathkeeper/shared-core/control';
import type { AlarmName, AlarmView, ControllerView } from '@bathkeeper/shared-core/messages';
import { adviceFor } from '@bathkeeper/shared-core/watch';
import { isActive } from '../words/alarm-story.js';
import { type Gravity, type Place, isGraver, wordsForCondition, wordsForPermissive } from '../words/conditions.js';

/** One thing that is wrong or wanted at a place. */
export interface Found {
  /** A clause for the key and for the description of the drawing. */
  readonly clause: string;
  /** A sentence or two. */
  readonly checkFirst: string;
  readonly gravity: Gravity;
  /** At most two words. */
  readonly mark: string;
}

export interface Mark {
  readonly place: Place;
  /** `wants`: missing before a start, nothing is broken. */
  readonly kind: 'wrong' | 'wants';
  /** What is written beside the ring: the word of the worst, and how many more there are. */
  readonly mark: string;
  /** The worst first; never empty. */
  readonly found: readonly Found[];
}

/** Alarms that the dashboard judges itself: the controller may have no condition standing for them. */
const judgedByDashboard: Partial<Record<AlarmName, { place: Place; mark: string; clause: string }>> = {
  'current-off-permitted': { place: 'shunt', mark: 'off', clause: 'the current is off its permitted value' },
  'bath-temperature-out-of-band': { place: 'probe', mark: 'out of band', clause: 'the bath is out of its band' },
};

/** One mark a place: places in the order of what is worst there, and wrong before wanted. */
export function marksOf(controller: ControllerView, alarms: readonly AlarmView[]): Mark[] {
  const { live } = controller;
  if (live === null) return [];
  const wrong = new Map<Place, Found[]>();
  const put = (into: Map<Place, Found[]>, place: Place, found: Found): void => {
    into.set(place, [...(into.get(place) ?? []), found]);
  };
  for (const code of live.conditions) {
    const { gravity, place, mark, clause } = wordsForCondition(code);
    if (gravity !== 'note') put(wrong, place, { gravity, mark, clause, checkFirst: adviceFor(code) });
  }
  for (const alarm of alarms) {
    const judged = judgedByDashboard[alarm.name];
    if (judged && alarm.controllerId === controller.controllerId && isActive(alarm) && !wrong.has(judged.place)) {
      put(wrong, judged.place, { ...judged, gravity: 'warn', checkFirst: alarm.checkFirst });
    }
  }
  const putAlone = (isSo: boolean, place: Place, found: Found): void => {
    if (isSo && !wrong.has(place)) put(wrong, place, found);
  };
  putAlone(live.cathodeCurrentAmps === null, 'shunt', {
    gravity: 'warn',
    mark: 'no reading',
    clause: 'the shunt monitor gives no reading',
    checkFirst: 'Look at the wires between board and shunt monitor. Within seconds it becomes a fault of its own.',
  });
  putAlone(live.bathTemperatureCelsius === null, 'probe', {
    gravity: 'warn',
    mark: 'no reading',
    clause: 'the temperature probe gives no reading',
    checkFirst: 'Look at the plug of the probe. Within half a minute it becomes a fault of its own.',
  });
  putAlone(live.phase === Phase.trip && live.isContactorClosed, 'contactor', {
    gravity: 'trip',
    mark: 'still closed',
    clause: 'the contactor reports closed in a trip',
    checkFirst: 'Switch the supply off at its mains, and keep hands out of the tank until its ammeter shows nothing.',
  });
  const opened = controller.told?.secondMeansOpened ?? null;
  putAlone(opened !== null && live.phase === Phase.trip, 'second-means', {
    gravity: 'danger',
    mark: 'opened',
    clause: 'the second means has cut the supply off',
    checkFirst:
      'Look at the ammeter before hands go near: the contactor did not stop the current. The second means closes again only by a reset at the bath with the cause gone.',
  });
  const wanted = new Map<Place, Found[]>();
  if (live.phase === Phase.ready) {
    for (const code of live.permissivesMissing) {
      const { place, missing, remedy } = wordsForPermissive(code);
      if (place !== null && !wrong.has(place)) {
        put(wanted, place, { gravity: 'note', mark: 'wanted', clause: missing, checkFirst: remedy });
      }
    }
  }
  return [...marked(wrong, 'wrong'), ...marked(wanted, 'wants')];
}

function marked(places: ReadonlyMap<Place, readonly Found[]>, kind: Mark['kind']): Mark[] {
  return [...places]
    .map(([place, all]): Mark & { worst: Gravity } => {
      const found = worstFirst(all, ({ gravity }) => gravity);
      const [worst, ...more] = found as [Found, ...Found[]];
      const mark = kind === 'wrong' && more.length > 0 ? `${worst.mark} +${String(more.length)}` : worst.mark;
      return { place, kind, mark, found, worst: worst.gravity };
    })
    .sort((a, b) => byGravity(a.worst, b.worst))
    .map(({ place, kind: its, mark, found }) => ({ place, kind: its, mark, found }));
}

const byGravity = (a: Gravity, b: Gravity): number => (isGraver(a, b) ? -1 : isGraver(b, a) ? 1 : 0);

function worstFirst<T>(all: readonly T[], gravityOf: (one: T) => Gravity): T[] {
  return [...all].sort((a, b) => byGravity(gravityOf(a), gravityOf(b)));
}
