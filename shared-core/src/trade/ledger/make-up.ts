/*
 * The masses and volumes that make up a bath: salt, acid as bought, chloride, brightener, water. Called by the form that makes up a bath and by the server that
 * writes it down. The order of mixing is not its business: acid goes into water, and the safety data sheets say the rest.
 */
import { copperBathDensityKgPerM3, waterDensityKgPerM3 } from '../bath-physics/solution-density.js';
import { type BoughtAcid, boughtMillilitres } from './bought-acid.js';
import type { Composition } from './analytes.js';
import { chlorideGramsPerMole, hydrogenChlorideGramsPerMole, sodiumChlorideGramsPerMole } from './molar-masses.js';

export interface MakeUpAsked {
  readonly litres: number;
  readonly composition: Composition;
  /** Share of the salt's mass that is CuSO4·5H2O. */
  readonly saltPurityShare: number;
  readonly acid: BoughtAcid;
  /** Where the chloride comes from; undefined: from cooking salt without additives, weighed as NaCl. */
  readonly hydrochloric?: BoughtAcid | undefined;
  /** What the brightener's supplier asks for a fresh bath; undefined: none. There is no usual figure. */
  readonly brightenerMillilitresPerLitre?: number | undefined;
}

export interface MakeUp {
  readonly saltGrams: number;
  readonly acidMillilitres: number;
  /** One of the two. */
  readonly sodiumChlorideGrams: number;
  readonly hydrochloricMillilitres: number;
  readonly brightenerMillilitres: number;
  /** To begin with about two thirds of it and to end with filling up to the mark: the figure is as good as the density. */
  readonly waterLitres: number;
  readonly bathKilograms: number;
}

const MIXED_AT_CELSIUS = 20;

/**
 * What goes into the tank. Water is what is missing to the mass of the finished bath: litres × its density (Laliberté 2009, solution-density.ts), less salt and acid.
 * The chloride's and the brightener's own mass is left out: thousandths.
 *
 * Example: 60 L of 200 g/L salt, 60 g/L acid, 60 mg/L chloride, from pure salt and 96 % acid: 12.0 kg, 2.04 L, 5.9 g of NaCl, 53.9 L of water.
 */
export function makeUp(asked: MakeUpAsked): MakeUp {
  const { litres, composition, saltPurityShare, acid, hydrochloric } = asked;
  const saltGrams = (litres * composition['copper-sulphate']) / saltPurityShare;
  const acidGrams = litres * composition['sulphuric-acid'];
  const acidMillilitres = boughtMillilitres(acidGrams, acid);
  const chlorideMoles = (litres * composition.chloride) / 1000 / chlorideGramsPerMole;
  const densityKgPerM3 = copperBathDensityKgPerM3(
    composition['copper-sulphate'],
    composition['sulphuric-acid'],
    MIXED_AT_CELSIUS,
  );
  const bathKilograms = (litres * densityKgPerM3) / 1000;
  const waterKilograms = bathKilograms - saltGrams / 1000 - acidGrams / acid.strengthShare / 1000;
  return {
    saltGrams,
    acidMillilitres,
    sodiumChlorideGrams: hydrochloric === undefined ? chlorideMoles * sodiumChlorideGramsPerMole : 0,
    hydrochloricMillilitres:
      hydrochloric === undefined ? 0 : boughtMillilitres(chlorideMoles * hydrogenChlorideGramsPerMole, hydrochloric),
    brightenerMillilitres: litres * (asked.brightenerMillilitresPerLitre ?? 0),
    waterLitres: (waterKilograms / waterDensityKgPerM3(MIXED_AT_CELSIUS)) * 1000,
    bathKilograms,
  };
}
