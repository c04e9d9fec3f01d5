/*
 * The metals that can be deposited, as Faraday's law needs them. Read by faraday.ts, by the bath profiles and by whoever plans a run.
 * A metal stands here once for each valence, since the valence decides a factor of two or three. Holds no bath practice.
 */

export interface Metal {
  readonly name: string;
  readonly symbol: string;
  readonly molarMassGramsPerMole: number;
  /** Electrons that one ion takes up at the cathode. The valence decides a factor of two: copper from cyanide would have 1. */
  readonly electronsPerIon: number;
  readonly densityGramsPerCm3: number;
}

/** One entry a line keeps the table readable: name, symbol, molar mass, electrons, density. */
function metal(
  name: string,
  symbol: string,
  molarMassGramsPerMole: number,
  electronsPerIon: number,
  densityGramsPerCm3: number,
): Metal {
  return { name, symbol, molarMassGramsPerMole, electronsPerIon, densityGramsPerCm3 };
}

/**
 * Copper as it is deposited from an acid sulphate bath, Cu(II).
 * Molar mass 63.546: IUPAC standard atomic weights. Density 8.96: handbook value for pure copper, from memory (some tables print 8.92 or 8.9).
 */
export const copper = metal('copper', 'Cu', 63.546, 2, 8.96);

/** Copper from a cyanide bath, Cu(I): twice as much for the same charge. No profile uses it; it stands here against mixing up the two. */
export const cuprousCopper = metal('copper(I)', 'Cu', 63.546, 1, 8.96);

/** Molar mass 58.6934: IUPAC 1995. Density 8.908: from memory. */
export const nickel = metal('nickel', 'Ni', 58.6934, 2, 8.908);

/** Molar masses of the following: CIAAW, from memory. Densities: handbook values of the pure metals, from memory. */
export const silver = metal('silver', 'Ag', 107.8682, 1, 10.5);
export const gold = metal('gold', 'Au', 196.96657, 1, 19.32);
export const trivalentGold = metal('gold(III)', 'Au', 196.96657, 3, 19.32);
export const palladium = metal('palladium', 'Pd', 106.42, 2, 12.02);
export const zinc = metal('zinc', 'Zn', 65.38, 2, 7.14);
export const tin = metal('tin', 'Sn', 118.71, 2, 7.31);
export const tetravalentTin = metal('tin(IV)', 'Sn', 118.71, 4, 7.31);

/** Every metal there is, each with its valence. */
export const metals: readonly Metal[] = [
  copper,
  cuprousCopper,
  nickel,
  silver,
  gold,
  trivalentGold,
  palladium,
  zinc,
  tin,
  tetravalentTin,
];
