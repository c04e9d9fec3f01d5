/*
 * The plan as it stands on this page: what was typed, and what comes of it with the parts of the room Part. Lasts as long as the page. Nothing is sent from
 * here.
 */
import { computed, signal } from '@preact/signals';
import { type AskedPath, type Plan, planOf } from '@bathkeeper/shared-core/trade';
import { typedIn } from '../forms/typed-figure.js';
import { plannedParts } from '../part/bath-parts.js';
import { units } from '../state/units.js';
import { emptyPlanForm, type FieldProblems, planAsked, type PlanForm, planRequest } from './plan-form.js';
import { type WishMarks, wishMarks } from './wish-marks.js';

export const planForm = signal<PlanForm>(emptyPlanForm);

/** A plan, or why there is none yet: no part, fields that are no numbers, or what the plan refuses in whole sentences. */
export type PlanState =
  | { readonly kind: 'no-part' }
  | { readonly kind: 'mistyped'; readonly problems: FieldProblems }
  | { readonly kind: 'refused'; readonly faults: readonly string[] }
  | { readonly kind: 'planned'; readonly plan: Plan };

export const planState = computed<PlanState>(() => {
  const reading = planAsked(planForm.value, units.value);
  if ('problems' in reading) return { kind: 'mistyped', problems: reading.problems };
  if (plannedParts.value.length === 0) return { kind: 'no-part' };
  const planned = planOf(planRequest(reading.asked, plannedParts.value));
  return 'faults' in planned ? { kind: 'refused', faults: planned.faults } : { kind: 'planned', plan: planned.plan };
});

/** What stands in a field and is no number. */
export const fieldProblems = computed<FieldProblems>(() =>
  planState.value.kind === 'mistyped' ? planState.value.problems : {},
);

/** What is unwise in what was typed. */
export const fieldMarks = computed<WishMarks>(() =>
  planState.value.kind === 'planned' ? wishMarks(planForm.value, planState.value.plan, units.value) : {},
);

export function changePlan(change: Partial<Omit<PlanForm, 'typed'>>): void {
  planForm.value = { ...planForm.value, ...change };
}

export function typePlan(path: AskedPath, text: string): void {
  const before = planForm.value;
  planForm.value = { ...before, typed: { ...before.typed, [path]: typedIn(units.value, text) } };
}
