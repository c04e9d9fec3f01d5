/*
 * What the supervisor is told each step and what it answers: inputs, outputs, events.
 * Filled by the control loop from the drivers, read by the output gate and the outbox. No behaviour here.
 */

/** Why the shunt monitor cannot be believed. */
export const MonitorFault = { none: 0, silent: 1, changed: 2, clipped: 3 } as const;
export type MonitorFault = (typeof MonitorFault)[keyof typeof MonitorFault];

/** Why the supply's set-point cannot be relied on. `notAsAsked`: it reads back something else; `refused`: it told an error. */
export const SupplyFault = { none: 0, silent: 1, notAsAsked: 2, refused: 3 } as const;
export type SupplyFault = (typeof SupplyFault)[keyof typeof SupplyFault];

/** How the set-point reaches the supply. By hand: nothing can be lowered from here, so derate only warns and hold trips. */
export const SupplyKind = { byHand: 0, analogue: 1, scpi: 2 } as const;
export type SupplyKind = (typeof SupplyKind)[keyof typeof SupplyKind];

/** Why the temperature probe cannot be believed. */
export const ProbeFault = { none: 0, absent: 1, checksum: 2, powerOnValue: 3, impossible: 4 } as const;
export type ProbeFault = (typeof ProbeFault)[keyof typeof ProbeFault];

/** What was asked from afar and not yet answered. Each can only lower risk. */
export const Command = { none: 0, stop: 1, hold: 2, acknowledge: 3, recipe: 4, lower: 5 } as const;
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
  /** Of `lower`: the new ceiling of the set-point, until a press of start at the bath. */
  lowerToAmps: number;
  command: Command;
  /** True in the one step in which start (reset) has been held down for 2 s. */
  startHeld: boolean;
  resetHeld: boolean;
  supplyFault: SupplyFault;
  /** The supply has been seen to carry zero since it was last asked for more. (By hand nobody can see it: true.) */
  supplyAtZero: boolean;
  memoryFault: boolean;
  /** Seconds since the dashboard's last sign of life; of a controller that was never paired 0. */
  dashboardSilentSeconds: number;
  /** Optional contacts; false where none is fitted. */
  leakSeen: boolean;
  smokeSeen: boolean;
  agitationStopped: boolean;
  filterStopped: boolean;
  liquidLow: boolean;
  /** The hottest of the further probes (clips, contactor); NaN: one of them is fitted and cannot be read; below -100: none is fitted. */
  clipCelsius: number;
}

/** What the step asks of the board. The output gate has the last word on permittedAmps. */
export interface Outputs {
  /** The one-shot is fed only while this is true; false clears it at once. */
  contactorEnabled: boolean;
  permittedAmps: number;
  motorOn: boolean;
  /** 0 silent, 1 warning, 2 trip, unheard for long, or a motor is about to start, 3 the second means was needed: without a pause. */
  buzzer: number;
  /** The alert limit that the shunt monitor should carry now. */
  alertLimitAmps: number;
  /** The shunt monitor is to carry a limit that no current can meet, so that the latch must open: its test before each run. */
  alertTestOn: boolean;
  /** The second means: the supply's mains relay or enable input. On from ready to the end of the run; off once it was needed, until a reset. */
  supplyEnabled: boolean;
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
  /** code: command, a: its id (the step leaves 0, the control loop fills it in), b: 0 done, 1 not in this phase, 2 expired, 3 not understood, 4 not with this supply */
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
  /** A message that was not believed. code: 1 forged (its proof is wrong), 2 replayed, 3 out of date; a: its id, 0 when unknown; b: how many since the last such event */
  commandRefused: 12,
  /** The motor was started again after an announcement. code: which try */
  rotationRestart: 13,
  /** At the bath. code: 1 ramp paused, 2 goes on, 3 skipped to the next phase, 4 lengthened, 5 lowering lifted; a: commanded current x 1000 */
  rampTold: 14,
  /** The second means was opened. code: the condition that wanted it */
  secondMeansOpened: 15,
  /** Lowered from afar. a: ceiling x 1000 */
  lowered: 16,
  /** After a restart. code: what ended the last boot (1 exception in the control step, 2 no control step, 3 other exception, 4 boot loop, 5 unknown) */
  restartedAfterFault: 17,
  /** A step of bring-up was done over USB. code: BringUpStep, a and b with each */
  bringUpDone: 18,
  /** Supply by hand. code: 1 to be set now, 2 was set; a: current x 1000 */
  setByHand: 19,
} as const;
export type EventKind = (typeof EventKind)[keyof typeof EventKind];

/** One event before the outbox numbers and times it. a and b are whole numbers within 32 bits. */
export interface ControllerEvent {
  kind: EventKind;
  code: number;
  a: number;
  b: number;
}
