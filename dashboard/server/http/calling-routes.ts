/*
 * The routes of calling: contacts, channels, mail server, pace, test calls. Mounted below /api, behind the door. Secrets go in and never come
 * out; what is wrong is told at once, each fault a whole sentence.
 */
import { type Request, Router } from 'express';
import { rateLimit } from 'express-rate-limit';
import type { z } from 'zod';
import type { CalledOnDevice, Refusal, TestCallView } from '@bathkeeper/shared-core/messages';
import type { Dashboard } from '../dashboard.js';
import type { ChannelTarget } from '../notify/calling-secrets.js';
import { headerProblems, webhookAddressProblem } from '../notify/webhook-post.js';
import { templateProblems } from '../notify/webhook-template.js';
import { channelRequest, contactRequest, deviceQuestion, escalationRequest, mailRequest, testCallRequest } from './calling-requests.js'; // prettier-ignore
import { checkSubscription } from './push-renewal.js';
import { checkedSecret, Refused } from './refusal.js';

const CONTACTS_MAX = 20;
const CHANNELS_MAX = 10;

export function callingRoutes(dashboard: Dashboard): Router {
  const { calling, clock } = dashboard;
  const { contacts, settings, testCalls } = calling;
  const router = Router();

  const contactOf = (request: Request) => {
    const view = contacts.view(Number(request.params.id));
    if (view === undefined)
      throw new Refused(404, 'There is no such contact: somebody may have removed it. Load the page anew.');
    return view;
  };
  const channelOf = (request: Request) => {
    const row = contacts.channel(Number(request.params.id));
    if (row === undefined) throw new Refused(404, 'There is no such channel: it was removed, or the push service no longer knew it. Load the page anew.'); // prettier-ignore
    return row;
  };

  router.get('/contacts', (_request, response) => {
    response.json(contacts.views());
  });
  router.post('/contacts', (request, response) => {
    const contact = checkedSecret(contactRequest, request.body);
    if (contacts.views().length >= CONTACTS_MAX)
      throw new Refused(409, `There are ${String(CONTACTS_MAX)} contacts, which is the most. Remove one first.`);
    response.json(contacts.add(optional(contact)));
  });
  router.put('/contacts/:id', (request, response) => {
    const { contactId } = contactOf(request);
    response.json(contacts.change(contactId, optional(checkedSecret(contactRequest, request.body))));
  });
  router.delete('/contacts/:id', (request, response) => {
    contacts.remove(contactOf(request).contactId);
    response.json({});
  });

  router.post('/contacts/:id/channels', (request, response) => {
    const { contactId, channels } = contactOf(request);
    const target = checkedTarget(checkedSecret(channelRequest, request.body));
    if (channels.length >= CHANNELS_MAX)
      throw new Refused(409, `This contact has ${String(CHANNELS_MAX)} channels, which is the most. Remove one first.`);
    if (target.kind === 'e-mail' && settings.mailServer() === undefined)
      throw new Refused(409, 'No mail server is set. Enter it in the settings first.');
    response.json(contacts.addChannel(contactId, target, clock.nowMs()));
  });
  router.delete('/channels/:id', (request, response) => {
    contacts.removeChannel(channelOf(request).channel_id);
    response.json({});
  });
  router.get('/push/key', (_request, response) => {
    response.json({ publicKey: calling.pushPublicKey });
  });
  router.get('/push/device', (request, response) => {
    const { device } = checkedSecret(deviceQuestion, request.query);
    response.json(
      contacts.channelsOfDevice(device).flatMap((row): CalledOnDevice[] => {
        const [contact, channel] = [contacts.view(row.contact_id), contacts.channelView(row.channel_id)];
        return contact === undefined || channel === undefined
          ? []
          : [{ contactId: contact.contactId, name: contact.name, channel }];
      }),
    );
  });

  router.get('/mail', (_request, response) => {
    response.json(settings.mailView());
  });
  // Each try dials the address that was typed.
  const seldom = rateLimit({ windowMs: 60_000, limit: 20, standardHeaders: 'draft-8', legacyHeaders: false,
    handler: (_request, response) => response.status(429).json({ error: 'Too many tries. Wait a minute, then try again.', problems: [] } satisfies Refusal),
  }); // prettier-ignore
  router.put('/mail', seldom, async (request, response) => {
    const startedAtMs = clock.nowMs();
    const { password, ...mail } = checkedSecret(mailRequest, request.body);
    const outcome = await calling.setMail(password === undefined ? mail : { ...mail, password });
    const endedAtMs = clock.nowMs();
    response.json({
      testCallId: 0,
      contactId: 0,
      startedAtMs,
      tries: 1,
      deliveredAtMs: outcome.delivered ? endedAtMs : null,
      confirmedAtMs: null,
      endedAtMs,
      words: outcome.words,
    } satisfies TestCallView);
  });

  router.get('/escalation', (_request, response) => {
    response.json(settings.escalation());
  });
  router.put('/escalation', (request, response) => {
    const { againAfterMinutes, nextPersonAfterMinutes, timeZone, morningSummaryAtMinute } = checkedSecret(escalationRequest, request.body); // prettier-ignore
    settings.setEscalation({
      againAfterMinutes,
      nextPersonAfterMinutes,
      ...(timeZone === undefined ? {} : { timeZone }),
      ...(morningSummaryAtMinute === undefined ? {} : { morningSummaryAtMinute }),
    });
    response.json(settings.escalation());
  });

  const startTestCall = (contactId: number, channelId: number | undefined, body: unknown): TestCallView => {
    const { repeatsUntilConfirmed } = checkedSecret(testCallRequest, body);
    const view = testCalls.start(contactId, channelId, repeatsUntilConfirmed, clock.nowMs());
    if (view === undefined) throw new Refused(409, 'This contact has no channel. Add one first: this phone, an e‑mail address, or a webhook.'); // prettier-ignore
    return view;
  };
  router.post('/contacts/:id/test-call', seldom, (request, response) => {
    response.json(startTestCall(contactOf(request).contactId, undefined, request.body));
  });
  router.post('/channels/:id/test-call', seldom, (request, response) => {
    const channel = channelOf(request);
    response.json(startTestCall(channel.contact_id, channel.channel_id, request.body));
  });
  router.get('/test-calls/:id', (request, response) => {
    response.json(found(testCalls.view(Number(request.params.id))));
  });
  router.delete('/test-calls/:id', (request, response) => {
    response.json(found(testCalls.stop(Number(request.params.id), clock.nowMs())));
  });
  return router;
}

function found(view: TestCallView | undefined): TestCallView {
  if (view === undefined) throw new Refused(404, 'There is no such test call. Send another.');
  return view;
}

/** zod's `undefined` for what is absent. */
function optional({ wantsLowPriority, ...contact }: z.infer<typeof contactRequest>) {
  return wantsLowPriority === undefined ? contact : { ...contact, wantsLowPriority };
}

function checkedTarget(request: z.infer<typeof channelRequest>): ChannelTarget {
  switch (request.kind) {
    case 'web-push': {
      checkSubscription(request.subscription);
      return request;
    }
    case 'e-mail':
      return request;
    case 'webhook': {
      const contentType = request.contentType === '' ? 'application/json' : request.contentType;
      const addressProblem = webhookAddressProblem(request.address);
      const problems = [
        ...(addressProblem === undefined ? [] : [addressProblem]),
        ...templateProblems(request.template, contentType),
        ...headerProblems(request.headers),
      ];
      if (problems.length > 0) throw new Refused(422, 'The webhook cannot be used.', problems);
      return { ...request, contentType };
    }
  }
}
