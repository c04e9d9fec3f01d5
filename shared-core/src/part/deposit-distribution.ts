/*
 * The place of a field solution: how thick the deposit grows on each triangle, against the average. Nothing fills it
 * yet; what does will take a mesh and the tank, and whoever draws or plans asks for this and not for how it was made.
 */

export interface DepositDistribution {
  /** For each triangle its thickness divided by the average over the plated area. The mean, weighted by area, is 1. */
  readonly relativeThickness: Float32Array;
  /** For each triangle the relative standard uncertainty: 0.2 says that a value of 1 may well be 0.8 or 1.2. */
  readonly relativeUncertainty: Float32Array;
  /** How it was made and from what, for the reader: method, conductivity, anode positions, and their sources. */
  readonly source: string;
}
