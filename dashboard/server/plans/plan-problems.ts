/*
 * What is wrong with a plan that came from outside, as whole sentences: where, what was expected, what came, what to do. First its shape, then whether a
 * plan can be made of it. Used by the routes that take plans.
 */
import type { z } from 'zod';
import { planFaults, type PlanRequest } from '@bathkeeper/shared-core/trade';
import { Refused } from '../http/refusal.js';
import { planShape } from './plan-shape.js';

const SHOWN_CHARACTERS = 40;
const PROBLEMS_MAX = 20;

/** The plan in a request. @throws Refused with everything that is wrong with it. */
export function checkedPlan(request: unknown): PlanRequest {
  const read = planShape.safeParse(request);
  const faults = read.success ? planFaults(read.data) : shapeProblems(read.error, request);
  if (read.success && faults.length === 0) return read.data;
  throw new Refused(
    400,
    'The plan does not fit. Correct what is listed and send it again; if you typed none of it, load the page anew.',
    faults.slice(0, PROBLEMS_MAX),
  );
}

/** Example: `parts.0.pieces: expected number, got "two".` */
function shapeProblems(error: z.ZodError, request: unknown): string[] {
  return error.issues.map((issue) => {
    const where = issue.path.length === 0 ? 'The plan' : issue.path.map(String).join('.');
    return `${where}: ${expectation(issue)}, got ${shownValue(valueAt(request, issue.path))}.`;
  });
}

function expectation(issue: z.core.$ZodIssue): string {
  if (issue.code === 'invalid_type') return `expected ${issue.expected}`;
  if (issue.code === 'unrecognized_keys') return `expected no field called ${issue.keys.slice(0, 5).join(', ')}`;
  return issue.message.replace(/^Invalid (input|option): /, '').replace(/^Too (big|small): /, '');
}

function valueAt(value: unknown, path: readonly PropertyKey[]): unknown {
  let at = value;
  for (const step of path) at = (at as Record<PropertyKey, unknown> | null | undefined)?.[step];
  return at;
}

function shownValue(value: unknown): string {
  if (value === undefined) return 'nothing';
  const words = JSON.stringify(value);
  return words.length > SHOWN_CHARACTERS ? `${words.slice(0, SHOWN_CHARACTERS)}…` : words;
}
