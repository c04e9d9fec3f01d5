/*
 * What is unwise in a plan, in the trade's words: each sentence says what, what is usual, what goes wrong, what to do. Called by plan.ts, once every
 * figure is there. Forbids nothing; what cannot be is refused elsewhere (plan-faults.ts, thickness-claim.ts).
 */
import { practiceOf } from '../bath-practice.js';
import type { Figure } from '../figure.js';
import { densityCaution } from '../recipe-cautions.js';
import { significant } from '../shown.js';
import { sayOfConductors, sayOfStart } from './conductor-warnings.js';
import type { PlanBasis } from './plan-basis.js';
import type { PlanFigures } from './plan-figures.js';

export interface PlanWarning {
  /** The figure that it is about, by its name in the plan; or "part", "bath", "recipe". */
  readonly about: string;
  /** Whole sentences. */
  readonly words: string;
}

export type Say = (about: string, words: string | undefined) => void;

/** Gravest first within each group; empty for a usual plan. */
export function planWarnings(basis: PlanBasis, figures: PlanFigures): PlanWarning[] {
  const warnings: PlanWarning[] = [];
  const say: Say = (about, words) => {
    if (words !== undefined) warnings.push({ about, words });
  };
  for (const caution of basis.profile.cautions) say('bath', caution);
  for (const part of basis.request.parts)
    for (const words of part.warnings ?? []) say('part', `${part.name}: ${words}`);
  sayOfDensity(say, basis, figures);
  sayOfSupply(say, basis, figures);
  sayOfAnodes(say, basis, figures);
  sayOfTemperature(say, basis, figures);
  sayOfConductors(say, basis, figures);
  sayOfStart(say, basis, figures);
  sayOfTank(say, figures);
  sayOfWater(say, figures);
  sayOfFinishing(say, basis, figures);
  return warnings;
}

function sayOfDensity(say: Say, basis: PlanBasis, { deposit, distribution }: PlanFigures): void {
  const density = deposit.setPointDensityAmpsPerDm2.value;
  const practice = practiceOf(basis.profile);
  const isHeldBackBySupply =
    density < practice.densityAmpsPerDm2.min && basis.densityAmpsPerDm2.value > density * 1.001;
  say(
    'setPointDensityAmpsPerDm2',
    isHeldBackBySupply
      ? `The supply leaves only ${significant(density, 3)} A/dm² of the usual ${String(practice.densityAmpsPerDm2.min)} to ${String(practice.densityAmpsPerDm2.max)} A/dm²: ${basis.profile.troubles.densityLow}. Hang fewer pieces, or take a larger supply.`
      : densityCaution(density, practice),
  );
  sayOfRecesses(say, deposit.averageThicknessMicrometres.value, distribution.thinPlaceMicrometres.value);
  const rods = basis.request.parts.filter((part) => (part.thinnestRodMm ?? Infinity) < thinRodMm);
  for (const { name, thinnestRodMm } of rods) {
    say(
      'edgeMicrometres',
      `${name} has rods or tips of about ${significant(thinnestRodMm ?? 0, 2)} mm: current crowds on them, they grow thick and burn first. Shield them, turn them away from the anodes, or lower the current density.`,
    );
  }
  const limit = distribution.limitingDensityAmpsPerDm2?.value;
  if (limit === undefined || density <= limit / 2) return;
  say(
    'limitingDensityAmpsPerDm2',
    density >= limit
      ? `${significant(density, 3)} A/dm² is above the limiting current of about ${significant(limit, 3)} A/dm² for a bath that is ${basis.agitation}: the deposit turns to powder. Move the bath more, warm it within its range, or lower the current density.`
      : `${significant(density, 3)} A/dm² is more than half the limiting current of about ${significant(limit, 3)} A/dm² for a bath that is ${basis.agitation}: edges turn rough, then burn. Move the bath more, or lower the current density.`,
  );
}

/** Our own practice, no source. */
const thinRodMm = 3;

function sayOfRecesses(say: Say, average: number, thin: number): void {
  if (thin >= deepShare * average) return;
  say(
    'thinPlaceMicrometres',
    `Deep recesses get only about ${significant(thin, 2)} µm of the ${significant(average, 3)} µm: the current hardly reaches them, and more time thickens the edges first. Put an auxiliary anode inside, mask what need not be plated, or take a high-throw bath.`,
  );
}
/** Our own practice, no source. */
const deepShare = 0.3;

function sayOfSupply(say: Say, basis: PlanBasis, { deposit, supply, voltage }: PlanFigures): void {
  if (supply !== undefined && supply.hoursLostToSupply.value > 1e-9) {
    say(
      'hoursLostToSupply',
      `The parts want ${significant(deposit.wantedAmps.value, 3)} A and the supply gives at most ${significant(deposit.setPointAmps.value, 3)} A: the same deposit takes ${significant(deposit.plateHours.value, 3)} h instead of ${significant(supply.plateHoursAtWantedAmps.value, 3)} h. ` +
        'Hang fewer pieces, take a larger supply, or plan for the longer night.',
    );
  } else if (supply !== undefined && supply.supplySharePercent.value > 90) {
    say(
      'supplySharePercent',
      `The supply runs at ${significant(supply.supplySharePercent.value, 3)} % of what it can give, all night: see that its fan and vents are free, or lower the current. (Common practice, no source.)`,
    );
  }
  if (deposit.setPointAmps.value < smallestSteadyAmps) {
    say(
      'setPointAmps',
      `${significant(deposit.setPointAmps.value, 3)} A is less than most supplies hold steady and a 50 A shunt tells apart (about ${String(smallestSteadyAmps)} A): take a laboratory supply and a small shunt, or hang more pieces.`,
    );
  }
  const most = basis.request.supplyVoltsMax;
  const { value, uncertainty } = voltage.supplyVolts;
  if (most === undefined || (uncertainty?.high ?? value) <= most) return;
  say(
    'supplyVolts',
    value > most
      ? `The set-point will need about ${significant(value, 2)} V and the supply ends at ${significant(most, 3)} V: it will give less current than planned. Move the anodes nearer, hang more anode area, take thicker cable, or lower the current.`
      : `The set-point may need up to ${significant(uncertainty?.high ?? value, 2)} V and the supply ends at ${significant(most, 3)} V. Measure voltage and current of your bath once, and give its conductivity.`,
  );
}
/** Of a 50 A / 75 mV shunt, some 60 steps of the monitor. Our own practice. */
const smallestSteadyAmps = 0.1;

function sayOfAnodes(say: Say, { profile }: PlanBasis, { anodes }: PlanFigures): void {
  const density = anodes.anodeDensityAmpsPerDm2.value;
  const { min, max } = profile.anodeDensityAmpsPerDm2;
  const told = `${significant(density, 3)} A/dm² at the anodes is ${density > max ? 'above' : 'below'} the usual ${String(min)} to ${String(max)} A/dm²: `;
  if (density > max * 1.001) say('anodeDensityAmpsPerDm2', `${told}${profile.troubles.anodeDensityHigh}.`);
  else if (density < min * 0.999) say('anodeDensityAmpsPerDm2', `${told}${profile.troubles.anodeDensityLow}.`);
}

function sayOfTemperature(say: Say, { profile, bathCelsius, roomCelsius }: PlanBasis, { heat }: PlanFigures): void {
  const { min, max } = profile.bathCelsius;
  const celsius = bathCelsius.value;
  const range = `the usual ${String(min)} to ${String(max)} °C`;
  if (celsius > max)
    say('bathCelsius', `A bath of ${significant(celsius, 3)} °C is above ${range}: ${profile.troubles.warm}.`);
  if (celsius < min)
    say('bathCelsius', `A bath of ${significant(celsius, 3)} °C is below ${range}: ${profile.troubles.cold}.`);
  if (heat === undefined) return;
  const { value, uncertainty } = heat.bathCelsiusAtEnd;
  const told = (at: Figure['value'], verb: string): string =>
    `The bath ${verb} ${significant(at, 3)} °C by the end, and the run is held at ${String(profile.holdCelsius)} °C: ${profile.troubles.warm}, or start colder, or take a larger bath.`;
  if (value > profile.holdCelsius) say('bathCelsiusAtEnd', told(value, 'will be at about'));
  else if (uncertainty !== undefined && uncertainty.high > profile.holdCelsius) {
    say('bathCelsiusAtEnd', told(uncertainty.high, 'may reach'));
  }
  const least = profile.startCelsiusMin;
  const coldest = uncertainty?.low ?? value;
  const mayBeWarm = (uncertainty?.high ?? value) > profile.holdCelsius;
  // What starts too cold is told of above, and of what may get too warm nobody says that it may get cold.
  if (celsius < least || (value >= least && (coldest >= least || mayBeWarm))) return;
  say(
    'bathCelsiusAtEnd',
    `Without a heater the bath ${value < least ? 'will cool to about' : 'may cool to'} ${significant(value < least ? value : coldest, 3)} °C by the end in a room of ${significant(roomCelsius.value, 3)} °C, below the ${String(least)} °C that a start needs: what is cold burns sooner, and salts crystallise. ` +
      'Warm the room, or cover and wrap the tank. A heater left alone is a main cause of fires in plastic tanks (RISCAuthority RC45): only with cut-outs of its own for level and temperature.',
  );
}

function sayOfTank(say: Say, { tank }: PlanFigures): void {
  const freeboard = tank.freeboardMm?.value;
  if (freeboard !== undefined && freeboard < leastFreeboardMm) {
    say(
      'freeboardMm',
      freeboard < 0
        ? `With the parts in, the bath stands ${significant(-freeboard, 2)} mm above the rim: it spills. Take out liquid before you hang them.`
        : `With the parts in, ${significant(freeboard, 2)} mm are left to the rim: air and a turning part splash over. Leave ${String(leastFreeboardMm)} mm at least.`,
    );
  }
  const { submergedWeightNewtons: weight, ballastGrams } = tank;
  if (weight === undefined || ballastGrams === undefined) return;
  if (weight.value < 0) {
    say(
      'submergedWeightNewtons',
      `A piece floats: the bath pushes it up with ${significant(-weight.value, 2)} N. Hang ${significant(ballastGrams.value, 3)} g of ballast on each, out of the current, or let the bath fill its hollows.`,
    );
  } else if (weight.uncertainty !== undefined && weight.uncertainty.low < 0) {
    say(
      'submergedWeightNewtons',
      `A piece floats if its filling is sparse and sealed (up to ${significant(ballastGrams.uncertainty?.high ?? 0, 3)} g of ballast each): weigh one, or say how much of it is filled.`,
    );
  }
}
/** Common practice, no source. */
const leastFreeboardMm = 30;

/** Salts grow stronger as water leaves, and what hung in the liquid comes out of it. */
function sayOfWater(say: Say, { heat }: PlanFigures): void {
  const fall = heat?.levelFallMm;
  if (fall === undefined || fall.value <= largeFallMm) return;
  say(
    'levelFallMm',
    `Evaporation takes about ${significant(fall.value, 2)} mm of the level by the end, and it may be ${significant(fall.uncertainty?.high ?? fall.value, 2)} mm: the part, its contacts, a heater or a probe may come out of the liquid. Hang all of it deeper than that, cover the tank, or let water be topped up.`,
  );
}
/** Common practice, no source. */
const largeFallMm = 10;

function sayOfFinishing(say: Say, { finishingMicrometres }: PlanBasis, { distribution }: PlanFigures): void {
  const thin = distribution.thinPlaceMicrometres.value;
  if (finishingMicrometres.value <= 0 || thin > finishingMicrometres.value) return;
  say(
    'finishedThicknessMicrometres',
    `Finishing takes ${significant(finishingMicrometres.value, 3)} µm and thin places have about ${significant(thin, 2)} µm: they are sanded through to the paint. Plate more, or finish less there.`,
  );
}
