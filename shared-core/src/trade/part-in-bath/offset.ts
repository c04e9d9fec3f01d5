/*
 * Growth of a part by its deposit: every surface moves outwards by the same thickness. So a model that must fit is offset by that much, never scaled.
 * Called by the planner. The sums are Steiner's, exact for convex bodies.
 */

/** A body's sums; the last is the integral of its mean curvature, in mm: π (l + w + h) of a box, 4πr of a ball (part/mean-curvature.ts). */
export interface ConvexBody {
  readonly areaMm2: number;
  readonly volumeMm3: number;
  readonly meanCurvatureMm: number;
}

/**
 * Area and volume after every surface has moved outwards by t mm: A + 2 M t + 4π t², V + A t + M t² + 4/3 π t³.
 *
 * Example: a cube of 10 mm and t = 0.5: 697.389 mm² and 1324.086 mm³.
 */
export function grown(body: ConvexBody, outwardsMm: number): { readonly areaMm2: number; readonly volumeMm3: number } {
  const { areaMm2, volumeMm3, meanCurvatureMm } = body;
  const t = outwardsMm;
  return {
    areaMm2: areaMm2 + 2 * meanCurvatureMm * t + 4 * Math.PI * t * t,
    volumeMm3: volumeMm3 + areaMm2 * t + meanCurvatureMm * t * t + (4 / 3) * Math.PI * t ** 3,
  };
}

/**
 * The thickness in mm that a deposit of that volume has on a body that grows as it is covered: less than volume ÷ area on a wire, as much on a plate.
 * By bisection; the volume rises with the thickness.
 *
 * Example: 7850 mm³ on a rod of 1 mm diameter (0.3 mm by volume ÷ area) have 0.24 mm.
 */
export function thicknessOnGrowingBody(body: ConvexBody, depositMm3: number): number {
  let low = 0;
  let high = depositMm3 / body.areaMm2;
  for (let round = 0; round < 60; round++) {
    const middle = (low + high) / 2;
    if (grown(body, middle).volumeMm3 - body.volumeMm3 < depositMm3) low = middle;
    else high = middle;
  }
  return high;
}

/** What a length of the model has to be so that it is right after plating. */
export interface FittingLength {
  /** Between outer surfaces: a diameter, a width. */
  readonly outerMm: number;
  /** Between inner surfaces: a hole, a slot. */
  readonly innerMm: number;
}

/** Both walls grow by t: an outer length is drawn 2t smaller, an inner one 2t larger. Example: t 0.3: a shaft of 20 is drawn 19.4, a hole of 20 is drawn 20.6. */
export function fittingLength(wantedMm: number, growthMm: number): FittingLength {
  return { outerMm: wantedMm - 2 * growthMm, innerMm: wantedMm + 2 * growthMm };
}
