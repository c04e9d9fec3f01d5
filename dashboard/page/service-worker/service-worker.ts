/*
 * The page's service worker: shows a call as a notification, acknowledges from it, and hands out the page's own files when the dashboard
 * cannot be reached, so that an installed page can say so. It never keeps nor answers anything under /api: an old reading never looks live.
 * Built into one file of its own, since it outlives every page.
 */
/// <reference lib="webworker" />
import { acknowledgedWords, addressWithin, callFrom, moreIn, notificationOf } from './notification.js';
import { followSubscription, lookAtSubscription, type SubscriptionPlace } from './subscription.js';
import { keepPage, keptPage } from './page-files.js';

declare const self: ServiceWorkerGlobalScope;

self.addEventListener('install', (event) => {
  const kept = keepPage(new URL('/', self.location.origin));
  // Calls matter more than the page of an hour without network: a page that could not be kept keeps no worker from its place.
  event.waitUntil(kept.catch(() => undefined).then(() => self.skipWaiting()));
});

self.addEventListener('activate', (event) => {
  event.waitUntil(self.clients.claim());
});

self.addEventListener('fetch', (event) => {
  const answer = keptPage(event.request, self.location.origin, (work) => {
    event.waitUntil(work);
  });
  if (answer !== null) event.respondWith(answer);
});

self.addEventListener('push', (event) => {
  const call = callFrom(event.data?.text() ?? '');
  const { title, options } = notificationOf(call);
  event.waitUntil(self.registration.showNotification(title, options));
});

self.addEventListener('notificationclick', (event) => {
  const { notification } = event;
  const told = (notification.data ?? {}) as { url?: string; acknowledgeUrl?: string };
  if (event.action === 'acknowledge' && told.acknowledgeUrl !== undefined) {
    event.waitUntil(acknowledge(notification, told.acknowledgeUrl, told.url));
  } else {
    notification.close();
    event.waitUntil(openPage(told.url));
  }
});

const place: SubscriptionPlace = {
  subscription: () => self.registration.pushManager.getSubscription(),
  subscribe: (key) => self.registration.pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: key }),
  fetch: (path, init) => fetch(path, init),
  keep: async () => caches.open('bathkeeper-device'),
  show: ({ title, options }) => self.registration.showNotification(title, options),
};

/** Not in TypeScript's list of a worker's events (W3C Push API). */
type SubscriptionChange = ExtendableEvent & {
  readonly oldSubscription?: PushSubscription | null;
  readonly newSubscription?: PushSubscription | null;
};
self.addEventListener('pushsubscriptionchange', (event) => {
  const { oldSubscription, newSubscription } = event as SubscriptionChange;
  event.waitUntil(followSubscription(place, oldSubscription ?? null, newSubscription ?? null));
});

self.addEventListener('message', (event) => {
  if ((event.data as { kind?: string } | null)?.kind === 'look-at-subscription')
    event.waitUntil(
      lookAtSubscription(place).finally(() => {
        event.ports[0]?.postMessage('looked');
      }),
    );
});

/** A network that swallows every word refuses none: whoever pressed must be told while still looking. */
const ANSWER_MS = 15_000;

/** By POST, since mail scanners and previews follow links; the token in the address serves once. */
async function acknowledge(notification: Notification, acknowledgeUrl: string, url: string | undefined): Promise<void> {
  const address = addressWithin(self.location.origin, acknowledgeUrl);
  let outcome: { isDone: boolean; status: number; more?: string | undefined };
  try {
    const answer = await fetch(address, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json', Accept: 'application/json' },
      body: '{}',
      signal: AbortSignal.timeout(ANSWER_MS),
    });
    // The status decides; words that cannot be read only say less.
    outcome = { isDone: answer.ok, status: answer.status, more: moreIn(await answer.json().catch(() => undefined)) };
  } catch {
    outcome = { isDone: false, status: 0 };
  }
  // The same tag: it takes the place of the call. A call that could not be acknowledged stays, and says so.
  const { title, options } = acknowledgedWords(notification.title, outcome, {
    tag: notification.tag,
    data: outcome.isDone ? { url } : { url, acknowledgeUrl },
  });
  await self.registration.showNotification(title, options);
}

/** To a page that is open, else to a new one. */
async function openPage(url: string | undefined): Promise<void> {
  const address = addressWithin(self.location.origin, url ?? '/');
  const windows = await self.clients.matchAll({ type: 'window', includeUncontrolled: true });
  const [standing] = windows;
  if (standing === undefined) {
    await self.clients.openWindow(address);
    return;
  }
  await standing.focus();
  try {
    await standing.navigate(address);
  } catch {
    // A page that this worker does not control cannot be led: the one that now lies in front shows the alarm by itself.
  }
}
