/*
 * What the room of calls says of this very device, in a real browser: called and as whom, no longer known and subscribed again by one press, never asked,
 * blocked. A Chromium of a test has no push service: its subscription is put in its place, everything around it is the browser's own.
 */
import { createHash } from 'node:crypto';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { first, second, shelveContacts } from './canned-calls.js';
import { shot } from './open-page.js';
import { eventually, pageRoom } from './page-room.js';

const room = pageRoom();

const OLD = 'https://push.example/old-and-secret';
const NEW = 'https://push.example/new-and-secret';
const nameOf = (endpoint: string): string => createHash('sha256').update(endpoint).digest('base64url');
const region = (page: Page) => page.getByRole('region', { name: 'This device' });

/** Opens the room on a device with this permission and, where it has one, this subscription; a new one is `NEW`, once the old one was given up. */
async function openedOn(permission: 'granted' | 'default' | 'denied', standing: string | null): Promise<Page> {
  // An uncompressed point of P-256: 65 bytes that begin with 4 (RFC 8292, 3.2; SEC 1, 2.3.3).
  const point = Buffer.alloc(65, 7);
  point[0] = 4;
  room.server.shelves.set('/api/push/key', { publicKey: point.toString('base64url') });
  const page = await room.opened({}, '/#bath/north-bench');
  await page.addInitScript(
    ({ permission, standing, next, key }) => {
      const at = (endpoint: string) => ({
        endpoint,
        options: { applicationServerKey: new Uint8Array(key).buffer },
        toJSON: () => ({ endpoint, keys: { p256dh: 'public', auth: 'shared' } }),
        unsubscribe: () => {
          now = null;
          return Promise.resolve(true);
        },
      });
      let now = standing === null ? null : at(standing);
      let isAllowed = permission;
      Object.defineProperty(Notification, 'permission', { get: () => isAllowed });
      Notification.requestPermission = () => {
        if (isAllowed === 'default') isAllowed = 'granted';
        return Promise.resolve(isAllowed);
      };
      PushManager.prototype.getSubscription = () => Promise.resolve(now as unknown as PushSubscription);
      PushManager.prototype.subscribe = () => Promise.resolve((now ??= at(next)) as unknown as PushSubscription);
    },
    { permission, standing, next: NEW, key: [...point] },
  );
  await page.goto(`${room.server.address}/#calls`);
  await page.reload();
  return page;
}
/** The dashboard calls this person on this device. */
function known(endpoint: string, contact = first): void {
  room.server.shelves.set('/api/push/device', (query: URLSearchParams) =>
    query.get('device') === nameOf(endpoint)
      ? [{ contactId: contact.contactId, name: contact.name, channel: { ...first.channels[0]! } }]
      : [],
  );
}
const knownNowhere = (): void => {
  known('nobody knows it');
};

describe('this device', () => {
  test('receives calls as somebody, and the address of its push service stays with the browser', async () => {
    shelveContacts(room.server, first, second);
    known(OLD);
    const page = await openedOn('granted', OLD);
    await region(page).getByText('This device receives calls as “First watch”. Last delivered 01:04').waitFor();
    expect(await region(page).getByRole('button').count()).toBe(0);
    await shot(page, 'phone-this-device');
    expect(room.server.read.join('\n')).toContain(nameOf(OLD));
    expect(room.server.read.join('\n')).not.toMatch(/secret/);
    expect(await page.content()).not.toMatch(/secret/);
  });

  test('that the dashboard does not know any more is subscribed anew by one press, for whom it was called before', async () => {
    shelveContacts(room.server, first, second);
    known(OLD, second);
    const page = await openedOn('granted', OLD);
    await region(page).getByText('receives calls as “Second watch”').waitFor();
    // The push service has given it up, and the dashboard with it; the browser still hands out what is dead.
    knownNowhere();
    await page.reload();
    await region(page).getByText(/^Subscribe again: this device receives no calls/).waitFor(); // prettier-ignore
    await shot(page, 'phone-this-device-lost');
    room.server.answer = () => {
      known(NEW, second);
      return { status: 201, body: {} };
    };
    await region(page).getByRole('button', { name: 'Subscribe again' }).click();
    await region(page).getByText('receives calls as “Second watch”').waitFor();
    expect(room.server.asked).toEqual([
      {
        method: 'POST',
        path: '/api/contacts/2/channels',
        body: { kind: 'web-push', subscription: { endpoint: NEW, keys: { p256dh: 'public', auth: 'shared' } } },
      },
    ]);
  });

  test('that was never asked is called after one press, for the person that was chosen', async () => {
    shelveContacts(room.server, first, second);
    knownNowhere();
    room.server.answer = () => {
      known(NEW, second);
      return { status: 201, body: {} };
    };
    const page = await openedOn('default', null);
    await region(page).getByText(/^Press the button, then allow notifications/).waitFor(); // prettier-ignore
    await region(page).getByLabel('Whose device is it?').selectOption({ label: 'Second watch' });
    await region(page).getByRole('button', { name: 'Call this device' }).click();
    await region(page).getByText('receives calls as “Second watch”').waitFor();
    await eventually(() => room.server.asked[0]?.path).toBe('/api/contacts/2/channels');
  });

  test('whose notifications are blocked says where to allow them, and offers no button that would do nothing', async () => {
    shelveContacts(room.server, first);
    known(OLD);
    const page = await openedOn('denied', OLD);
    await region(page).getByText(/are blocked on this device\. Allow them in the settings of the browser/).waitFor(); // prettier-ignore
    expect(await region(page).getByRole('button').count()).toBe(0);
  });

  test('with nobody to be called for says what comes first', async () => {
    shelveContacts(room.server);
    const page = await openedOn('default', null);
    await region(page).getByText('Add a person below').waitFor();
    expect(await region(page).getByRole('button').count()).toBe(0);
  });

  test('stays unknown, and says why, where the dashboard does not answer', async () => {
    shelveContacts(room.server, first);
    const page = await openedOn('granted', OLD);
    await region(page).getByRole('alert').getByText('The fixture has nothing there.').waitFor();
    expect(
      await region(page)
        .getByText(/receives calls|Subscribe again/)
        .count(),
    ).toBe(0);
  });
});
