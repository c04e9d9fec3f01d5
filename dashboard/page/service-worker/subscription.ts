/*
 * Follows this device's push subscription: a push service may give it another address at any time, and then nobody could call it. Used by the
 * service worker when the browser tells so, and when the page starts. It keeps the address that the dashboard knows, and nothing else.
 */
import type { Shown } from './notification.js';

/** What the worker lends; a test lends its own. */
export interface SubscriptionPlace {
  subscription(): Promise<PushSubscription | null>;
  subscribe(key: BufferSource | string): Promise<PushSubscription>;
  fetch(path: string, init?: RequestInit): Promise<Response>;
  keep(): Promise<Pick<Cache, 'match' | 'put' | 'delete'>>;
  show(shown: Shown): Promise<void>;
}

/** The kept address has a name like a file of the page; nothing answers there. */
const KEPT_AS = '/this-device';
const ANSWER_MS = 15_000;

async function keptEndpoint(place: SubscriptionPlace): Promise<string | undefined> {
  return (await (await place.keep()).match(KEPT_AS))?.text();
}
async function keepEndpoint(place: SubscriptionPlace, endpoint: string): Promise<void> {
  await (await place.keep()).put(KEPT_AS, new Response(endpoint));
}

/** Under the key of before, or the dashboard's own. Null: the browser or the dashboard does not let it. */
async function resubscribed(place: SubscriptionPlace, old: PushSubscription | null): Promise<PushSubscription | null> {
  try {
    let key: BufferSource | string | null = old?.options.applicationServerKey ?? null;
    if (key === null) {
      const answer = await place.fetch('/api/push/key', { signal: AbortSignal.timeout(ANSWER_MS) });
      if (!answer.ok) return null;
      key = ((await answer.json()) as { publicKey: string }).publicKey;
    }
    return await place.subscribe(key);
  } catch {
    return null;
  }
}

/** The answer's status; 0: none came. */
async function told(place: SubscriptionPlace, oldEndpoint: string, subscription: PushSubscription): Promise<number> {
  const { endpoint, keys } = subscription.toJSON();
  try {
    const answer = await place.fetch('/api/push/subscription', {
      method: 'PUT',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({
        oldEndpoint,
        subscription: { endpoint, keys: { p256dh: keys?.p256dh, auth: keys?.auth } },
      }),
      signal: AbortSignal.timeout(ANSWER_MS),
    });
    return answer.ok ? 200 : answer.status;
  } catch {
    return 0;
  }
}

/** The browser says that the subscription has changed, and of either one perhaps nothing. */
export async function followSubscription(
  place: SubscriptionPlace,
  old: PushSubscription | null,
  changed: PushSubscription | null,
): Promise<void> {
  const oldEndpoint = old?.endpoint ?? (await keptEndpoint(place));
  const subscription = changed ?? (await place.subscription()) ?? (await resubscribed(place, old));
  if (oldEndpoint !== undefined && subscription !== null && (await told(place, oldEndpoint, subscription)) === 200) {
    await keepEndpoint(place, subscription.endpoint);
    return;
  }
  // What the dashboard knows stays kept: the page mends it when it is opened.
  if (oldEndpoint !== undefined) await keepEndpoint(place, oldEndpoint);
  await place.show(noLongerCalled);
}

/** The page has started, or this device was subscribed just now. */
export async function lookAtSubscription(place: SubscriptionPlace): Promise<void> {
  const known = await keptEndpoint(place);
  const subscription = (await place.subscription()) ?? (known === undefined ? null : await resubscribed(place, null));
  if (subscription === null || subscription.endpoint === known) return;
  const status = known === undefined ? 200 : await told(place, known, subscription);
  // Not known there: somebody removed this device from those who are called, and nothing is to be mended.
  if (status === 200 || status === 404) await keepEndpoint(place, subscription.endpoint);
}

const noLongerCalled: Shown = {
  title: 'This device is no longer called',
  options: {
    body: 'Open the page: it tries to mend that. Then make a test call under Who is called. The push service has given this device another address, and the dashboard could not be told.',
    tag: 'no-longer-called',
    requireInteraction: true,
    icon: '/icon-192.png',
    badge: '/badge-96.png',
    data: { url: '/#calls' },
  },
};
