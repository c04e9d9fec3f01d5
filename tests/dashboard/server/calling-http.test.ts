/* The routes of calling over real HTTP: contacts, channels, mail, pace, test calls, and the page behind a call's link. Secrets go in and never come out. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createHash } from 'node:crypto';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Writable } from 'node:stream';
import type {
  CalledOnDevice,
  CallPayload,
  ChannelRequest,
  ContactView,
  LeaveAloneView,
} from '@bathkeeper/shared-core/messages';
import { firstStep } from '@bathkeeper/shared-core/watch';
import { pino } from 'pino';
import { afterEach, describe, expect, it } from 'vitest';
import { webApplication } from '../../../dashboard/server/http/application.js';
import { openDoor } from '../../../dashboard/server/http/door.js';
import { MAIL_PASSWORD, MAIL_USER, mailReceiver, pushService, webhookReceiver } from './calling-receivers.js';
import { CONTROLLER, dashboardOnTrial, type Trial } from './dashboard-on-trial.js';

const closings: (() => void)[] = [];
afterEach(() => {
  for (const close of closings.splice(0).reverse()) close();
});

interface Answer<T> {
  readonly status: number;
  readonly body: T;
  readonly text: string;
  readonly headers: Headers;
}
interface Page {
  readonly trial: Trial;
  readonly address: string;
  /** Everything that was logged. */
  logged(): string;
  /** Everything that was answered. */
  answered(): string;
  ask<T = Record<string, unknown> & { error?: string; problems?: string[] }>(
    method: string,
    path: string,
    body?: unknown,
    headers?: Record<string, string>,
  ): Promise<Answer<T>>;
}

async function pageOnTrial(): Promise<Page> {
  let log = '';
  let told = '';
  let address = '';
  const trial = await dashboardOnTrial({
    connect: false,
    logger: pino({ level: 'trace' }, new Writable({ write: (bytes: Buffer, _encoding, done) => {
      log += bytes.toString();
      done();
    } })),
    more: { pageAddress: () => `${address}/`, isPushToPrivateAddressAllowed: true },
  }); // prettier-ignore
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-page-'));
  writeFileSync(join(folder, 'index.html'), '<!doctype html><title>Bathkeeper</title>');
  const door = openDoor(trial.dashboard.store, trial.clock);
  const server = createServer(
    webApplication({
      dashboard: trial.dashboard,
      door,
      pageFolder: folder,
      notices: () => [],
      press: () => undefined,
      mqttPort: () => 1883,
      hostAddress: () => '192.0.2.1',
      pairedReal: () => undefined,
    }),
  );
  server.keepAliveTimeout = 0;
  await new Promise<void>((done) => void server.listen(0, '127.0.0.1', done));
  closings.push(() => {
    rmSync(folder, { recursive: true, force: true });
    server.closeAllConnections();
    server.close();
  });
  address = `http://127.0.0.1:${String((server.address() as AddressInfo).port)}`;
  let cookie = '';
  const page: Page = {
    trial,
    address,
    logged: () => log,
    answered: () => told,
    ask: async (method, path, body, headers = {}) => {
      const response = await fetch(address + path, {
        method,
        redirect: 'manual',
        headers: { cookie, ...(body === undefined ? {} : { 'content-type': 'application/json' }), ...headers },
        body: body === undefined ? undefined : JSON.stringify(body),
      });
      const text = await response.text();
      told += text;
      const isJson = response.headers.get('content-type')?.includes('json') === true;
      return {
        status: response.status,
        body: (isJson ? JSON.parse(text) : {}) as never,
        text,
        headers: response.headers,
      };
    },
  };
  const first = await page.ask('POST', '/api/first-start', { token: door.firstStartToken, passphrase: 'copper grows at night' }); // prettier-ignore
  cookie = (first.headers.get('set-cookie') ?? '').split(';')[0]!;
  return page;
}

const owner = {
  name: 'Owner',
  place: 1,
  fromMinute: null,
  toMinute: null,
  wantsGoodNews: true,
  wantsMorningSummary: false,
};
const webhook = (address: string, fields: object = {}): ChannelRequest =>
  ({ kind: 'webhook', address, allowPrivateAddress: true, template: '', contentType: '', headers: [], ...fields }); // prettier-ignore
async function contactOn(page: Page, channel?: ChannelRequest): Promise<ContactView> {
  const { body } = await page.ask<ContactView>('POST', '/api/contacts', owner);
  if (channel !== undefined) await page.ask('POST', `/api/contacts/${String(body.contactId)}/channels`, channel);
  return body;
}

describe('a push subscription that the browser renewed', () => {
  const other = 'https://push.example.org/renewed';
  async function subscribedPage() {
    const page = await pageOnTrial();
    const { subscription } = await pushService();
    const contact = await contactOn(page, { kind: 'web-push', subscription });
    const renew = (oldEndpoint: string, endpoint = other) =>
      page.ask('PUT', '/api/push/subscription', { oldEndpoint, subscription: { ...subscription, endpoint } }, { cookie: '' }); // prettier-ignore
    const contacts = page.trial.dashboard.calling.contacts;
    const device = (endpoint: string) => createHash('sha256').update(endpoint).digest('base64url');
    return { page, subscription, contact, renew, contacts, device };
  }

  it('takes the place of the old one under the same channel and contact, without a session', async () => {
    const { subscription, contact, renew, contacts, device } = await subscribedPage();
    const before = contacts.channelsOfDevice(device(subscription.endpoint))[0]!;
    expect(before.contact_id).toBe(contact.contactId);
    expect((await renew(subscription.endpoint)).status).toBe(200);
    expect(contacts.channelsOfDevice(device(subscription.endpoint))).toEqual([]);
    expect(contacts.channelsOfDevice(device(other))).toMatchObject([
      {
        channel_id: before.channel_id,
        contact_id: contact.contactId,
        shown_address: 'https://push.example.org/…',
      },
    ]);
  });

  it('is refused, and changes nothing, where the old one is not known or the new one cannot be used', async () => {
    const { subscription, renew, contacts, device } = await subscribedPage();
    expect((await renew('https://push.example.org/guessed')).status).toBe(404);
    expect((await renew('')).status).toBe(400);
    expect((await renew(subscription.endpoint, 'file:///etc')).status).toBe(422);
    expect(contacts.channelsOfDevice(device(subscription.endpoint))).toHaveLength(1);
    expect(contacts.views()[0]!.channels).toHaveLength(1);
  });

  it('takes the place of the old one for each of several people who are called on it', async () => {
    const { page, subscription, renew, contacts, device } = await subscribedPage();
    await contactOn(page, { kind: 'web-push', subscription });
    await renew(subscription.endpoint);
    expect(contacts.channelsOfDevice(device(subscription.endpoint))).toEqual([]);
    expect(contacts.channelsOfDevice(device(other)).map((row) => row.contact_id)).toEqual([1, 2]);
  });

  it('is told who is called on it, by its name alone and only behind the door', async () => {
    const { page, subscription, contact, contacts, device } = await subscribedPage();
    const asked = (name: string, headers = {}) =>
      page.ask<CalledOnDevice[]>('GET', `/api/push/device?device=${name}`, undefined, headers);
    const { channel_id: channelId } = contacts.channelsOfDevice(device(subscription.endpoint))[0]!;
    expect((await asked(device(subscription.endpoint))).body).toMatchObject([
      { contactId: contact.contactId, name: 'Owner', channel: { channelId, kind: 'web-push', lastFailure: null } },
    ]);
    expect((await asked(device(other))).body).toEqual([]);
    // The push service has given it up, or somebody has removed it.
    contacts.removeChannel(channelId);
    expect((await asked(device(subscription.endpoint))).body).toEqual([]);
    expect((await asked(encodeURIComponent(subscription.endpoint))).status).toBe(400);
    expect((await asked(device(subscription.endpoint), { cookie: '' })).status).toBe(401);
    for (const words of [page.answered(), page.logged()]) expect(words).not.toContain(subscription.endpoint);
  });

  it('is asked for by the name of the device in the leave-alone check', async () => {
    const { page, subscription, device } = await subscribedPage();
    const words = async (query: string): Promise<string> =>
      (await page.ask<LeaveAloneView>('GET', `/api/controllers/${CONTROLLER}/leave-alone${query}`)).body.items[0]!.words; // prettier-ignore
    expect(await words(`?device=${device(subscription.endpoint)}`)).toMatch(/ever confirmed on this phone/);
    expect(await words('?device=somebody-else')).toMatch(/ever confirmed on a phone/);
    expect(await words('')).toMatch(/ever confirmed on a phone/);
  });
});

describe('contacts', () => {
  it('are added, changed, put in order and removed', async () => {
    const page = await pageOnTrial();
    const first = await contactOn(page);
    expect(first).toEqual({ contactId: 1, ...owner, wantsLowPriority: false, channels: [] });
    const { body: second } = await page.ask<ContactView>('POST', '/api/contacts', {
      ...owner,
      name: 'Second',
      place: 9,
    });
    expect(second.place).toBe(2);
    const changed = await page.ask<ContactView>('PUT', `/api/contacts/${String(second.contactId)}`, {
      ...owner, name: 'Second', place: 1, fromMinute: 1320, toMinute: 420, wantsLowPriority: true,
    }); // prettier-ignore
    expect(changed.body).toMatchObject({ place: 1, fromMinute: 1320, toMinute: 420, wantsLowPriority: true });
    const { body: all } = await page.ask<ContactView[]>('GET', '/api/contacts');
    expect(all.map(({ name, place }) => [name, place])).toEqual([['Second', 1], ['Owner', 2]]); // prettier-ignore
    expect((await page.ask('DELETE', `/api/contacts/${String(second.contactId)}`)).status).toBe(200);
    expect((await page.ask<ContactView[]>('GET', '/api/contacts')).body).toMatchObject([{ name: 'Owner', place: 1 }]);
    expect((await page.ask('DELETE', `/api/contacts/${String(second.contactId)}`)).status).toBe(404);
  });

  it('are refused with every fault at once', async () => {
    const page = await pageOnTrial();
    const { status, body } = await page.ask('POST', '/api/contacts', { ...owner, name: ' ', place: 0, toMinute: 5 });
    expect(status).toBe(400);
    expect(body.problems!.join(' ')).toMatch(/name: .*place: .*/);
    const half = await page.ask('POST', '/api/contacts', { ...owner, toMinute: 5 });
    expect(half.body.problems).toEqual(['fromMinute: expected both fromMinute and toMinute, or null for both (at any hour), got null.']); // prettier-ignore
    const none = await page.ask('POST', '/api/contacts', { ...owner, fromMinute: 5, toMinute: 5 });
    expect(none.body.problems![0]).toContain('leaves no time');
    for (let count = 0; count < 20; count++) await contactOn(page);
    expect((await page.ask('POST', '/api/contacts', owner)).body.error).toContain('Remove one first');
  });

  it('need the passphrase', async () => {
    const page = await pageOnTrial();
    for (const path of ['/api/contacts', '/api/mail', '/api/escalation', '/api/push/key'])
      expect((await page.ask('GET', path, undefined, { cookie: '' })).status).toBe(401);
  });
});

describe('channels', () => {
  it('are shown without what is secret, and what is secret is in no answer and no log', async () => {
    const page = await pageOnTrial();
    const receiver = await webhookReceiver(500);
    const contact = await contactOn(
      page,
      webhook(receiver.address, { headers: [{ name: 'Authorization', value: 'Bearer of-the-relay' }] }),
    );
    const push = await pushService();
    const path = `/api/contacts/${String(contact.contactId)}/channels`;
    const added = await page.ask('POST', path, { kind: 'web-push', subscription: { ...push.subscription, expirationTime: null } }); // prettier-ignore
    expect(added.body).toMatchObject({ kind: 'web-push', shownAddress: `${push.origin}/…` });
    const mail = await mailReceiver();
    await page.ask('PUT', '/api/mail', { host: mail.host, port: mail.port, isImplicitTls: false, user: MAIL_USER, password: MAIL_PASSWORD, from: 'bath@example.org' }); // prettier-ignore
    expect((await page.ask('POST', path, { kind: 'e-mail', address: 'owner@example.org' })).body).toMatchObject({ shownAddress: 'owner@example.org' }); // prettier-ignore
    const nowMs = page.trial.clock.nowMs();
    page.trial.dashboard.alarms.raise({ controllerId: CONTROLLER, name: 'trip', causeAtMs: nowMs, detail: '' }, nowMs);
    await page.trial.dashboard.settle();
    await page.trial.pass(2);
    for (const address of ['/api/contacts', '/api/mail', '/api/state', '/api/push/key', '/api/escalation'])
      expect((await page.ask('GET', address)).status).toBe(200);
    const everything = page.answered() + page.logged();
    for (const secret of [
      'of-the-webhook',
      'of-the-relay',
      'of-one-browser',
      push.subscription.keys.auth,
      MAIL_PASSWORD,
    ])
      expect(everything.includes(secret), secret).toBe(false);
    expect(receiver.asked[0]!.headers.authorization).toBe('Bearer of-the-relay');
  });

  it('are refused when they cannot work, and a refusal repeats no secret', async () => {
    const page = await pageOnTrial();
    const contact = await contactOn(page);
    const add = (request: unknown) => page.ask('POST', `/api/contacts/${String(contact.contactId)}/channels`, request);
    expect((await add(webhook('ftp://example.org/x'))).body.problems![0]).toContain('expected http: or https:');
    const bad = await add(webhook('https://example.org/', { template: '{"a":{{title}}}', headers: [{ name: 'x', value: 'secret\n' }] })); // prettier-ignore
    expect(bad.status).toBe(422);
    expect(bad.body.problems).toHaveLength(2);
    expect(bad.text).not.toContain('secret');
    expect((await add({ kind: 'e-mail', address: 'nobody' })).status).toBe(400);
    expect((await add({ kind: 'e-mail', address: 'a@example.org' })).body.error).toContain('No mail server is set');
    const push = await pushService();
    expect((await add({ kind: 'web-push', subscription: { ...push.subscription, endpoint: 'file:///etc' } })).status).toBe(422); // prettier-ignore
    expect((await add({ kind: 'telegram' })).status).toBe(400);
    expect((await page.ask('DELETE', '/api/channels/99')).status).toBe(404);
  });

  it('call over a webhook of the local network only when the owner allowed it', async () => {
    const page = await pageOnTrial();
    const receiver = await webhookReceiver();
    await contactOn(page, webhook(receiver.address, { allowPrivateAddress: false }));
    const { body: call } = await page.ask<{ testCallId: number }>('POST', '/api/contacts/1/test-call', { repeatsUntilConfirmed: false }); // prettier-ignore
    await page.trial.dashboard.settle();
    const { body } = await page.ask('GET', `/api/test-calls/${String(call.testCallId)}`);
    expect(body.words).toContain('Allow that in the settings if it is meant.');
    expect(receiver.asked).toEqual([]);
  });
});

describe('the mail server', () => {
  it('is told at once that its password is wrong, and the page never gets it back', async () => {
    const page = await pageOnTrial();
    const mail = await mailReceiver();
    const request = {
      host: mail.host,
      port: mail.port,
      isImplicitTls: false,
      user: MAIL_USER,
      from: 'bath@example.org',
    };
    const wrong = await page.ask('PUT', '/api/mail', { ...request, password: 'not-this-one' });
    expect(wrong.body).toMatchObject({ deliveredAtMs: null });
    expect(wrong.body.words).toContain('refused user and password');
    const right = await page.ask('PUT', '/api/mail', { ...request, password: MAIL_PASSWORD });
    expect(right.body.words).toContain('Logged in');
    expect((await page.ask('GET', '/api/mail')).body).toEqual({ ...request, isSet: true, hasPassword: true });
    expect(page.answered() + page.logged()).not.toContain('not-this-one');
    // Without a password: the one that is known.
    expect((await page.ask('PUT', '/api/mail', request)).body.words).toContain('Logged in');
    expect((await page.ask('PUT', '/api/mail', { ...request, host: '' })).status).toBe(200);
    expect((await page.ask('GET', '/api/mail')).body).toMatchObject({ isSet: false, hasPassword: false });
  });

  it('is refused with a sender that is no address, or with a line break in it', async () => {
    const page = await pageOnTrial();
    const request = { host: 'mail.example.org', port: 465, isImplicitTls: true, user: '', from: 'nobody' };
    expect((await page.ask('PUT', '/api/mail', request)).body.problems![0]).toContain('bath@example.org');
    expect(
      (await page.ask('PUT', '/api/mail', { ...request, from: 'a@example.org\r\nBcc: b@example.org' })).status,
    ).toBe(400);
  });
});

describe('the pace', () => {
  it('is read, changed and checked, the zone of the house with it', async () => {
    const page = await pageOnTrial();
    const { body } = await page.ask('GET', '/api/escalation');
    expect(body).toMatchObject({ againAfterMinutes: 5, nextPersonAfterMinutes: 10, morningSummaryAtMinute: 420 });
    const changed = await page.ask('PUT', '/api/escalation', { againAfterMinutes: 3, nextPersonAfterMinutes: 6, timeZone: 'Europe/Berlin' }); // prettier-ignore
    expect(changed.body).toEqual({ againAfterMinutes: 3, nextPersonAfterMinutes: 6, timeZone: 'Europe/Berlin', morningSummaryAtMinute: 420 }); // prettier-ignore
    expect((await page.ask('PUT', '/api/escalation', { againAfterMinutes: 0, nextPersonAfterMinutes: 6 })).status).toBe(
      400,
    );
    const none = await page.ask('PUT', '/api/escalation', { againAfterMinutes: 3, nextPersonAfterMinutes: 6, morningSummaryAtMinute: null }); // prettier-ignore
    expect(none.body).toMatchObject({ morningSummaryAtMinute: null });
    expect((await page.ask('GET', '/api/escalation')).body).toMatchObject({ morningSummaryAtMinute: null });
    const zone = await page.ask('PUT', '/api/escalation', { againAfterMinutes: 3, nextPersonAfterMinutes: 6, timeZone: 'Home' }); // prettier-ignore
    expect(zone.body.problems![0]).toContain('Europe/Berlin');
  });
});

describe('the page behind a link', () => {
  async function called(page: Page): Promise<{ payload: CallPayload; path: string; alarmId: number }> {
    const receiver = await webhookReceiver();
    await contactOn(page, webhook(receiver.address));
    const nowMs = page.trial.clock.nowMs();
    const alarmId = page.trial.dashboard.alarms.raise(
      { controllerId: CONTROLLER, name: 'trip', causeAtMs: nowMs, detail: '<script>alert(1)</script>' },
      nowMs,
    )!;
    await page.trial.dashboard.settle();
    const payload = receiver.bodies[0]!;
    return { payload, path: new URL(payload.acknowledgeUrl!).pathname, alarmId };
  }
  const stateOf = (page: Page, alarmId: number) =>
    page.trial.dashboard.snapshot().alarms.find((alarm) => alarm.alarmId === alarmId)!.state;
  const stranger = { cookie: '', accept: 'text/html' };

  it('shows a button to whoever holds the link, and only its press acknowledges, once', async () => {
    const page = await pageOnTrial();
    const { path, alarmId } = await called(page);
    for (const method of ['GET', 'HEAD', 'GET']) {
      const { status, headers } = await page.ask(method, path, undefined, stranger);
      expect(status).toBe(200);
      expect(headers.get('cache-control')).toBe('no-store');
      expect(headers.get('referrer-policy')).toBe('no-referrer');
    }
    const shown = await page.ask('GET', path, undefined, stranger);
    expect(shown.text).toContain('<form method="post"><button type="submit">I have seen it</button></form>');
    expect(shown.text).toContain('&#60;script&#62;');
    // What to do stands in front of what it is, and that in front of the button.
    const { checkFirst, title } = page.trial.dashboard.snapshot().alarms.find((alarm) => alarm.alarmId === alarmId)!;
    const heading = `<h1>${firstStep(checkFirst).first.replaceAll("'", '&#39;')}</h1>`;
    const places = [heading, `<strong>Copper 60 L: ${title}</strong>`, '<button'].map((part) => shown.text.indexOf(part)); // prettier-ignore
    expect(places.every((place) => place > 0)).toBe(true);
    expect(places).toEqual([...places].sort((a, b) => a - b));
    expect(shown.text).not.toContain('<script>');
    expect(stateOf(page, alarmId)).toBe('unacknowledged');
    const done = await page.ask('POST', path, undefined, { ...stranger, origin: 'https://elsewhere.example.org' });
    expect(done.status).toBe(200);
    expect(done.text).toContain('<h1>Acknowledged</h1>');
    expect(stateOf(page, alarmId)).not.toBe('unacknowledged');
    const again = await page.ask('POST', path, undefined, stranger);
    expect(again.status).toBe(409);
    expect(again.text).toContain('used already');
    expect((await page.ask('GET', path, undefined, stranger)).text).not.toContain('<button');
  });

  it('answers a service worker in JSON, and tells by the status what became of it', async () => {
    const page = await pageOnTrial();
    const { path } = await called(page);
    const asWorker = { cookie: '', accept: 'application/json' };
    expect((await page.ask('POST', path, undefined, asWorker)).body).toMatchObject({ state: 'done', title: 'Acknowledged' }); // prettier-ignore
    expect((await page.ask('POST', path, undefined, asWorker)).status).toBe(409);
    expect((await page.ask('POST', '/acknowledge/1-guess', undefined, asWorker)).status).toBe(404);
  });

  it('serves no more after a day', async () => {
    const page = await pageOnTrial();
    const { path } = await called(page);
    const { calling } = page.trial.dashboard;
    const token = path.split('/').at(-1)!;
    const nowMs = page.trial.clock.nowMs();
    expect(calling.acknowledging.look(token, nowMs + 24 * 3_600_000).state).toBe('open');
    expect(calling.acknowledging.acknowledge(token, nowMs + 24 * 3_600_000 + 1).state).toBe('expired');
  });

  it('says that somebody has acknowledged meanwhile, and takes no many guesses', async () => {
    const page = await pageOnTrial();
    const { path, alarmId } = await called(page);
    await page.ask('POST', `/api/alarms/${String(alarmId)}/acknowledge`, {});
    const shown = (await page.ask('GET', path, undefined, stranger)).text;
    expect(shown).toContain('<h1>Acknowledged already</h1>');
    expect(shown).not.toContain('<button');
    let status = 0;
    for (let guess = 0; guess < 80 && status !== 429; guess++)
      ({ status } = await page.ask('POST', `/acknowledge/${String(guess)}-${'A'.repeat(32)}`, undefined, stranger));
    expect(status).toBe(429);
    const tooMany = await page.ask('GET', path, undefined, stranger);
    expect(tooMany.text).toContain('<h1>Too many tries</h1>');
    const asWorker = { cookie: '', accept: 'application/json' };
    expect((await page.ask('GET', path, undefined, asWorker)).body).toMatchObject({ state: 'too-many' });
  });

  it.each(['/acknowledge', '/acknowledge/', '/acknowledge/7-/more', '/acknowledge/%E0%A4%A', '/acknowledge/%'])(
    'says of %s that the link is not known, whichever way it is asked',
    async (path) => {
      const page = await pageOnTrial();
      for (const method of ['GET', 'POST', 'PUT']) {
        const { status, text, headers } = await page.ask(method, path, undefined, stranger);
        expect([method, status]).toEqual([method, 404]);
        expect(headers.get('content-type')).toContain('text/html');
        expect(headers.get('cache-control')).toBe('no-store');
        expect(text).toContain('<h1>This link is not known</h1>');
        expect(text).toContain('Open the page and acknowledge there.');
        expect(text).not.toContain('<button');
      }
      const asWorker = { cookie: '', accept: 'application/json' };
      expect(await page.ask('POST', path, undefined, asWorker)).toMatchObject({ status: 404, body: { state: 'unknown', title: 'This link is not known' } }); // prettier-ignore
    },
  );

  it('says that the store did not take it, and serves once the store takes it', async () => {
    const page = await pageOnTrial();
    const { path, alarmId } = await called(page);
    const { database } = page.trial.dashboard.store;
    database.pragma('query_only = 1');
    const refused = await page.ask('POST', path, undefined, stranger);
    expect(refused.status).toBe(503);
    expect(refused.text).toContain('<h1>It could not be noted</h1>');
    expect(refused.text).toContain('Go and look at the bath first.');
    database.pragma('query_only = 0');
    expect(stateOf(page, alarmId)).toBe('unacknowledged');
    expect((await page.ask('POST', path, undefined, stranger)).text).toContain('<h1>Acknowledged</h1>');
  });
});

describe('the page behind a link of a call that needs nobody any more', () => {
  const stranger = { cookie: '', accept: 'text/html' };
  async function calledForFilter(page: Page): Promise<string> {
    const receiver = await webhookReceiver();
    await contactOn(page, webhook(receiver.address));
    const nowMs = page.trial.clock.nowMs();
    page.trial.dashboard.alarms.raise(
      { controllerId: CONTROLLER, name: 'filter-stopped', causeAtMs: nowMs, detail: '' },
      nowMs,
    );
    await page.trial.dashboard.settle();
    return new URL(receiver.bodies[0]!.acknowledgeUrl!).pathname;
  }

  it('says that it has returned to normal, and has no button', async () => {
    const page = await pageOnTrial();
    const path = await calledForFilter(page);
    page.trial.dashboard.alarms.returnToNormal(CONTROLLER, 'filter-stopped', page.trial.clock.nowMs());
    await page.trial.pass(2 * 3_600);
    const shown = (await page.ask('GET', path, undefined, stranger)).text;
    expect(shown).toContain('<h1>Returned to normal</h1>');
    expect(shown).not.toContain('<button');
  });

  it('leads on to what a later call tells, without the passphrase', async () => {
    const page = await pageOnTrial();
    const path = await calledForFilter(page);
    const names = ['rotation-stalled', 'clip-hot', 'supply-fault', 'contact-weak', 'held', 'bath-will-overheat', 'held-for-long', 'rotation-given-up', 'current-off-permitted', 'command-refused'] as const; // prettier-ignore
    for (const name of names) {
      await page.trial.pass(20);
      const nowMs = page.trial.clock.nowMs();
      page.trial.dashboard.alarms.raise({ controllerId: CONTROLLER, name, causeAtMs: nowMs, detail: '', priority: 'medium' }, nowMs); // prettier-ignore
    }
    await page.trial.dashboard.settle();
    const shown = (await page.ask('GET', path, undefined, stranger)).text;
    expect(shown).toContain('I have seen it');
    expect(shown).toContain('tells of 10 more that nobody has acknowledged.');
    const [, later] = /href="([^"]+)">See what is open now/.exec(shown)!;
    expect((await page.ask('GET', later!, undefined, stranger)).text).toContain(', and 10 more</strong>');
  });

  it('says that somebody has silenced it, and has no button', async () => {
    const page = await pageOnTrial();
    const path = await calledForFilter(page);
    const shelf = `/api/controllers/${CONTROLLER}/alarms/filter-stopped/shelve`;
    expect((await page.ask('POST', shelf, { reason: 'its cartridge is being changed', minutes: 60 })).status).toBe(200);
    const shown = (await page.ask('GET', path, undefined, stranger)).text;
    expect(shown).toContain('<h1>Silenced meanwhile</h1>');
    expect(shown).not.toContain('<button');
    // The notification of a phone may still be pressed: it is told that nothing was left, and the call counts as confirmed.
    const pressed = await page.ask('POST', path, undefined, { cookie: '', accept: 'application/json' });
    expect(pressed.status).toBe(200);
    expect(pressed.body).toMatchObject({ state: 'done' });
    expect((await page.ask('POST', path, undefined, stranger)).status).toBe(409);
  });
});

describe('a test call from the page', () => {
  it('rings until it is confirmed on the phone, and the page sees it', async () => {
    const page = await pageOnTrial();
    const receiver = await webhookReceiver();
    const contact = await contactOn(page, webhook(receiver.address));
    const path = `/api/contacts/${String(contact.contactId)}/test-call`;
    const { body: call } = await page.ask<{ testCallId: number }>('POST', path, { repeatsUntilConfirmed: true });
    await page.trial.dashboard.settle();
    const see = async () => (await page.ask('GET', `/api/test-calls/${String(call.testCallId)}`)).body;
    expect(await see()).toMatchObject({ tries: 1, confirmedAtMs: null, words: 'Delivered; waits to be confirmed on the phone.' }); // prettier-ignore
    const confirm = await page.ask('POST', new URL(receiver.bodies[0]!.acknowledgeUrl!).pathname, undefined, { cookie: '', accept: 'text/html' }); // prettier-ignore
    expect(confirm.text).toContain('Calls reach this phone.');
    expect(await see()).toMatchObject({ confirmedAtMs: page.trial.clock.nowMs(), words: 'Confirmed on the phone.' });
    const { body: views } = await page.ask<ContactView[]>('GET', '/api/contacts');
    expect(views[0]!.channels[0]!.lastConfirmedAtMs).toBe(page.trial.clock.nowMs());
    const { body: second } = await page.ask<{ testCallId: number }>('POST', '/api/channels/1/test-call', { repeatsUntilConfirmed: true }); // prettier-ignore
    const stopped = await page.ask('DELETE', `/api/test-calls/${String(second.testCallId)}`);
    expect(stopped.body.endedAtMs).toBe(page.trial.clock.nowMs());
    expect((await page.ask('GET', '/api/test-calls/99')).status).toBe(404);
  });

  it('is refused where there is nothing to ring', async () => {
    const page = await pageOnTrial();
    await contactOn(page);
    const { status, body } = await page.ask('POST', '/api/contacts/1/test-call', { repeatsUntilConfirmed: false });
    expect(status).toBe(409);
    expect(body.error).toContain('Add one first');
    expect((await page.ask('POST', '/api/contacts/9/test-call', { repeatsUntilConfirmed: false })).status).toBe(404);
  });
});
