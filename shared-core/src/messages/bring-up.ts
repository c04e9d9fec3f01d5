/*
 * The steps of bring-up at the bath, as a controller numbers them in its events (EventKind.bringUpDone) after each was done over USB.
 * Shared by the controller's console and the page that follows it. A number is never used again for something else.
 */

/** What `code`, `a` and `b` of the event say of each. */
export const BringUpStep = {
  /** a: how many devices answered */
  sensorsSeen: 1,
  /** a: pulses seen */
  motorTurned: 2,
  contactorClicked: 3,
  /** a: what the meter showed x 1000 */
  currentCalibrated: 4,
  /** a: offset x 1000 */
  temperatureCalibrated: 5,
  limitsSet: 6,
  supplyCalibrated: 7,
  paired: 8,
  secondMeansClicked: 9,
  latchTested: 10,
  /** The settings are complete and in flash. */
  settingsKept: 11,
} as const;
export type BringUpStep = (typeof BringUpStep)[keyof typeof BringUpStep];
