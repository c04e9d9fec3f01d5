/*
 * What a recipe is when nobody says otherwise, and what is usual in the trade. One table for the planner and the form.
 * Sources stand beside the numbers; the Metal Finishing Guidebook's pages were seen in a stored copy, "from memory" says what was not.
 */

export const recipeDefaults = {
  /** 0.2 to 0.5 A/dm2 until the paint is covered: common practice, from memory. */
  strikeDensityAmpsPerDm2: 0.3,
  strikeMinutes: 10,
  /** 15 to 60 min: common practice, from memory; practice disagrees, so it is a setting. */
  rampMinutes: 30,
  /** 0.1 to 0.2 A/dm2 with rotation: common practice, no source. */
  finishDensityAmpsPerDm2: 0.15,
  finishMinutes: 60,
  /** Keep-alive: copper left without current re-coats but may laminate. Common practice, no source for the figure. */
  holdDensityAmpsPerDm2: 0.3,
  /** One turn in ten seconds with one magnet: slow enough not to splash, fast enough that a stall is seen within 22 s. */
  rotationPulsesPerMinute: 6,
  /** Bright acid copper works at 20 to 30 degC (a bath supplier's data sheet; others say 20 to 32). */
  startCelsiusMin: 18,
  bathWarnCelsius: 28,
  bathHoldCelsius: 32,
  /** The longest run, as a multiple of the time that the recipe plans, and at least so much more than that: see longestRunSeconds. */
  longestFactor: 1.25,
  longestSpareSeconds: 3600,
} as const;

/**
 * The longest run for a recipe that plans so many seconds: a quarter more, and an hour at least, since a ramp that waits or a hold until somebody comes takes
 * as long in a short run as in a long one. Our own practice, no source.
 *
 * Example: planned 3600 s: 7200 s; planned 36000 s: 45000 s.
 */
export function longestRunSeconds(plannedSeconds: number): number {
  return Math.ceil(
    Math.max(recipeDefaults.longestFactor * plannedSeconds, plannedSeconds + recipeDefaults.longestSpareSeconds),
  );
}

/**
 * Current density beyond which the planner warns, in A/dm2. Decorative acid copper: 20 to 100 A/ft2, 2.2 to 10.8 A/dm2 (Metal Finishing Guidebook
 * 2011-12, p. 206, table VIII); electroforming 1 to 10 A/dm2 (ASTM B832, from memory). Below 0.5: our own bound, no source.
 */
export const usualDensityAmpsPerDm2 = { min: 0.5, max: 10 } as const;

/**
 * Half the limiting current of a still bath of 0.8 mol/l copper at 25 degC, about 6.3 A/dm2 on an upright plate of 10 cm
 * (natural convection after Wilke, Eisenberg and Tobias 1953, from memory, good to a quarter): above it only moved solution keeps up.
 */
export const stillBathDensityAmpsPerDm2 = 3;

/** On paint, see strikeDensityAmpsPerDm2: too high and the first copper is grainy and brittle. */
export const usualStrikeDensityAmpsPerDm2Min = 0.2;
export const usualStrikeDensityAmpsPerDm2Max = 0.5;
export const usualRampMinutesMin = 15;
