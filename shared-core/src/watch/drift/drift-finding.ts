/*
 * What the drift watch finds: which quantity, since when, how much, what probably caused it, and whether it needs a person tonight. Read by the
 * dashboard, which puts it into words. No behaviour.
 */
import type { AlarmName } from '../../messages/api.js';

export type DriftName = Extract<
  AlarmName,
  | 'current-drifting'
  | 'cell-resistance-drifting'
  | 'temperature-drifting'
  | 'rotation-drifting'
  | 'supply-drifting'
  | 'liquid-evaporating'
>;
export const driftNames: readonly DriftName[] = [
  'current-drifting',
  'cell-resistance-drifting',
  'temperature-drifting',
  'rotation-drifting',
  'supply-drifting',
  'liquid-evaporating',
];

/** `tonight` calls the phone; `look` is shown and wakes nobody. */
export type DriftSeverity = 'look' | 'tonight';

/** Likely causes, the dashboard's words for each in `drift-words.ts`. */
export type DriftCause =
  | 'supply-at-ceiling'
  | 'supply-output'
  | 'set-point-way'
  | 'hand-set'
  | 'shunt-or-sense'
  | 'clip-or-contact'
  | 'slip-ring'
  | 'anode-film-or-worn'
  | 'anode-moved-nearer'
  | 'level-low'
  | 'water-evaporated'
  | 'bath-colder'
  | 'bath-warmer'
  | 'heater-sticks'
  | 'room-or-current-heat'
  | 'heater-off'
  | 'coupling-slips'
  | 'motor-supply'
  | 'part-brushes';

export interface DriftFinding {
  readonly name: DriftName;
  /** `worse`: it stood as `look` and needs a person now. */
  readonly turned: 'raised' | 'worse' | 'cleared';
  readonly severity: DriftSeverity;
  /** When the change began, as well as the chart can tell. */
  readonly sinceMs: number;
  /** Which way it went. */
  readonly direction: 'up' | 'down';
  /** What it is now, and what it was before or should be: amperes, ohms, Celsius, seconds of a turn, volts. */
  readonly now: number;
  readonly before: number;
  /** Which limit it goes to and when it is there; null: none, or nobody can tell. */
  readonly limit: { readonly value: number; readonly atMs: number } | null;
  readonly causes: readonly DriftCause[];
}

/** What the watch has to know of the run and the rig. */
export interface DriftPlan {
  /** A new number begins everything anew. */
  readonly runNumber: number;
  readonly bathWarnCelsius: number;
  readonly bathColdCelsius: number;
  readonly terminalVoltsMax: number;
  /** null: nobody can tell. */
  readonly plannedFinishAtMs: number | null;
}
