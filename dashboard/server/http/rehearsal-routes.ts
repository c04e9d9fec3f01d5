/*
 * The routes of the rehearsal: what can go wrong in one, the newest one, a new one, and its end. Mounted below /api, behind the door. One at a time for everybody:
 * it takes a core of the computer that watches the bath.
 */
import { Router } from 'express';
import { z } from 'zod';
import { planOf, type RehearsalDeskView } from '@bathkeeper/shared-core/trade';
import type { Dashboard } from '../dashboard.js';
import { checkedPlan } from '../plans/plan-problems.js';
import { openRehearsalDesk } from '../virtual-bath/rehearsal-desk.js';
import { rehearsalFaultChoices } from '../virtual-bath/rehearsal-faults.js';
import { nightOfPlan } from '../virtual-bath/rehearsal-night.js';
import { checked, Refused } from './refusal.js';

const FAULTS_MAX = 10;
const MINUTES_MAX = 10_000;

const rehearsalRequest = z.strictObject({
  request: z.unknown(),
  controllerId: z.string().max(40).nullable(),
  faults: z
    .array(
      z.strictObject({
        name: z.string().max(40),
        afterMinutes: z.number().min(0).max(MINUTES_MAX),
        minutes: z.number().gt(0).max(MINUTES_MAX).optional(),
      }),
    )
    .max(FAULTS_MAX),
});

export function rehearsalRoutes({ book, log }: Dashboard): Router {
  const desk = openRehearsalDesk((fault) => {
    log.error({ err: fault }, 'a rehearsal failed');
  });
  const view = (): RehearsalDeskView => ({ choices: rehearsalFaultChoices, newest: desk.newest });
  const router = Router();
  router.get('/rehearsal', (_request, response) => {
    response.json(view());
  });
  router.post('/rehearsal', (request, response) => {
    const { request: asked, controllerId, faults } = checked(rehearsalRequest, request.body);
    if (controllerId !== null && !book.has(controllerId))
      throw new Refused(404, `No controller "${controllerId}" is paired. Choose another bath.`);
    const reading = planOf(checkedPlan(asked));
    if (!('plan' in reading)) throw new Refused(400, 'The plan does not fit. Correct what is listed.', reading.faults);
    const night = nightOfPlan(reading.plan, controllerId === null ? null : book.rigLimits(controllerId), faults);
    if ('refusals' in night) throw new Refused(422, 'This cannot be rehearsed.', night.refusals);
    if (desk.start(night) === undefined)
      throw new Refused(409, 'A rehearsal is going on. Wait until it is over, or cancel it.');
    response.json(view());
  });
  router.delete('/rehearsal', (_request, response) => {
    desk.cancel();
    response.json(view());
  });
  return router;
}
