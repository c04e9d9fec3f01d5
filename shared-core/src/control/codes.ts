/*
 * Numbers of conditions, permissives and recipe faults, shared by controller and dashboard.
 * A number is never used again for something else. Texts live with the dashboard, not here.
 */

/** Conditions. In records and live messages the active ones are a bit mask: bit (code - 1). */
export const Condition = {
  /** current over 120 % of permitted, 2 s: hold */
  currentHigh: 1,
  /** current over 150 % of permitted, 0.4 s: trip */
  currentVeryHigh: 2,
  /** alert latch opened by the shunt monitor: trip */
  alertLatch: 3,
  /** shunt monitor silent or frozen, 1 s: trip */
  monitorSilent: 4,
  /** its limit, mask, averaging or calibration registers changed, 1 s: trip */
  monitorChanged: 5,
  /** its shunt register at full scale, 1 s: trip */
  monitorClipped: 6,
  /** bath above the recipe's warning, 30 s: warn */
  bathWarm: 7,
  /** bath above the recipe's hold limit, 30 s: hold */
  bathHot: 8,
  /** bath above the rig's limit, 30 s: trip */
  bathOverheated: 9,
  /** probe absent, at its power-on value, impossible or failing its check sum, 30 s: warn */
  probeFault: 10,
  /** the same for 10 min: hold */
  probeFaultLong: 11,
  /** two pulses missed, at least 20 s: warn */
  rotationStopped: 12,
  /** the same 2 min later: derate to 40 % */
  rotationStoppedLong: 13,
  /** trip at once */
  emergencyStop: 14,
  /** the contactor opened without being told: trip at once */
  contactorDropped: 15,
  /** the controller restarted in mid-run: trip */
  restartedInRun: 16,
  /** charge reached: finish */
  chargeReached: 17,
  /** longest run reached: finish */
  longestRun: 18,
  /** the contactor's feedback contradicts what was asked of it (closed without a press, a press that closed nothing, welded), 3 s: trip */
  contactorContradicts: 19,
} as const;
export type Condition = (typeof Condition)[keyof typeof Condition];

/** What must be true before a press can start a run. In live messages the missing ones are a bit mask: bit (code - 1). */
export const Permissive = {
  settingsValid: 1,
  recipeLoaded: 2,
  monitorGood: 3,
  probeGood: 4,
  bathWithinStartBand: 5,
  rotationSeen: 6,
  emergencyStopReleased: 7,
  alertLatchClosed: 8,
  contactorOpen: 9,
  terminalsBelowHalfVolt: 10,
} as const;
export type Permissive = (typeof Permissive)[keyof typeof Permissive];

/** Why a recipe was refused. */
export const RecipeFault = {
  none: 0,
  /** a field is missing, not a number, or outside what any rig allows */
  malformed: 1,
  aboveRigCurrent: 2,
  aboveRigRunTime: 3,
  aboveRigTemperature: 4,
  /** a run is live (stop it first) or a trip waits for its reset at the bath */
  runIsLive: 5,
} as const;
export type RecipeFault = (typeof RecipeFault)[keyof typeof RecipeFault];
