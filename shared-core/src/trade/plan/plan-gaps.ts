/*
 * What a plan could say and does not, since nobody measured it: each with what to give. Called by plan.ts; shown at the end, so that nothing missing
 * looks as if it were in order.
 */
import { copper } from '../metals.js';
import { isPainted, type PlanBasis } from './plan-basis.js';
import type { PlanFigures } from './plan-figures.js';

/** Whole sentences. */
export function planGaps(basis: PlanBasis, figures: PlanFigures): string[] {
  const { request } = basis;
  const gaps: string[] = [];
  if (request.bath === undefined) {
    gaps.push(
      `Which bath it is: ${basis.profile.name.toLowerCase()} was taken. Give yours, since all practice hangs on it.`,
    );
  }
  if (isPainted(request) && request.paint?.sheetOhmsPerSquare === undefined) {
    gaps.push(
      'How many contacts the paint needs: measure its sheet resistance (two straight contacts on a square of the painted surface) and give it.',
    );
  }
  if (!isPainted(request) && request.paint?.contacts === undefined) {
    gaps.push('What each contact carries: give the number of contacts on a piece.');
  }
  if (figures.cost.brightenerMillilitres !== undefined && request.brightenerLitresPerKiloampereHour === undefined) {
    gaps.push(
      'How much brightener the run uses up: the figure is from memory. Give your supplier’s consumption; too much makes the deposit brittle.',
    );
  }
  if (figures.heat === undefined) {
    gaps.push('How warm the bath gets: give its volume, or length, width and fill of the tank.');
  } else if (figures.heat.evaporationLitres === undefined) {
    gaps.push('How much water evaporates: give length and width of the tank.');
  }
  if (figures.tank.levelRiseMm === undefined && basis.displacedCm3 !== undefined) {
    gaps.push('How far the level rises: give length, width, fill and height of the tank.');
  }
  if (basis.displacedCm3 === undefined) {
    gaps.push(
      'Whether the part floats and how far the level rises: its volume is not known. Repair the model, or give the volume.',
    );
  }
  if (basis.displacedCm3 !== undefined && figures.tank.submergedWeightNewtons === undefined) {
    gaps.push('Whether the part floats: it is metal already, so give the mass of one piece.');
  }
  const { metal } = basis.profile;
  if (metal !== copper) {
    gaps.push(
      `How readily ${metal.name} deposits (its exchange current): copper’s was taken for the contacts on the paint (of a metal that deposits less readily, as nickel, there are then rather too many) and for the voltage below the set-point.`,
    );
  }
  if (request.parts.some((part) => part.openShare === undefined)) {
    gaps.push('How thin recesses get: nothing is known of the part’s shape. Give a model or a simple shape.');
  }
  if (request.supplyAmpsMax === undefined)
    gaps.push('Whether the supply suffices: give the largest current that it can give.');
  if (request.conductivitySiemensPerMetre === undefined) {
    gaps.push('The voltage more closely: measure voltage and current of your bath once, and give its conductivity.');
  }
  return gaps;
}
