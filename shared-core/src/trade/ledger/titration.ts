/*
 * What a titration takes: bath in the flask, titrant until the end point, what the titrant takes without bath, its strength. Used by the three formulas beside it.
 * It judges no end point.
 */

export interface Titration {
  /** Of the bath itself: after a dilution 10 mL of 1 in 10 are 1 mL. */
  readonly sampleMillilitres: number;
  readonly titrantMillilitres: number;
  /** Taken by the same flask without bath. */
  readonly blankMillilitres?: number;
  readonly titrantMolesPerLitre: number;
}

/** Moles of titrant for a litre of bath. Example: 1 mL of 0.1 mol/L for a sample of 1 mL is 0.1. @throws RangeError for a sample of nothing or a blank above the titrant. */
export function titratedMolesPerLitre(titration: Titration): number {
  const { sampleMillilitres, titrantMillilitres, blankMillilitres = 0, titrantMolesPerLitre } = titration;
  if (!(sampleMillilitres > 0 && titrantMillilitres >= blankMillilitres && blankMillilitres >= 0))
    throw new RangeError(
      `A sample of ${String(sampleMillilitres)} mL, titrant ${String(titrantMillilitres)} mL, blank ${String(blankMillilitres)} mL; expected a sample above 0 and a blank of 0 up to the titrant. Read the burette again.`,
    );
  return ((titrantMillilitres - blankMillilitres) * titrantMolesPerLitre) / sampleMillilitres;
}
