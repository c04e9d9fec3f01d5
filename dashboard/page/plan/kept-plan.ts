/*
 * Which saved plan stands on the page, and whether it was changed since. Lasts as long as the page. Read by the plan's room and by the list of saved plans.
 */
import { computed, signal } from '@preact/signals';
import type { PlanRequest, SavedPlan } from '@bathkeeper/shared-core/trade';
import { parts, replaceParts } from '../part/bath-parts.js';
import { PLAN_ADDRESS } from '../state/route.js';
import { units } from '../state/units.js';
import { emptyPlanForm, planFormOf } from './plan-form.js';
import { planForm, planState } from './plan-state.js';

interface KeptPlan {
  readonly planId: number;
  readonly name: string;
  /** What the page said when it was saved or opened. */
  readonly text: string;
}

export const keptPlan = signal<KeptPlan | null>(null);

/** The request that stands on the page; null while there is none. */
export const requestHere = computed<PlanRequest | null>(() =>
  planState.value.kind === 'planned' ? planState.value.plan.request : null,
);

const textHere = computed(() => JSON.stringify(requestHere.value));

/** Something stands here that would be lost. */
export const isUnsaved = computed(() => {
  const kept = keptPlan.value;
  if (kept !== null) return kept.text !== textHere.value;
  return parts.value.length > 0 || planForm.value !== emptyPlanForm;
});

export function nowKept({ planId, name }: Pick<SavedPlan, 'planId' | 'name'>): void {
  keptPlan.value = { planId, name, text: textHere.value };
}

/** In the place of everything that stood here; then the plan is shown. */
export function openKept(saved: SavedPlan): void {
  replaceParts(saved.request.parts);
  planForm.value = planFormOf(saved.request, units.value);
  nowKept(saved);
  location.hash = PLAN_ADDRESS;
}
