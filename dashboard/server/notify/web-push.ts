/*
 * One Web Push: the payload encrypted for one browser (RFC 8291), signed with this dashboard's own VAPID key (RFC 8292), and handed to
 * the browser's push service. Called for channels of this kind. Says when the service tells that the subscription is gone for good.
 */
import webPush from 'web-push';
import type { CallPayload, PushSubscriptionRequest } from '@bathkeeper/shared-core/messages';
import { postToWebhook, type PostOutcome } from './webhook-post.js';

export interface PushKeys {
  readonly publicKey: string;
  readonly privateKey: string;
}
export function drawnPushKeys(): PushKeys {
  return webPush.generateVAPIDKeys();
}

export interface PushOutcome extends PostOutcome {
  /** The push service does not know the subscription any more: it will never work again. */
  readonly isGone: boolean;
}

/** What was not delivered by then is not worth waking anybody for. */
const TTL_SECONDS = 3600;
/** A push service takes 4096 bytes (RFC 8030, 7.2); title, addresses and encryption need their share. */
const MESSAGE_CHARACTERS_MAX = 900;
const TITLE_CHARACTERS_MAX = 150;
/** Contact for the push service where no mail address is set: a name that can belong to nobody (RFC 2606). */
const NO_CONTACT = 'mailto:owner@example.org';

/** Why a subscription cannot be used, in a whole sentence, or undefined. */
export function subscriptionProblem(subscription: PushSubscriptionRequest): string | undefined {
  try {
    webPush.generateRequestDetails(subscription, 'x', { vapidDetails: { subject: NO_CONTACT, ...drawnPushKeys() } });
  } catch (fault) {
    return `The push subscription cannot be used (${(fault as Error).message}). Subscribe again in the browser.`;
  }
  return undefined;
}

export async function sendPush(
  subscription: PushSubscriptionRequest,
  payload: CallPayload,
  options: { keys: PushKeys; contactAddress: string | undefined; allowPrivateAddress: boolean; timeoutMs?: number },
): Promise<PushOutcome> {
  const short: CallPayload = {
    ...payload,
    title: cut(payload.title, TITLE_CHARACTERS_MAX),
    message: cut(payload.message, MESSAGE_CHARACTERS_MAX),
  };
  let request: webPush.RequestDetails;
  try {
    request = webPush.generateRequestDetails(subscription, JSON.stringify(short), {
      TTL: TTL_SECONDS,
      urgency: payload.priority === 'low' ? 'normal' : 'high',
      contentEncoding: 'aes128gcm',
      vapidDetails: {
        subject: options.contactAddress === undefined ? NO_CONTACT : `mailto:${options.contactAddress}`,
        ...options.keys,
      },
    });
  } catch (fault) {
    return { delivered: false, isGone: false, words: `The push could not be made (${(fault as Error).message}).` };
  }
  const outcome = await postToWebhook(
    {
      address: request.endpoint,
      allowPrivateAddress: options.allowPrivateAddress,
      contentType: 'application/octet-stream',
      headers: Object.entries(request.headers as Record<string, unknown>)
        .filter(([name]) => !/^content-(type|length)$/i.test(name))
        .map(([name, value]) => ({ name, value: String(value) })),
    },
    request.body ?? '',
    options.timeoutMs,
  );
  // RFC 8030, 7.3: 404 for a subscription that expired; push services answer 410 as well.
  const isGone = outcome.status === 404 || outcome.status === 410;
  return {
    ...outcome,
    isGone,
    words: isGone
      ? `The push service does not know this subscription any more (${String(outcome.status)}). Open the page on that phone and subscribe again.`
      : outcome.words,
  };
}

function cut(text: string, charactersMax: number): string {
  return text.length <= charactersMax ? text : `${text.slice(0, charactersMax - 1)}…`;
}
