/*
 * What the supervisor is told each step and what it answers: inputs, outputs, events.
 * Filled by the control loop from the drivers, read by the output gate and the outbox. No behaviour here.
 */

/** Why the shunt monitor cannot be believed. */
export const MonitorFault = { none: 0, silent: 1, changed: 2, clipped: 3 } as const;
export type MonitorFault = (typeof MonitorFault)[keyof typeof MonitorFault];

/** Why the temperature probe cannot be believed. */
export const ProbeFault = { none: 0, absent: 1, checksum: 2, powerOnValue: 3, impossible: 4 } as const;
export type ProbeFault = (typeof ProbeFault)[keyof typeof ProbeFault];

/** What was asked from afar and not yet answered. Each can only lower risk. */
export const Command = { none: 0, stop: 1, hold: 2, acknowledge: 3, recipe: 4 } as const;
export type Command = (typeof Command)[keyof typeof Command];

/** One reading of the world, taken just before the step. A faulty reading keeps its fault beside it. */
export interface Inputs {
  currentAmps: number;
  terminalVolts: number;
  monitorFault: MonitorFault;
  bathCelsius: number;
  probeFault: ProbeFault;
  /** Rotation pulses since boot. */
  rotationPulses: number;
  emergencyStopPressed: boolean;
  /** The shunt monitor's alert latch is open: over-current was seen, or it was not reset since power-up. */
  alertLatchOpen: boolean;
  /** Auxiliary contact of the contactor. */
  contactorClosed: boolean;
  /** True in the one step after the press. */
  startPressed: boolean;
  stopPressed: boolean;
  resetPressed: boolean;
  command: Command;
}

/** What the step asks of the board. The output gate has the last word on permittedAmps. */
export interface Outputs {
  /** The one-shot is fed only while this is true; false clears it at once. */
  contactorEnabled: boolean;
  permittedAmps: number;
  motorOn: boolean;
  /** 0 silent, 1 warning, 2 trip. */
  buzzer: number;
  /** The alert limit that the shunt monitor should carry now. */
  alertLimitAmps: number;
}

/** What an event says happened; the meaning of code, a and b is with each kind. */
export const EventKind = {
  /** code 0, a: boot number, b: whole seconds that the run was left without current when known, else -1 */
  booted: 1,
  /** code: phase entered, a: phase left, b: run's charge in whole coulombs */
  phaseEntered: 2,
  /** code: condition, a: value x 1000, b: limit x 1000 (both 0 where a condition has no value) */
  conditionRaised: 3,
  /** code: condition, a: seconds it stood */
  conditionCleared: 4,
  /** code: command, a: its id (the step leaves 0, the control loop fills it in), b: 0 done, 1 not in this phase, 2 expired, 3 not understood */
  commandAnswered: 5,
  /** code 0, a: recipe id */
  recipeTaken: 6,
  /** code: RecipeFault, a: recipe id, b: the limit x 1000 */
  recipeRefused: 7,
  /** code 0, a: recipe id, b: run number */
  runStarted: 8,
  /**
   * code: condition that ended it (0: a stop was asked at the bath or from afar, or a new recipe was taken), a: charge in coulombs, b: live seconds.
   * A run that was stopped short of its charge can be continued at the bath (reset, then start): an interruption follows, the run number stays.
   */
  runEnded: 9,
  /** The current was interrupted and came back by a press. a: seconds without current, -1 when a restart makes it unknown */
  interruption: 10,
  /** Acknowledged at the bath. */
  acknowledged: 11,
} as const;
export type EventKind = (typeof EventKind)[keyof typeof EventKind];

/** One event before the outbox numbers and times it. a and b are whole numbers within 32 bits. */
export interface ControllerEvent {
  kind: EventKind;
  code: number;
  a: number;
  b: number;
}
