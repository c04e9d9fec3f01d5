/*
 * From what a person asks to the whole plan. Start here: checks the request, fills its gaps, computes every figure and says what is unwise.
 * Called by the command and the dashboard. Pure: the same request gives the same plan.
 */
import type { BathProfile } from '../baths/bath-profile.js';
import { anodeFigures } from './anode-figures.js';
import { conductorFigures } from './conductor-figures.js';
import { costFigures } from './cost-figures.js';
import { depositFigures } from './deposit-figures.js';
import { distributionFigures } from './distribution-figures.js';
import { heatFigures } from './heat-figures.js';
import { paintedStartFigures } from './painted-start-figures.js';
import { paintFigures } from './paint-figures.js';
import { planBasis, profileOf } from './plan-basis.js';
import { planFaults } from './plan-faults.js';
import type { PlanFigures } from './plan-figures.js';
import { planGaps } from './plan-gaps.js';
import { planNight, type PlanNightPoint } from './plan-night.js';
import type { PlanRequest } from './plan-request.js';
import { type PlanWarning, planWarnings } from './plan-warnings.js';
import { secondLayerFigures } from './second-layer-figures.js';
import { sizeFigures } from './size-figures.js';
import { supplyFigures } from './supply-figures.js';
import { tankFigures } from './tank-figures.js';
import { claimRefusal } from './thickness-claim.js';
import { voltageFigures } from './voltage-figures.js';

export interface Plan {
  readonly request: PlanRequest;
  readonly profile: BathProfile;
  readonly figures: PlanFigures;
  /** From the start to the open contactor. */
  readonly night: readonly PlanNightPoint[];
  /** A thickness that was claimed and cannot be, with the sum; the plan's own figures stand beside it. */
  readonly claimRefusal: string | undefined;
  readonly warnings: readonly PlanWarning[];
  /** What it does not say, and what to give so that it does. */
  readonly gaps: readonly string[];
}

/** Either the plan, or everything that is wrong with the request, as whole sentences. */
export type PlanReading = { readonly plan: Plan } | { readonly faults: readonly string[] };

/**
 * @example
 * planOf({ parts: [{ name: 'plate', pieces: 1, areaDm2: 1, areaFrom: 'typed in' }], bath: 'bright-copper', currentDensityAmpsPerDm2: 2, plateHours: 4 });
 * // plan.figures.deposit.averageThicknessMicrometres.value is 105.8
 */
export function planOf(request: PlanRequest): PlanReading {
  const faults = planFaults(request);
  const profile = profileOf(request);
  if (faults.length > 0 || profile === undefined) return { faults };
  const basis = planBasis(request, profile);
  const { figures: deposit, night } = depositFigures(basis);
  const distribution = distributionFigures(basis, deposit);
  const anodes = anodeFigures(basis, deposit);
  const conductors = conductorFigures(basis, deposit);
  const voltage = voltageFigures(basis, deposit, anodes, conductors);
  const paint = paintFigures(basis, deposit);
  const figures: PlanFigures = {
    deposit,
    distribution,
    supply: supplyFigures(basis, deposit),
    voltage,
    anodes,
    conductors,
    paintedStart: paintedStartFigures(basis, deposit),
    paint,
    tank: tankFigures(basis),
    heat: heatFigures(basis, deposit, voltage),
    size: sizeFigures(basis, deposit, distribution),
    cost: costFigures(basis, deposit, voltage, anodes, paint),
    secondLayer: request.secondLayer === undefined ? undefined : secondLayerFigures(request.secondLayer),
  };
  return {
    plan: {
      request,
      profile,
      figures,
      night: planNight(basis, night, deposit, voltage),
      claimRefusal: claimRefusal(basis, deposit, distribution),
      warnings: planWarnings(basis, figures),
      gaps: planGaps(basis, figures),
    },
  };
}
