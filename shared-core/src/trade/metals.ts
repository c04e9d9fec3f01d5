/*
 * The metals that can be deposited, as Faraday's law needs them. Read by faraday.ts and by whoever plans a run.
 * Copper from acid sulfate only for now; a metal is one entry. Holds no bath practice.
 */

export interface Metal {
  readonly name: string;
  readonly symbol: string;
  readonly molarMassGramsPerMole: number;
  /** Electrons that one ion takes up at the cathode. The valence decides a factor of two: copper from cyanide would have 1. */
  readonly electronsPerIon: number;
  readonly densityGramsPerCm3: number;
}

/**
 * Copper as it is deposited from an acid sulfate bath, Cu(II).
 * Molar mass 63.546: IUPAC standard atomic weights. Density 8.96: handbook value for pure copper, from memory (some tables print 8.92 or 8.9).
 */
export const copper: Metal = {
  name: 'copper',
  symbol: 'Cu',
  molarMassGramsPerMole: 63.546,
  electronsPerIon: 2,
  densityGramsPerCm3: 8.96,
};
