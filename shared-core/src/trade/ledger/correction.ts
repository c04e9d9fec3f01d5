/*
 * What brings a bath back to what was aimed at: solution drawn off and replaced by water where something is too high, salt, acid and chloride added where
 * something is too low, with what the additions do to the volume and to each other. Called by the bath's page. It corrects only what is asked.
 */
import { copperBathDensityKgPerM3 } from '../bath-physics/solution-density.js';
import { type BoughtAcid, boughtMillilitres } from './bought-acid.js';
import { type Composition, type Analyte, analyteKeys } from './analytes.js';
import { chlorideGramsPerMole, sodiumChlorideGramsPerMole } from './molar-masses.js';

export interface CorrectionAsked {
  readonly litres: number;
  readonly found: Composition;
  readonly aimedAt: Composition;
  /** What is to be brought to its aim; the others follow the volume. */
  readonly of: readonly Analyte[];
  readonly saltPurityShare: number;
  readonly acid: BoughtAcid;
}

export interface Correction {
  /** To be drawn off and replaced by as much water, first. 0: nothing is too high. */
  readonly replacedLitres: number;
  readonly saltGrams: number;
  readonly acidMillilitres: number;
  readonly sodiumChlorideGrams: number;
  /** Afterwards. */
  readonly litres: number;
  readonly composition: Composition;
}

const AT_CELSIUS = 20;
const densityKgPerLitre = (composition: Composition): number =>
  copperBathDensityKgPerM3(composition['copper-sulphate'], composition['sulphuric-acid'], AT_CELSIUS) / 1000;

/**
 * Drawing off x of V litres and filling up with water leaves (1 − x / V) of everything. Example: `replacedByWaterLitres(60, 80, 60)` is 15.
 */
export function replacedByWaterLitres(litres: number, found: number, aimedAt: number): number {
  return found > aimedAt ? litres * (1 - aimedAt / found) : 0;
}

/**
 * First the solution to be replaced by water, by whatever is highest above its aim; then what is to be added. The volume afterwards is the mass of the bath and the
 * additions over the density of what comes of it (Laliberté 2009), found by iteration, since the amounts need the volume and the volume the amounts.
 *
 * Example: 60 L with 170 g/L salt to 200: 1.95 kg, and the bath stands at 60.8 L.
 */
export function correction(asked: CorrectionAsked): Correction {
  const { found, aimedAt, of, saltPurityShare, acid } = asked;
  const replacedLitres = Math.max(0, ...of.map((key) => replacedByWaterLitres(asked.litres, found[key], aimedAt[key])));
  const left = 1 - replacedLitres / asked.litres;
  const diluted = mapped((key) => found[key] * left);
  const held = mapped((key) => diluted[key] * asked.litres);
  const kilogramsBefore = asked.litres * densityKgPerLitre(diluted);

  let litres = asked.litres;
  let after = diluted;
  let saltGrams = 0;
  let acidGrams = 0;
  for (let round = 0; round < 30; round++) {
    const missing = mapped((key) => (of.includes(key) ? Math.max(0, aimedAt[key] * litres - held[key]) : 0));
    saltGrams = missing['copper-sulphate'] / saltPurityShare;
    acidGrams = missing['sulphuric-acid'] / acid.strengthShare;
    after = mapped((key) => (held[key] + missing[key]) / litres);
    litres = (kilogramsBefore + (saltGrams + acidGrams) / 1000) / densityKgPerLitre(after);
  }
  const chlorideGrams = Math.max(0, after.chloride * litres - held.chloride) / 1000;
  return {
    replacedLitres,
    saltGrams,
    acidMillilitres: boughtMillilitres(acidGrams * acid.strengthShare, acid),
    sodiumChlorideGrams: of.includes('chloride')
      ? (chlorideGrams / chlorideGramsPerMole) * sodiumChlorideGramsPerMole
      : 0,
    litres,
    composition: after,
  };
}

function mapped(of: (key: Analyte) => number): Composition {
  return Object.fromEntries(analyteKeys.map((key) => [key, of(key)])) as unknown as Composition;
}
