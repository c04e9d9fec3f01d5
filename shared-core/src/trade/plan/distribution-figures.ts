/*
 * The thin place and the edge beside the average: three different numbers. Called by plan.ts. Simple measures of the worst part in the bath, so they
 * say which way and roughly how much; a solution of the field will take their place (part/deposit-distribution.ts).
 */
import {
  averageToRecess,
  edgeToAverage,
  middleToAverage,
  tafelSlopeOhmM2,
  wagnerNumber,
} from '../bath-physics/distribution.js';
import {
  diffusionLayerMicrometres,
  diffusivityM2PerSecond,
  limitingDensityAmpsPerDm2,
  stillPlateDensityAmpsPerDm2,
  turningDensityAmpsPerDm2,
} from '../bath-physics/limiting-current.js';
import { type Figure, given, type Given, input, inputOf } from '../figure.js';
import type { DepositFigures } from './deposit-figures.js';
import type { PlanBasis } from './plan-basis.js';

export interface DistributionFigures {
  readonly thinPlaceMicrometres: Figure;
  readonly edgeMicrometres: Figure;
  readonly wagnerNumber: Figure;
  /** Not there where no source gives what it needs. */
  readonly limitingDensityAmpsPerDm2?: Figure;
}

const squareEdgeDegrees = 90;
/** How far off these estimates may be. Our own guess, no source. */
const estimateSpread = 1.4;

export function distributionFigures(basis: PlanBasis, deposit: DepositFigures): DistributionFigures {
  const { request } = basis;
  const parts = request.parts;
  const bends = parts.map((part) => part.edgeBendDegrees);
  const bendDegrees = given(
    bends.every((bend) => bend !== undefined) ? Math.max(...bends) : undefined,
    squareEdgeDegrees,
  );
  const shares = parts.map((part) => part.openShare);
  // What is not known of one part is taken as open: the estimate then says nothing of its recesses.
  const openShare = given(shares.every((share) => share !== undefined) ? Math.min(...shares) : undefined, 1);
  const longestMm = parts.map((part) => part.longestMm);
  // A ball of the same area has the diameter √(area / π).
  const largestDm2 = Math.max(...parts.map((part) => part.areaDm2));
  const lengthMm = given(
    longestMm.every((length) => length !== undefined) ? Math.max(...longestMm) / 2 : undefined,
    (Math.sqrt(largestDm2 / Math.PI) / 2) * 100,
  );

  const celsius = basis.bathCelsius.value;
  const slope = tafelSlopeOhmM2(deposit.setPointDensityAmpsPerDm2.value * 100, celsius);
  const wagner: Figure = {
    label: 'Wagner number',
    value: wagnerNumber(basis.siemensPerMetre, slope, lengthMm.value / 1000),
    unit: '1',
    formula: 'conductivity × slope of the cathode’s voltage ÷ half the length of the part',
    inputs: [
      input('Conductivity at 25 °C', basis.conductivityAt25, 'S/m'),
      input('Bath', basis.bathCelsius, '°C'),
      input('Slope of the cathode’s voltage, RT ÷ (α F i), α 0.5', slope, 'Ω·m²'),
      input('Half the length of the part', lengthMm, 'mm'),
    ],
    source: 'Wagner 1951, from memory. Well above 1 the deposit is even, well below geometry rules',
  };

  const average = deposit.averageThicknessMicrometres;
  const edgeMicrometres = average.value * edgeToAverage(wagner.value, bendDegrees.value);
  const recess = 1 / averageToRecess(openShare.value);
  const middle = middleToAverage(wagner.value, bendDegrees.value);
  const thinMicrometres = average.value * Math.min(recess, middle);
  const spread = (value: number, least: number, most: number) => ({
    low: Math.max(least, value / estimateSpread),
    high: Math.min(most, value * estimateSpread),
    because: 'our own estimate, no source: the places are told by geometry, the amount is rough',
  });
  const limit = limitFigure(basis, lengthMm);
  return {
    thinPlaceMicrometres: {
      label: 'Thin place',
      value: thinMicrometres,
      unit: 'µm',
      uncertainty: spread(thinMicrometres, 0, average.value),
      formula:
        recess < middle
          ? 'average thickness ÷ what a place that sees so little of the bath lacks'
          : 'average thickness × what the middle of a face has of it',
      inputs: [
        inputOf(average),
        input('Directions that the least open places see', { ...openShare, value: 100 * openShare.value }, '%'),
        input('Bend of the sharpest edges in degrees', bendDegrees, '1'),
        inputOf(wagner),
      ],
      source: 'ASTM B508 for recesses (nickel, a re-hosted copy); Newman 1966 for faces, fitted within 1 %',
    },
    edgeMicrometres: {
      label: 'At edges',
      value: edgeMicrometres,
      unit: 'µm',
      uncertainty: spread(edgeMicrometres, average.value, Infinity),
      formula: 'average thickness × (1 + 0.41 ÷ Wagner number) ^ (1 − 180 ÷ (180 + bend in degrees))',
      inputs: [inputOf(average), inputOf(wagner), input('Bend of the sharpest edges in degrees', bendDegrees, '1')],
      source:
        'Newman 1966 for a disk, fitted within 2 %; exponent of a wedge exact; the constant elsewhere our own estimate',
    },
    wagnerNumber: wagner,
    ...(limit === undefined ? {} : { limitingDensityAmpsPerDm2: limit }),
  };
}

function limitFigure(basis: PlanBasis, lengthMm: Given): Figure | undefined {
  const { profile, agitation, bathCelsius } = basis;
  const { ion } = profile;
  if (ion === undefined) return undefined;
  const moved = {
    diffusivityM2PerSecond: diffusivityM2PerSecond(ion, bathCelsius.value),
    molesPerCubicMetre: ion.molesPerCubicMetre,
    electronsPerIon: profile.metal.electronsPerIon,
  };
  const isStill = agitation === 'still';
  // A part that turns in a still bath stirs it, with one pulse a turn; whichever brings more counts.
  const turns = basis.request.rotationPulsesPerMinute ?? 0;
  const value = isStill
    ? Math.max(
        stillPlateDensityAmpsPerDm2(moved, (2 * lengthMm.value) / 1000),
        turns > 0 ? turningDensityAmpsPerDm2(moved, (2 * lengthMm.value) / 1000, turns) : 0,
      )
    : limitingDensityAmpsPerDm2(
        moved.diffusivityM2PerSecond,
        moved.molesPerCubicMetre,
        diffusionLayerMicrometres[agitation],
        moved.electronsPerIon,
      );
  return {
    label: `Limiting current density, bath ${agitation}`,
    value,
    unit: 'A/dm²',
    uncertainty: {
      low: value * 0.7,
      high: value * 1.3,
      because: 'correlations for moving liquids are good to 20 to 30 %',
    },
    formula: isStill
      ? 'what rises by itself at an upright plate as long as the part, or what its turning brings, if that is more'
      : 'electrons × F × diffusivity × metal in the bath ÷ diffusion layer',
    inputs: [
      input('Metal in the bath, mol/m³', ion.molesPerCubicMetre, '1'),
      ...(isStill
        ? [input('Half the length of the part', lengthMm, 'mm')]
        : [input('Diffusion layer', diffusionLayerMicrometres[agitation], 'µm')]),
      input('Bath', bathCelsius, '°C'),
    ],
    source: isStill
      ? `Wilke, Eisenberg and Tobias 1953 and Eisenberg, Tobias and Wilke 1954, from memory; ${ion.source}`
      : ion.source,
  };
}
