/*
 * A browser whose push service gave it another address tells the new one. Mounted below /api, before the door: the worker that tells it may have no
 * session any more, and a device that is not called for that is worse. The old address is the proof: only the push service, the device and
 * the secrets of this dashboard know it. It replaces that subscription and can do nothing else.
 */
import { Router } from 'express';
import { rateLimit } from 'express-rate-limit';
import type { PushSubscriptionRequest, Refusal } from '@bathkeeper/shared-core/messages';
import { deviceOf } from '../notify/channels.js';
import type { Contacts } from '../notify/contacts.js';
import { subscriptionProblem } from '../notify/web-push.js';
import { renewedSubscriptionRequest } from './calling-requests.js';
import { checkedSecret, Refused } from './refusal.js';

/** For each asker, in a minute: a subscription is renewed some times a year. */
const TRIES_MAX = 20;

export function pushRenewal(contacts: Contacts): Router {
  const router = Router();
  const seldom = rateLimit({ windowMs: 60_000, limit: TRIES_MAX, standardHeaders: 'draft-8', legacyHeaders: false,
    handler: (_request, response) => response.status(429).json({ error: 'Too many tries. Wait a minute, then try again.', problems: [] } satisfies Refusal),
  }); // prettier-ignore
  router.put('/push/subscription', seldom, (request, response) => {
    const { oldEndpoint, subscription } = checkedSecret(renewedSubscriptionRequest, request.body);
    checkSubscription(subscription);
    const channels = contacts.channelsOfDevice(deviceOf(oldEndpoint));
    if (channels.length === 0)
      throw new Refused(
        404,
        'This device is not called by this dashboard. Open the page and add it under Who is called.',
      );
    for (const channel of channels) contacts.changeChannel(channel.channel_id, { kind: 'web-push', subscription });
    response.json({});
  });
  return router;
}

/** Throws a Refused where it cannot be called. */
export function checkSubscription(subscription: PushSubscriptionRequest): void {
  const problem = /^https?:\/\//.test(subscription.endpoint)
    ? subscriptionProblem(subscription)
    : 'The endpoint of the push subscription is no web address. Subscribe again in the browser.';
  if (problem !== undefined) throw new Refused(422, problem);
}
