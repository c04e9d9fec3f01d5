/*
 * First-out: of several alarms with one cause the first is marked, and the others point at it, so that a person begins at the right end.
 * Called by the dashboard when an alarm is raised. It marks and explains; it never keeps an alarm from being raised.
 */
import { Condition } from '../control/codes.js';
import type { AlarmName } from '../messages/api.js';

/** An effect follows its cause within this time, or it is not taken for one. Our own practice, no source. */
export const FIRST_OUT_MS = 10_000;

const slowChanges: readonly AlarmName[] = [
  'current-drifting',
  'cell-resistance-drifting',
  'temperature-drifting',
  'rotation-drifting',
  'supply-drifting',
];

/**
 * What each alarm can bring about, from the trade's own reasoning (common practice, no source): without current nothing is as permitted, a
 * weak contact takes the current with it, a warm bath is held and then tripped. What only may follow from several things at once is left out:
 * an explanation that is wrong sends a person to the wrong end of the bath. `current-does-not-fall` and `contactor-contradicts` are never
 * explained by another: they want their own look.
 */
const effectsOf: Readonly<Partial<Record<AlarmName, readonly AlarmName[]>>> = {
  'contactor-contradicts': ['trip', 'current-off-permitted'],
  'current-does-not-fall': ['trip', 'current-off-permitted'],
  trip: [
    'held',
    'current-off-permitted',
    'contact-weak',
    'anode-passivating',
    'supply-fault',
    'rotation-stalled',
    'agitation-stopped',
    'filter-stopped',
    ...slowChanges,
  ],
  held: ['current-off-permitted', 'anode-passivating', ...slowChanges],
  'supply-fault': ['trip', 'held', 'current-off-permitted', 'current-drifting', 'supply-drifting'],
  'contact-weak': ['trip', 'held', 'current-off-permitted', 'current-drifting', 'cell-resistance-drifting'],
  'clip-hot': ['trip', 'contact-weak', 'current-off-permitted', 'cell-resistance-drifting'],
  'anode-passivating': ['current-off-permitted', 'current-drifting', 'cell-resistance-drifting'],
  'rotation-stalled': ['rotation-given-up', 'rotation-drifting', 'current-off-permitted'],
  'rotation-slow': ['rotation-stalled', 'rotation-drifting'],
  'rotation-given-up': ['rotation-stalled', 'rotation-drifting'],
  'bath-will-overheat': ['bath-temperature-out-of-band', 'temperature-drifting', 'held', 'trip'],
  'bath-temperature-out-of-band': ['held', 'trip', 'temperature-drifting', 'cell-resistance-drifting'],
  'sensor-fault': ['held', 'bath-temperature-out-of-band', 'bath-will-overheat', 'temperature-drifting'],
  'agitation-stopped': ['anode-passivating', 'current-drifting', 'cell-resistance-drifting'],
  'broker-lost': ['controller-silent'],
  'disk-nearly-full': ['store-not-writable'],
};

/** Can the one bring about the other? Example: a weak contact explains a hold, a hold explains no weak contact. */
export function canExplain(cause: AlarmName, effect: AlarmName): boolean {
  return effectsOf[cause]?.includes(effect) ?? false;
}

export interface RaisedAlarm {
  readonly alarmId: number;
  readonly name: AlarmName;
  readonly raisedAtMs: number;
  readonly causedByAlarmId: number | null;
}

/**
 * The first-out alarm that explains one that is raised now, or undefined. `standing`: what stands at the same controller, and of the house.
 * Of several the earliest; of one that was explained itself, its own first-out.
 *
 * Example: a weak contact at 0 s, held at 3 s, then a current off its permitted value at 12 s: the hold explains the current, and the
 * contact both.
 */
export function firstOutOf(name: AlarmName, nowMs: number, standing: readonly RaisedAlarm[]): number | undefined {
  const cause = standing
    .filter((one) => one.raisedAtMs <= nowMs && nowMs - one.raisedAtMs <= FIRST_OUT_MS && canExplain(one.name, name))
    .sort((a, b) => a.raisedAtMs - b.raisedAtMs || a.alarmId - b.alarmId)[0];
  if (cause === undefined) return undefined;
  const first = standing.find((one) => one.alarmId === cause.causedByAlarmId);
  return first?.alarmId ?? cause.alarmId;
}

/**
 * Conditions that call even while a trip waits for its reset and somebody has acknowledged it: with the contactor open the current harms
 * nobody any more, while these go on doing so. Our own rule, no source.
 */
const newsInTrip: readonly number[] = [Condition.leak, Condition.smoke, Condition.bathOverheated];

/** Example: smoke in a trip that was acknowledged calls anew, an emergency stop that is pressed by whoever came does not. */
export function isNewsInTrip(condition: number | undefined): boolean {
  return condition !== undefined && newsInTrip.includes(condition);
}
