/*
 * Numbers of conditions, permissives and recipe faults, shared by controller and dashboard.
 * A number is never used again for something else. Texts live with the dashboard, not here.
 */

/** Conditions. In records and live messages the active ones are two bit masks: codes 1 to 32 at bit (code - 1), codes 33 to 64 at bit (code - 33). */
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
  /** current outside max(5 %, 0.3 A) of permitted, 10 s (a supply set by hand: 120 s, until what was asked flowed): warn */
  currentOutsideBand: 20,
  /** voltage climbs to its ceiling over minutes at the same current: derate to half; never trips */
  anodePassivating: 21,
  /** voltage at its ceiling and current under half of permitted, 3 s, not in strike and ramp: hold, not cleared by itself */
  contactLost: 22,
  /** V/I under a floor while current is above a fifth of full, 1 s: trip */
  shortCircuit: 23,
  /** 0.4 s: trip */
  reverseCurrent: 24,
  /** voltage and current disagree as only loose sense leads do, 1 s: trip */
  senseImplausible: 25,
  /** at its present slope the bath passes its hold limit within the hour, 30 s: warn */
  bathWillOverheat: 26,
  /** 5 min: derate */
  bathCold: 27,
  /** the probe's reading has not moved by one bit for two hours of current: warn */
  probeStuck: 28,
  /** the same for six hours: hold */
  probeStuckLong: 29,
  /** clip or contactor (further probes), 60 C: warn */
  clipHot: 30,
  /** 70 C: trip */
  clipOverheated: 31,
  /** three announced restarts of the motor brought no pulse; the motor stays off: warn */
  rotationGivenUp: 32,
  /** pulses come, at less than two thirds of the speed, 60 s: warn */
  rotationSlow: 33,
  /** 2 s: trip */
  leak: 34,
  /** 2 s: trip */
  smoke: 35,
  /** 2 s: derate */
  agitationStopped: 36,
  /** 2 s: derate */
  filterStopped: 37,
  /** 10 s: hold */
  liquidLow: 38,
  /** current still flows 5 s after the contactor was told to open: trip, second means, the loudest alarm */
  currentDoesNotFall: 39,
  /** strike and ramp last far longer than planned: warn again */
  longestPhase: 40,
  /** derated for an hour, not counting while the bath is cold: hold */
  longestDerate: 41,
  /** held for two hours: stays in hold, calls again */
  longestHold: 42,
  /** nobody acknowledged for ten minutes: the loud buzzer */
  notAcknowledged: 43,
  /** no sign of life of the dashboard for 15 min: note, keeps running */
  dashboardUnseen: 44,
  /** the supply's set-point does not answer, refuses, or reads back something else, 5 s: warn (too much current is judged by the shunt) */
  supplyFault: 45,
  /** terminals above the rig's highest voltage, 2 s: trip */
  voltageHigh: 46,
  /** the memory of the run does not answer, 30 s: warn */
  memoryFault: 47,
  /** the ramp waits: voltage at its ceiling, or resistance not falling: note */
  rampWaiting: 48,
  /** resistance climbs in strike or ramp: contact is being lost and the ramp backs off: warn */
  contactWeakInStart: 49,
  /** no current at the low first set-point, 30 s (by hand: 5 min): trip */
  noCurrentAtStart: 50,
  /** the first current flows the wrong way, 0.4 s: trip */
  polarityReversed: 51,
  /** the alert latch did not open in its test, 5 s: warn, no start */
  alertLatchNotOpening: 52,
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
  /** the alert latch opened in its test since the recipe came */
  alertLatchProven: 11,
  /** the supply answers, and its set-point is at zero */
  supplyAtZero: 12,
  /** leak, smoke, liquid level, clips: every fitted one is good */
  watchersGood: 13,
  /** the memory of the run answers */
  memoryGood: 14,
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
