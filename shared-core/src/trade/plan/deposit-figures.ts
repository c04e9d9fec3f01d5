/*
 * Current, charge, time, thickness and mass: the heart of the plan, all by Faraday's law. Called by plan.ts before everything else.
 * The thickness here is the average; thin places and edges are other numbers (distribution-figures.ts).
 */
import { type Figure, input, inputOf } from '../figure.js';
import {
  chargeAmpereHoursForThickness,
  depositGramsPerAmpereHour,
  depositMassGrams,
  depositThicknessMicrometres,
} from '../faraday.js';
import { plannedNight, type NightPoint, secondsToFinish } from '../planned-night.js';
import { recipeDefaults } from '../recipe-defaults.js';
import { isPainted, type PlanBasis } from './plan-basis.js';

export interface DepositFigures {
  readonly areaDm2: Figure;
  readonly wantedAmps: Figure;
  readonly setPointAmps: Figure;
  readonly setPointDensityAmpsPerDm2: Figure;
  readonly chargeAmpereHours: Figure;
  readonly plateHours: Figure;
  readonly strikeAmps: Figure;
  readonly runHours: Figure;
  readonly averageThicknessMicrometres: Figure;
  readonly growthMicrometresPerHour: Figure;
  readonly depositMassGrams: Figure;
  readonly depositMassGramsEach: Figure;
}

const faraday = 'Faraday’s law; F = 96485.33212 C/mol (SI 2019)';
const arithmetic = 'arithmetic';

/** With the corners of the night that they stand on, empty where it never reaches its charge. */
export function depositFigures(basis: PlanBasis): { readonly figures: DepositFigures; readonly night: NightPoint[] } {
  const { request, profile, pieces } = basis;
  const { metal } = profile;
  const efficiency = basis.cathodeEfficiency.value;

  const areaDm2: Figure = {
    label: pieces === 1 ? 'Plated area' : `Plated area of ${String(pieces)} pieces`,
    value: basis.areaDm2,
    unit: 'dm²',
    formula: 'area of one piece × pieces, summed over the parts',
    inputs: request.parts.flatMap((part) => [
      input(`${part.name}: area of one piece, ${part.areaFrom ?? 'as given'}`, part.areaDm2, 'dm²'),
      input(`${part.name}: pieces`, part.pieces, '1'),
    ]),
    source: arithmetic,
  };
  const wantedAmps: Figure = {
    label: 'Current that the parts want',
    value: request.currentAmps ?? basis.densityAmpsPerDm2.value * basis.areaDm2,
    unit: 'A',
    formula: request.currentAmps === undefined ? 'current density × plated area' : 'as asked for',
    inputs: [input('Current density', basis.densityAmpsPerDm2, 'A/dm²'), inputOf(areaDm2)],
    source: basis.densityAmpsPerDm2.isAssumed
      ? `usual density of the bath: ${profile.cathodeDensityAmpsPerDm2.source}`
      : arithmetic,
  };
  const supplyAmpsMax = request.supplyAmpsMax;
  const setPointAmps: Figure = {
    label: 'Set-point',
    value: Math.min(wantedAmps.value, supplyAmpsMax ?? Infinity),
    unit: 'A',
    formula: 'what the parts want, at most what the supply can give',
    inputs: [
      inputOf(wantedAmps),
      ...(supplyAmpsMax === undefined ? [] : [input('Largest current of the supply', supplyAmpsMax, 'A')]),
    ],
    source: arithmetic,
  };
  const setPointDensityAmpsPerDm2: Figure = {
    label: 'Current density at the set-point',
    value: setPointAmps.value / basis.areaDm2,
    unit: 'A/dm²',
    formula: 'set-point ÷ plated area',
    inputs: [inputOf(setPointAmps), inputOf(areaDm2)],
    source: arithmetic,
  };

  const chargeAmpereHours = chargeFigure(basis, areaDm2, wantedAmps);
  const averageMicrometres = depositThicknessMicrometres(chargeAmpereHours.value, basis.areaDm2, metal, efficiency);
  const efficiencySpread = {
    low: Math.min(1, profile.cathodeEfficiency.min / efficiency),
    high: Math.max(1, profile.cathodeEfficiency.max / efficiency),
    because: `cathode efficiency of ${String(100 * profile.cathodeEfficiency.min)} to ${String(100 * profile.cathodeEfficiency.max)} %`,
  };
  const spreadOf = (value: number) => ({
    low: value * efficiencySpread.low,
    high: value * efficiencySpread.high,
    because: efficiencySpread.because,
  });
  const equivalent = input('Metal for an ampere-hour at 100 %', depositGramsPerAmpereHour(metal), 'g/Ah');
  const cathodeEfficiency = input('Cathode efficiency', { ...basis.cathodeEfficiency, value: 100 * efficiency }, '%');
  const averageThicknessMicrometres: Figure = {
    label: 'Average thickness',
    value: averageMicrometres,
    unit: 'µm',
    uncertainty: spreadOf(averageMicrometres),
    formula: 'charge × metal for an ampere-hour × efficiency ÷ (density of the metal × area)',
    inputs: [
      inputOf(chargeAmpereHours),
      equivalent,
      cathodeEfficiency,
      input(`Density of ${metal.name}`, metal.densityGramsPerCm3, 'g/cm³'),
      inputOf(areaDm2),
    ],
    source: `${faraday}; density from memory. No average can be above it`,
  };
  const plateHours: Figure = {
    label: 'Plate time',
    value: chargeAmpereHours.value / setPointAmps.value,
    unit: 'h',
    formula: 'charge ÷ set-point',
    inputs: [inputOf(chargeAmpereHours), inputOf(setPointAmps)],
    source: arithmetic,
  };
  const massGrams = depositMassGrams(chargeAmpereHours.value, metal, efficiency);
  const depositMass: Figure = {
    label: 'Deposit',
    value: massGrams,
    unit: 'g',
    uncertainty: spreadOf(massGrams),
    formula: 'charge × metal for an ampere-hour × efficiency',
    inputs: [inputOf(chargeAmpereHours), equivalent, cathodeEfficiency],
    source: faraday,
  };

  const strikeAmps = Math.min(setPointAmps.value, basis.strikeDensityAmpsPerDm2.value * basis.areaDm2);
  const night = plannedNight({
    strikeAmps,
    strikeSeconds: 60 * basis.strikeMinutes.value,
    rampSeconds: 60 * basis.rampMinutes.value,
    plateAmps: setPointAmps.value,
    chargeMilliCoulombs: 3.6e6 * chargeAmpereHours.value,
    finishAmps: Math.min(setPointAmps.value, recipeDefaults.finishDensityAmpsPerDm2 * basis.areaDm2),
    finishSeconds: 60 * recipeDefaults.finishMinutes,
  });
  return {
    night,
    figures: {
      areaDm2,
      wantedAmps,
      setPointAmps,
      setPointDensityAmpsPerDm2,
      chargeAmpereHours,
      plateHours,
      strikeAmps: {
        label: isPainted(request) ? 'Strike, the first current on the paint' : 'Strike, the first current on the metal',
        value: strikeAmps,
        unit: 'A',
        formula: 'strike density × plated area, at most the set-point',
        inputs: [
          input('Strike density', basis.strikeDensityAmpsPerDm2, 'A/dm²'),
          inputOf(areaDm2),
          inputOf(setPointAmps),
        ],
        source: profile.strikeDensityAmpsPerDm2.source,
      },
      runHours: {
        label: 'From the start to the charge, with strike and ramp',
        value: secondsToFinish(night) / 3600,
        unit: 'h',
        formula: 'strike, then a straight climb to the set-point, then the rest of the charge at it',
        inputs: [
          input('Strike', strikeAmps, 'A'),
          input('Strike', basis.strikeMinutes, 'min'),
          input('Ramp', basis.rampMinutes, 'min'),
          inputOf(setPointAmps),
          inputOf(chargeAmpereHours),
        ],
        source: 'arithmetic; the controller’s ramp waits for its cell, and then it takes longer',
      },
      averageThicknessMicrometres,
      growthMicrometresPerHour: {
        label: 'Growth at the set-point',
        value: averageMicrometres / plateHours.value,
        unit: 'µm/h',
        formula: 'average thickness ÷ plate time',
        inputs: [inputOf(averageThicknessMicrometres), inputOf(plateHours)],
        source: arithmetic,
      },
      depositMassGrams: depositMass,
      depositMassGramsEach: {
        label: request.parts.length === 1 ? 'Deposit on each piece' : 'Deposit on a piece of mean area',
        value: massGrams / pieces,
        unit: 'g',
        formula: 'deposit ÷ pieces',
        inputs: [inputOf(depositMass), input('Pieces', pieces, '1')],
        source: arithmetic,
      },
    },
  };
}

/** By thickness, charge or time, whichever was asked. A time is counted at the current that the parts want: a smaller supply takes longer for the same. */
function chargeFigure(basis: PlanBasis, areaDm2: Figure, wantedAmps: Figure): Figure {
  const { request, profile, cathodeEfficiency } = basis;
  const label = 'Charge';
  const unit = 'Ah';
  if (request.averageThicknessMicrometres !== undefined) {
    const target = request.averageThicknessMicrometres;
    return {
      label,
      unit,
      value: chargeAmpereHoursForThickness(target, basis.areaDm2, profile.metal, cathodeEfficiency.value),
      formula: 'thickness × area × density of the metal ÷ (metal for an ampere-hour × efficiency)',
      inputs: [
        input('Average thickness wanted', target, 'µm'),
        inputOf(areaDm2),
        input(`Density of ${profile.metal.name}`, profile.metal.densityGramsPerCm3, 'g/cm³'),
        input('Metal for an ampere-hour at 100 %', depositGramsPerAmpereHour(profile.metal), 'g/Ah'),
        input('Cathode efficiency', { ...cathodeEfficiency, value: 100 * cathodeEfficiency.value }, '%'),
      ],
      source: faraday,
    };
  }
  if (request.plateHours !== undefined) {
    return {
      label,
      unit,
      value: wantedAmps.value * request.plateHours,
      formula: 'current that the parts want × hours asked for',
      inputs: [inputOf(wantedAmps), input('Hours asked for', request.plateHours, 'h')],
      source: arithmetic,
    };
  }
  return {
    label,
    unit,
    value: request.chargeAmpereHours ?? 0,
    formula: 'as asked for',
    inputs: [],
    source: arithmetic,
  };
}
