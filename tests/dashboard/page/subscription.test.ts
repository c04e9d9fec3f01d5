/* A push subscription that the browser changes, and of which it may tell nothing: the worker's handler with stand-ins for browser and dashboard. */
import { expect, test } from 'vitest';
import {
  followSubscription,
  lookAtSubscription,
  type SubscriptionPlace,
} from '../../../dashboard/page/service-worker/subscription.js';

const subscriptionAt = (endpoint: string): PushSubscription =>
  ({
    endpoint,
    options: { applicationServerKey: new ArrayBuffer(4) },
    toJSON: () => ({ endpoint, keys: { p256dh: 'p', auth: 'a' } }),
  }) as unknown as PushSubscription;

/** `answers`: of the dashboard to a renewal, a status each, the last one kept. */
function placeOnTrial(now: { kept?: string; standing?: string; next?: string; answers?: number[] }) {
  const answers = now.answers ?? [200];
  const told: unknown[] = [];
  const shown: string[] = [];
  const state = { kept: now.kept };
  const place: SubscriptionPlace = {
    subscription: () => Promise.resolve(now.standing === undefined ? null : subscriptionAt(now.standing)),
    subscribe: () =>
      now.next === undefined ? Promise.reject(new Error('denied')) : Promise.resolve(subscriptionAt(now.next)),
    fetch: (path, init) => {
      if (path === '/api/push/key') return Promise.resolve(Response.json({ publicKey: 'key' }));
      told.push([init?.method, path, JSON.parse(init?.body as string)]);
      const status = answers.length > 1 ? answers.shift()! : answers[0]!;
      return status === 0
        ? Promise.reject(new TypeError('no network'))
        : Promise.resolve(Response.json({}, { status }));
    },
    keep: () =>
      Promise.resolve({
        match: () => Promise.resolve(state.kept === undefined ? undefined : new Response(state.kept)),
        put: async (_name: unknown, response: Response) => {
          state.kept = await response.text();
        },
        delete: () => Promise.resolve(true),
      } as Pick<Cache, 'match' | 'put' | 'delete'>),
    show: ({ title }) => {
      shown.push(title);
      return Promise.resolve();
    },
  };
  return { place, told, shown, state };
}
const renewal = (oldEndpoint: string, endpoint: string) => [
  'PUT',
  '/api/push/subscription',
  { oldEndpoint, subscription: { endpoint, keys: { p256dh: 'p', auth: 'a' } } },
];
const GONE = ['This device is no longer called'];

test('both told: the dashboard is told of both, and the new one is kept', async () => {
  const { place, told, shown, state } = placeOnTrial({});
  await followSubscription(place, subscriptionAt('old'), subscriptionAt('new'));
  expect([told, shown, state.kept]).toEqual([[renewal('old', 'new')], [], 'new']);
});

test('neither told: the kept one is the old one, and the worker subscribes anew with the key of the dashboard', async () => {
  const { place, told, shown, state } = placeOnTrial({ kept: 'old', next: 'new' });
  await followSubscription(place, null, null);
  expect([told, shown, state.kept]).toEqual([[renewal('old', 'new')], [], 'new']);
});

test.each([
  ['the browser does not let it subscribe', { kept: 'old' }],
  ['nobody knows the old one', { standing: 'new' }],
  ['the dashboard does not know the old one', { kept: 'old', standing: 'new', answers: [404] }],
  ['the dashboard cannot be reached', { kept: 'old', standing: 'new', answers: [0] }],
])('%s: the device says that it is no longer called', async (_why, now) => {
  const { place, shown, state } = placeOnTrial(now);
  await followSubscription(place, null, null);
  expect(shown).toEqual(GONE);
  expect(state.kept).toBe('kept' in now ? now.kept : undefined);
});

test('what could not be told is mended when the page starts, also where only the event knew the old one', async () => {
  const { place, told, state } = placeOnTrial({ standing: 'new', answers: [0, 200] });
  await followSubscription(place, subscriptionAt('old'), subscriptionAt('new'));
  expect(state.kept).toBe('old');
  await lookAtSubscription(place);
  expect([told[1], state.kept]).toEqual([renewal('old', 'new'), 'new']);
});

test.each([
  ['is the kept one: nothing is told', { kept: 'same', standing: 'same' }, 0, 'same'],
  ['is the first one: it is kept', { standing: 'first' }, 0, 'first'],
  ['was never there: nothing is done', {}, 0, undefined],
  ['is another: it is told', { kept: 'old', standing: 'new' }, 1, 'new'],
  ['is gone: a new one is made and told', { kept: 'old', next: 'new' }, 1, 'new'],
  ['is another, and the dashboard is away: it is tried again next time', { kept: 'old', standing: 'new', answers: [503] }, 1, 'old'],
  ['is another, and somebody removed this device: it is left so', { kept: 'old', standing: 'new', answers: [404] }, 1, 'new'],
])('at the start of the page the subscription %s', async (_what, now, toldCount, kept) => {
  const { place, told, shown, state } = placeOnTrial(now);
  await lookAtSubscription(place);
  expect([told.length, shown, state.kept]).toEqual([toldCount, [], kept]);
}); // prettier-ignore
