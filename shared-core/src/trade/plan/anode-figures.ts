/*
 * Anodes: how much area, how many, at what density, and what dissolves. Called by plan.ts. Counts only what faces the part.
 */
import { type Figure, given, input, inputOf } from '../figure.js';
import { depositGramsPerAmpereHour } from '../faraday.js';
import { copper } from '../metals.js';
import type { DepositFigures } from './deposit-figures.js';
import type { PlanBasis } from './plan-basis.js';

export interface AnodeFigures {
  readonly anodeAreaDm2: Figure;
  readonly anodeCount: Figure;
  readonly anodeDensityAmpsPerDm2: Figure;
  readonly anodeDissolvedGrams: Figure;
  readonly anodeDissolvedGramsEach: Figure;
}

/** 10 × 20 cm in the liquid. Common practice, no source. */
const usualFaceDm2 = 2;
/** One on each side of the part. */
const fewestAnodes = 2;

export function anodeFigures(basis: PlanBasis, deposit: DepositFigures): AnodeFigures {
  const { profile } = basis;
  const asked = basis.request.anodes ?? {};
  const amps = deposit.setPointAmps.value;
  const range = profile.anodeDensityAmpsPerDm2;
  const ratio = given(asked.areaRatio, profile.anodeAreaRatio.usual);
  const byRatioDm2 = ratio.value * basis.areaDm2;
  const wantedDm2 = ratio.isAssumed ? Math.min(amps / range.min, Math.max(amps / range.max, byRatioDm2)) : byRatioDm2;
  // A small part takes small anodes; where nobody says how large they are, they share the area that is wanted.
  const usualCount = Math.max(fewestAnodes, Math.ceil(wantedDm2 / usualFaceDm2 - 1e-9));
  const faceDm2 = given(asked.faceDm2Each, Math.min(usualFaceDm2, wantedDm2 / (asked.count ?? usualCount)));
  const count = asked.count ?? Math.max(fewestAnodes, Math.ceil(wantedDm2 / faceDm2.value - 1e-9));

  const anodeAreaDm2: Figure = {
    label: 'Anode area that the current wants',
    value: wantedDm2,
    unit: 'dm²',
    formula: ratio.isAssumed
      ? 'usual ratio × plated area, within the usual anode current densities'
      : 'ratio asked for × plated area',
    inputs: [
      input('Anode area over part area', ratio, '1'),
      inputOf(deposit.areaDm2),
      inputOf(deposit.setPointAmps),
      input('Least usual anode density', range.min, 'A/dm²'),
      input('Largest usual anode density', range.max, 'A/dm²'),
    ],
    source: `ratio: ${profile.anodeAreaRatio.source}; density: ${range.source}`,
  };
  const anodeCount: Figure = {
    label: 'Anodes',
    value: count,
    unit: '1',
    formula: asked.count === undefined ? 'anode area ÷ face of one, rounded up, two at least' : 'as they hang',
    inputs: [inputOf(anodeAreaDm2), input('Face of one anode in the liquid', faceDm2, 'dm²')],
    source: `${profile.anodes}`,
  };
  const dissolvedGrams: Figure = {
    label: 'Metal that the anodes lose',
    value: deposit.chargeAmpereHours.value * depositGramsPerAmpereHour(profile.metal),
    unit: 'g',
    formula: 'charge × metal for an ampere-hour, anodes at 100 %',
    inputs: [
      inputOf(deposit.chargeAmpereHours),
      input('Metal for an ampere-hour at 100 %', depositGramsPerAmpereHour(profile.metal), 'g/Ah'),
    ],
    source:
      profile.metal === copper
        ? 'Faraday’s law; acid copper anodes about 100 %: Metal Finishing Guidebook 2011-12, p. 206'
        : `Faraday’s law; that ${profile.metal.name} anodes dissolve at 100 % is from memory`,
  };
  return {
    anodeAreaDm2,
    anodeCount,
    anodeDensityAmpsPerDm2: {
      label: 'Anode current density',
      value: amps / (count * faceDm2.value),
      unit: 'A/dm²',
      formula: 'set-point ÷ (anodes × face of one)',
      inputs: [
        inputOf(deposit.setPointAmps),
        inputOf(anodeCount),
        input('Face of one anode in the liquid', faceDm2, 'dm²'),
      ],
      source: 'arithmetic',
    },
    anodeDissolvedGrams: dissolvedGrams,
    anodeDissolvedGramsEach: {
      label: 'From each anode',
      value: dissolvedGrams.value / count,
      unit: 'g',
      formula: 'metal that the anodes lose ÷ anodes',
      inputs: [inputOf(dissolvedGrams), inputOf(anodeCount)],
      source: 'arithmetic; the nearest anodes lose more',
    },
  };
}
