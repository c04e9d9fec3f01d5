/*
 * The tank with the parts in it: volume, level, floating and ballast. Called by plan.ts; what nobody measured is left out rather than guessed.
 */
import { ballastGrams, submergedWeightNewtons } from '../part-in-bath/buoyancy.js';
import { type Figure, given, input, inputOf } from '../figure.js';
import type { PlanBasis } from './plan-basis.js';

export interface TankFigures {
  readonly bathLitres?: Figure;
  readonly bathKilograms?: Figure;
  readonly levelRiseMm?: Figure;
  readonly freeboardMm?: Figure;
  readonly submergedWeightNewtons?: Figure;
  readonly ballastGrams?: Figure;
}

/** PLA, from memory. */
const usualPrintGramsPerCm3 = 1.24;
/** Stainless steel, from memory. Lead (11.3) only where no liquid reaches it. */
const usualBallastGramsPerCm3 = 7.9;
/** What keeps a part straight on its lead: our own practice, no source. */
const leastWeightNewtons = 1;
/** A print with a sealed, sparse filling. */
const sparseShare = 0.2;

export function tankFigures(basis: PlanBasis): TankFigures {
  return { ...liquidFigures(basis), ...weightFigures(basis) };
}

/** Volume of the liquid in litres, where it is known. */
export function bathLitresOf(basis: PlanBasis): number | undefined {
  const { lengthMm, widthMm, fillMm, litres } = basis.request.tank ?? {};
  if (litres !== undefined) return litres;
  if (lengthMm === undefined || widthMm === undefined || fillMm === undefined) return undefined;
  return (lengthMm * widthMm * fillMm) / 1e6;
}

function liquidFigures(basis: PlanBasis): TankFigures {
  const { lengthMm, widthMm, heightMm, fillMm, litres } = basis.request.tank ?? {};
  const bathLitresValue = bathLitresOf(basis);
  if (bathLitresValue === undefined) return {};
  const sides =
    lengthMm === undefined || widthMm === undefined
      ? []
      : [input('Length of the tank', lengthMm, 'mm'), input('Width of the tank', widthMm, 'mm')];
  const bathLitres: Figure = {
    label: 'Bath',
    value: bathLitresValue,
    unit: 'L',
    formula: litres === undefined ? 'length × width × fill' : 'as asked for',
    inputs: litres === undefined && fillMm !== undefined ? [...sides, input('Fill', fillMm, 'mm')] : [],
    source: 'arithmetic',
  };
  const density = input('Density of the bath', { value: basis.profile.densityKgPerM3.usual, isAssumed: true }, 'kg/m³');
  const bathKilograms: Figure = {
    label: 'The liquid weighs',
    value: (bathLitresValue * density.value) / 1000,
    unit: 'kg',
    formula: 'bath × density',
    inputs: [inputOf(bathLitres), density],
    source: basis.profile.densityKgPerM3.source,
  };
  if (lengthMm === undefined || widthMm === undefined || basis.displacedCm3 === undefined) {
    return { bathLitres, bathKilograms };
  }
  const levelRiseMm: Figure = {
    label: 'The level rises with the parts in',
    value: (basis.displacedCm3 * 1000) / (lengthMm * widthMm),
    unit: 'mm',
    formula: 'volume of the parts ÷ (length × width)',
    inputs: [input('Volume of the parts', basis.displacedCm3, 'cm³'), ...sides],
    source: 'arithmetic; anodes and ballast come on top',
  };
  if (heightMm === undefined || fillMm === undefined) return { bathLitres, bathKilograms, levelRiseMm };
  return {
    bathLitres,
    bathKilograms,
    levelRiseMm,
    freeboardMm: {
      label: 'Left to the rim',
      value: heightMm - fillMm - levelRiseMm.value,
      unit: 'mm',
      formula: 'height − fill − rise of the level',
      inputs: [input('Height of the tank', heightMm, 'mm'), input('Fill', fillMm, 'mm'), inputOf(levelRiseMm)],
      source: 'arithmetic',
    },
  };
}

/** The piece that floats most, since one ballast does not serve another. */
function weightFigures(basis: PlanBasis): TankFigures {
  const { parts, paint, weight = {} } = basis.request;
  // A part that is metal already is no print: its weight is told or not known.
  if (paint?.dryMicrometres === 0 && weight.massGramsEach === undefined && weight.printGramsPerCm3 === undefined)
    return {};
  const bathGramsPerCm3 = basis.profile.densityKgPerM3.usual / 1000;
  const print = given(weight.printGramsPerCm3, usualPrintGramsPerCm3);
  const filled = given(weight.filledShare, 1);
  const isWeighed = weight.massGramsEach !== undefined;
  const pieces = parts.flatMap(({ name, volumeCm3, displacedCm3 = volumeCm3 }) => {
    if (volumeCm3 === undefined || volumeCm3 <= 0) return [];
    const newtonsFilled = (share: number): number =>
      submergedWeightNewtons(
        weight.massGramsEach ?? volumeCm3 * print.value * share,
        displacedCm3 ?? volumeCm3,
        bathGramsPerCm3,
      );
    return [
      {
        name,
        volumeCm3,
        displacedCm3: displacedCm3 ?? volumeCm3,
        newtons: newtonsFilled(filled.value),
        sparse: newtonsFilled(sparseShare),
      },
    ];
  });
  if (pieces.length === 0) return {};
  const lightest = pieces.reduce((one, other) => (other.newtons < one.newtons ? other : one));
  const weightNewtons: Figure = {
    label: `${lightest.name} weighs in the bath${lightest.newtons < 0 ? ' (it floats)' : ''}`,
    value: lightest.newtons,
    unit: 'N',
    ...(isWeighed || !filled.isAssumed
      ? {}
      : {
          uncertainty: {
            low: lightest.sparse,
            high: lightest.newtons,
            because: 'printed solid as the model is, or with a sealed filling of a fifth: weigh it',
          },
        }),
    formula: '(mass − volume that it pushes aside × density of the bath) × 9.80665 m/s²',
    inputs: [
      ...(weight.massGramsEach === undefined
        ? [
            input('Density of the print', print, 'g/cm³'),
            input('Filled', { ...filled, value: 100 * filled.value }, '%'),
          ]
        : [input('Mass of one piece', weight.massGramsEach, 'g')]),
      input('Volume of one piece', lightest.volumeCm3, 'cm³'),
      input('Volume that it pushes aside', lightest.displacedCm3, 'cm³'),
      input('Density of the bath', { value: bathGramsPerCm3, isAssumed: true }, 'g/cm³'),
    ],
    source: 'Archimedes; density of PLA from memory. The deposit makes it heavier as it grows',
  };
  const ballast = given(weight.ballastGramsPerCm3, usualBallastGramsPerCm3);
  const grams = (newtons: number): number => ballastGrams(newtons, leastWeightNewtons, ballast.value, bathGramsPerCm3);
  return {
    submergedWeightNewtons: weightNewtons,
    ballastGrams: {
      label: 'Ballast for each piece',
      value: grams(lightest.newtons),
      unit: 'g',
      ...(weightNewtons.uncertainty === undefined
        ? {}
        : {
            uncertainty: {
              low: grams(lightest.newtons),
              high: grams(lightest.sparse),
              because: weightNewtons.uncertainty.because,
            },
          }),
      formula: '(1 N − weight in the bath) ÷ 9.80665 m/s² ÷ (1 − density of the bath ÷ density of the ballast)',
      inputs: [inputOf(weightNewtons), input('Density of the ballast', ballast, 'g/cm³')],
      source: 'Archimedes; 1 N to hang straight is our own practice',
    },
  };
}
