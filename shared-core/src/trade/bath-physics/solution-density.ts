/*
 * Density of a bath of copper sulphate and sulphuric acid from its make-up. Called by the planner for buoyancy, heat and the bath's weight.
 * Laliberté, J. Chem. Eng. Data 2009, 54, 1725; its coefficients as printed in the open library `chemicals`, the formula from memory.
 */

interface Solute {
  readonly name: string;
  readonly c: readonly [number, number, number, number, number];
  readonly massFractionMax: number;
}

/** Up to 75 °C. */
const sulphuricAcid: Solute = {
  name: 'sulphuric acid',
  c: [70.8395152, 142.352694, 0.687794596, 0.00649299683, 1667.23865],
  massFractionMax: 0.78,
};
/** 10 to 60 °C, without its water. */
const copperSulphate: Solute = {
  name: 'copper sulphate',
  c: [-1.12078294e-6, 6.06850591e-7, -0.118863232, 0.00378050076, 4763.96074],
  massFractionMax: 0.284,
};
/** CuSO4 159.609 of CuSO4·5H2O 249.685 g/mol. */
const anhydrousShare = 159.609 / 249.685;

/** Water, kg/m³: Kell 1975, from memory; 998.204 at 20 and 997.045 at 25 °C. */
export function waterDensityKgPerM3(celsius: number): number {
  const t = celsius;
  const numerator =
    999.83952 +
    16.945176 * t -
    7.9870401e-3 * t ** 2 -
    46.170461e-6 * t ** 3 +
    105.56302e-9 * t ** 4 -
    280.54253e-12 * t ** 5;
  return numerator / (1 + 16.87985e-3 * t);
}

/** Apparent volume of a gram of solute in m³/kg. */
function apparentVolume({ c: [c0, c1, c2, c3, c4] }: Solute, soluteFraction: number, celsius: number): number {
  return (soluteFraction + c2 + c3 * celsius) / ((c0 * soluteFraction + c1) * Math.exp(1e-6 * (celsius + c4) ** 2));
}

/**
 * Density in kg/m³ from mass fractions (copper sulphate without its water) at a temperature of 10 to 60 °C.
 *
 * Example: `solutionDensityKgPerM3({ copperSulphate: 0.1, sulphuricAcid: 0 }, 20)` is 1107.5.
 */
export function solutionDensityKgPerM3(
  fractions: { readonly copperSulphate: number; readonly sulphuricAcid: number },
  celsius: number,
): number {
  const solutes = [
    [copperSulphate, fractions.copperSulphate],
    [sulphuricAcid, fractions.sulphuricAcid],
  ] as const;
  for (const [solute, fraction] of solutes) {
    if (!(fraction >= 0 && fraction <= solute.massFractionMax)) {
      throw new RangeError(
        `The share of ${solute.name} is ${String(fraction)}; expected 0 to ${String(solute.massFractionMax)}. Check the make-up.`,
      );
    }
  }
  const together = fractions.copperSulphate + fractions.sulphuricAcid;
  let specificVolume = (1 - together) / waterDensityKgPerM3(celsius);
  for (const [solute, fraction] of solutes) {
    if (fraction > 0) specificVolume += fraction * apparentVolume(solute, together, celsius);
  }
  return 1 / specificVolume;
}

/**
 * Density of a bath made up with so many grams of pentahydrate and acid in a litre of bath. Solved by iteration, since a fraction of the mass needs the mass.
 *
 * Example: `copperBathDensityKgPerM3(200, 60, 20)` is 1159.8.
 */
export function copperBathDensityKgPerM3(
  pentahydrateGramsPerLitre: number,
  acidGramsPerLitre: number,
  celsius: number,
): number {
  let densityKgPerM3 = 1100;
  for (let round = 0; round < 20; round++) {
    densityKgPerM3 = solutionDensityKgPerM3(
      {
        copperSulphate: (pentahydrateGramsPerLitre * anhydrousShare) / densityKgPerM3,
        sulphuricAcid: acidGramsPerLitre / densityKgPerM3,
      },
      celsius,
    );
  }
  return densityKgPerM3;
}
