/*
 * Suppressed by design: alarms that the state of the plant makes meaningless. A finished run has no low current, and nobody need be woken
 * for a filter that was switched off after it. Called by the dashboard at each raise and once a second. Where the phase is not known for
 * certain nothing is decided here: the caller keeps what was last known.
 */
import { Phase } from '../control/phase.js';
import type { AlarmName } from '../messages/api.js';

const noRun = 'No run is live: the contactor is open, and nothing is being plated.';
const noCurrent = 'The run has tripped: there is no current that could be off. The trip itself calls.';
const held = 'The run is held at its keep-alive current: slow changes are not judged there. The hold itself calls.';

const slowChanges: readonly AlarmName[] = [
  'current-drifting',
  'cell-resistance-drifting',
  'rotation-drifting',
  'supply-drifting',
];
/** What only has a meaning while a part is being plated. */
const ofTheCurrent: readonly AlarmName[] = [
  'current-off-permitted',
  'anode-passivating',
  'contact-weak',
  'start-takes-long',
  ...slowChanges,
];
const ofTheRun: readonly AlarmName[] = [
  ...ofTheCurrent,
  'temperature-drifting',
  'bath-will-overheat',
  'rotation-stalled',
  'rotation-slow',
  'rotation-given-up',
  'agitation-stopped',
  'filter-stopped',
];

/**
 * Alarm by phase. Never here: trips and holds, a contactor that does not obey, current that does not fall, a bath out of its band (a heater can
 * stick in any phase), leak and smoke (they trip), a silent controller, and everything of the house.
 */
const suppressed: Readonly<Partial<Record<Phase, readonly (readonly [readonly AlarmName[], string])[]>>> = {
  [Phase.idle]: [[ofTheRun, noRun]],
  [Phase.ready]: [[ofTheRun, noRun]],
  [Phase.done]: [[ofTheRun, noRun]],
  [Phase.trip]: [[ofTheCurrent, noCurrent]],
  [Phase.hold]: [[slowChanges, held]],
};

/**
 * Why this alarm calls nobody in this phase, in a whole sentence, or undefined: it calls.
 *
 * Example: `suppressedBecause('current-off-permitted', Phase.done)` answers that no run is live.
 */
export function suppressedBecause(name: AlarmName, phase: Phase): string | undefined {
  return suppressed[phase]?.find(([names]) => names.includes(name))?.[1];
}
