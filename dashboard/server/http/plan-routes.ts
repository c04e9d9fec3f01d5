/*
 * The routes of saved plans. Mounted below /api, behind the door. What comes in is checked to the last field; the parts come by their figures, never a model.
 */
import { type Request, Router } from 'express';
import { z } from 'zod';
import type { Dashboard } from '../dashboard.js';
import { checkedPlan } from '../plans/plan-problems.js';
import { planName } from '../plans/plan-shape.js';
import { copyName, openSavedPlans, PLANS_MAX } from '../plans/saved-plans.js';
import { checked, Refused } from './refusal.js';

const savedRequest = z.strictObject({ name: planName, request: z.unknown() });
const changeRequest = z.strictObject({ name: planName.optional(), request: z.unknown().optional() });

export function planRoutes({ store, clock }: Dashboard): Router {
  const plans = openSavedPlans(store);
  const router = Router();
  router.get('/plans', (_request, response) => {
    response.json(plans.list(clock.nowMs()));
  });
  router.post('/plans', (request, response) => {
    const { name, request: plan } = checked(savedRequest, request.body);
    response.json(kept(plans.add({ name, request: checkedPlan(plan) }, clock.nowMs())));
  });
  router.get('/plans/:plan', (request, response) => {
    response.json(found(plans.plan(planOf(request)), request));
  });
  router.put('/plans/:plan', (request, response) => {
    const { name, request: plan } = checked(changeRequest, request.body);
    const change = {
      ...(name === undefined ? {} : { name }),
      ...(plan === undefined ? {} : { request: checkedPlan(plan) }),
    };
    response.json(found(plans.change(planOf(request), change, clock.nowMs()), request));
  });
  router.post('/plans/:plan/copy', (request, response) => {
    const { name, request: plan } = found(plans.plan(planOf(request)), request);
    response.json(kept(plans.add({ name: copyName(name), request: plan }, clock.nowMs())));
  });
  router.delete('/plans/:plan', (request, response) => {
    response.json(found(plans.remove(planOf(request), clock.nowMs()), request));
  });
  router.post('/plans/:plan/bring-back', (request, response) => {
    response.json(found(plans.bringBack(planOf(request), clock.nowMs()), request));
  });
  return router;
}

/** A number that is none finds no plan. */
function planOf(request: Request): number {
  const text = String(request.params.plan);
  return /^\d{1,15}$/.test(text) ? Number(text) : -1;
}

function found<T>(plan: T | undefined, request: Request): T {
  if (plan === undefined)
    throw new Refused(404, `There is no such plan: ${String(request.params.plan)}. Look at the list of plans again.`);
  return plan;
}

function kept<T>(plan: T | undefined): T {
  if (plan === undefined)
    throw new Refused(
      409,
      `No more than ${String(PLANS_MAX)} plans are kept, those deleted in the last thirty days included. Save over one of them, or wait.`,
    );
  return plan;
}
