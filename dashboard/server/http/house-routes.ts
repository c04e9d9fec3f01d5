/*
 * The routes of the house: the outward heartbeat and the leave-alone check. Mounted below /api, behind the door. Where the heartbeat leads
 * goes in and never comes out.
 */
import { Router } from 'express';
import { z } from 'zod';
import type { Dashboard } from '../dashboard.js';
import { webhookAddressProblem } from '../notify/webhook-post.js';
import { checkedSecret, Refused } from './refusal.js';

const heartbeatRequest = z
  .object({
    address: z.string().trim().max(2000),
    everyMinutes: z.number().int().min(1).max(60),
    allowPrivateAddress: z.boolean(),
  })
  .strict();

export function houseRoutes({ house, book }: Dashboard): Router {
  const router = Router();
  router.get('/heartbeat', (_request, response) => {
    response.json(house.heartbeat.view());
  });
  router.put('/heartbeat', (request, response) => {
    const asked = checkedSecret(heartbeatRequest, request.body);
    const problem = asked.address === '' ? undefined : webhookAddressProblem(asked.address);
    if (problem !== undefined)
      throw new Refused(422, problem.replace('The webhook address', "The heartbeat's address"));
    house.heartbeat.set(asked);
    response.json(house.heartbeat.view());
  });
  router.get('/controllers/:id/leave-alone', async (request, response) => {
    const { id } = request.params;
    if (!book.has(id)) throw new Refused(404, `No controller "${id}" is paired. Choose another bath.`);
    // Absent: asked by what cannot be called, such as plain http.
    const { device } = request.query;
    response.json(await house.leaveAlone(id, typeof device === 'string' ? device : undefined));
  });
  return router;
}
