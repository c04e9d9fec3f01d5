/*
 * What the charge of a run has become on the part: mass and average by Faraday's law, thin place and edge by the estimates of a plan. Called for the run
 * record. It takes the plan's own knowledge of the part where the recipe came from one, and invents no other formula.
 */
import type { RecipeView } from '../../messages/api.js';
import { bathLoad } from '../../part/parts-in-bath.js';
import { planOf } from '../plan/plan.js';
import type { PlanRequest } from '../plan/plan-request.js';
import type { RunDeposit } from './run-record.js';

/** Somebody may change the area between plan and recipe; then the plan's parts say nothing of this run any more. */
const SAME_AREA_SHARE = 0.01;

/**
 * undefined where no charge has flowed yet.
 *
 * Example: 272.1 Ah of copper on 12 dm2 are 322.6 g and 300 um on average.
 */
export function depositOfRun(
  recipe: RecipeView,
  plan: PlanRequest | null,
  chargeAmpereHours: number,
): RunDeposit | undefined {
  const read = planOf(requestOfRun(recipe, plan, chargeAmpereHours));
  if ('faults' in read) return undefined;
  const { deposit, distribution } = read.plan.figures;
  return {
    massGrams: deposit.depositMassGrams,
    averageThicknessMicrometres: deposit.averageThicknessMicrometres,
    thinPlaceMicrometres: distribution.thinPlaceMicrometres,
    edgeMicrometres: distribution.edgeMicrometres,
  };
}

function requestOfRun(recipe: RecipeView, plan: PlanRequest | null, chargeAmpereHours: number): PlanRequest {
  const { partName: name, areaDm2, bath, cathodeEfficiency, currentDensityAmpsPerDm2 } = recipe;
  const fits = plan !== null && isSameArea(plan, areaDm2);
  return {
    parts: fits ? plan.parts : [{ name, pieces: 1, areaDm2, areaFrom: 'as the recipe says' }],
    ...(bath === null ? {} : { bath }),
    ...(fits && plan.bathCelsius !== undefined ? { bathCelsius: plan.bathCelsius } : {}),
    ...(fits && plan.conductivitySiemensPerMetre !== undefined
      ? { conductivitySiemensPerMetre: plan.conductivitySiemensPerMetre }
      : {}),
    cathodeEfficiency,
    currentDensityAmpsPerDm2,
    chargeAmpereHours,
  };
}

function isSameArea(plan: PlanRequest, areaDm2: number): boolean {
  const planned = bathLoad(plan.parts.map((part) => ({ ...part, volumeCm3: part.volumeCm3 }))).areaDm2;
  return Math.abs(planned - areaDm2) <= SAME_AREA_SHARE * areaDm2;
}
