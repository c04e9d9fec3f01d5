/*
 * What is wrong with a plan that came from outside, as whole sentences: where, what was expected, what came, what to do. First its shape, then whether a
 * plan can be made of it. Used by the routes that take plans.
 */
import { planFaults, type PlanRequest } from '@bathkeeper/shared-core/trade';
import { expectedWords, faultWords } from '../http/fault-words.js';
import { Refused } from '../http/refusal.js';
import { planShape } from './plan-shape.js';

const PROBLEMS_MAX = 20;

/** The plan in a request. @throws Refused with everything that is wrong with it. */
export function checkedPlan(request: unknown): PlanRequest {
  const read = planShape.safeParse(request, { error: expectedWords });
  const faults = read.success ? planFaults(read.data) : faultWords(read.error, request, 'The plan');
  if (read.success && faults.length === 0) return read.data;
  throw new Refused(
    400,
    'The plan does not fit. Correct what is listed and send it again; if you typed none of it, load the page anew.',
    faults.slice(0, PROBLEMS_MAX),
  );
}
