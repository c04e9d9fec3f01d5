/*
 * What a run is asked to do: the recipe, and the limits of the rig that no recipe can widen.
 * Written by the planner on the dashboard, checked again on the controller, run by the supervisor.
 * All amperes are cathode currents of the whole bath, all times are seconds, charge is whole millicoulombs.
 */

/** One run: strike, ramp, plate until the charge is reached, finish. A thickness becomes a charge in the planner. */
export interface Recipe {
  /** Number that the dashboard gave it, 1 to 2^31 - 1. */
  readonly recipeId: number;
  readonly areaDm2: number;
  /** Gentle first current on conductive paint. */
  readonly strikeAmps: number;
  readonly strikeSeconds: number;
  /** Linear climb from strikeAmps to plateAmps. */
  readonly rampSeconds: number;
  readonly plateAmps: number;
  /** The run's charge, strike and ramp included, at which plating ends. Whole millicoulombs. */
  readonly chargeMilliCoulombs: number;
  /** Low current after the charge is reached, part still turning, for at most finishSeconds, which are at most two hours; then open. */
  readonly finishAmps: number;
  readonly finishSeconds: number;
  /** Keep-alive current in hold. */
  readonly holdAmps: number;
  /** The longest the live phases may last in all, hold included. Reached: finish. */
  readonly longestSeconds: number;
  /** Pulses a minute that the rotation sensor should give. 0: this part does not turn, rotation is not watched. */
  readonly rotationPulsesPerMinute: number;
  /** A start needs at least this, at most bathWarnCelsius. */
  readonly startCelsiusMin: number;
  readonly bathWarnCelsius: number;
  readonly bathHoldCelsius: number;
}

/** Of `terminalVoltsMax`: from here on the supply is at its ceiling and can give no more current. Our own practice, no source. */
export const CEILING_FRACTION = 0.95;

/** What this rig may ever see. Written at the bath; a recipe only narrows it. */
export interface RigLimits {
  readonly currentAmpsMax: number;
  readonly terminalVoltsMax: number;
  /** Trip above this. */
  readonly bathCelsiusMax: number;
  readonly runSecondsMax: number;
}
