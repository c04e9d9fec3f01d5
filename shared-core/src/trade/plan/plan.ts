/*
 * From what a person asks to the whole plan. Start here: checks the request, fills its gaps, computes every figure and says what is unwise.
 * Called by the command and the dashboard. Pure: the same request gives the same plan.
 */
import { bathProfile } from '../baths/bath-list.js';
import type { BathProfile } from '../baths/bath-profile.js';
import { type DepositFigures, depositFigures } from './deposit-figures.js';
import { planBasis } from './plan-basis.js';
import { planFaults } from './plan-faults.js';
import type { PlanRequest } from './plan-request.js';

export interface Plan {
  readonly request: PlanRequest;
  readonly profile: BathProfile;
  readonly deposit: DepositFigures;
}

/** Either the plan, or everything that is wrong with the request, as whole sentences. */
export type PlanReading = { readonly plan: Plan } | { readonly faults: readonly string[] };

/**
 * @example
 * planOf({ parts: [{ name: 'plate', pieces: 1, areaDm2: 1, areaFrom: 'typed in' }], bath: 'bright-copper', currentDensityAmpsPerDm2: 2, plateHours: 4 });
 * // plan.deposit.averageThicknessMicrometres.value is 105.8
 */
export function planOf(request: PlanRequest): PlanReading {
  const faults = planFaults(request);
  const profile = bathProfile(request.bath);
  if (faults.length > 0 || profile === undefined) return { faults };
  const basis = planBasis(request, profile);
  const { figures: deposit } = depositFigures(basis);
  return { plan: { request, profile, deposit } };
}
