/*
 * Who is called, the leave-alone check and the settings of the house, in a real browser against canned answers: people with order and
 * hours, channels whose secrets never come back, test calls until confirmed, what is missing before a run is left alone.
 */
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import type { ContactView, LeaveAloneView, TestCallView } from '@bathkeeper/shared-core/messages';
import { escalation, first, second, shelveContacts } from './canned-calls.js';
import { cannedSnapshot, NIGHT_MS } from './canned-night.js';
import { shot } from './open-page.js';
import { eventually, pageRoom } from './page-room.js';

/** A name that a browser does not take for this very computer: plain http to it is not safe. */
const ELSEWHERE = 'bath.test';
const room = pageRoom([`--host-resolver-rules=MAP ${ELSEWHERE} 127.0.0.1`]);

const withContacts = (...contacts: ContactView[]): void => {
  shelveContacts(room.server, ...contacts);
};

const testCall = (change: Partial<TestCallView> = {}): TestCallView => ({
  testCallId: 5,
  contactId: 1,
  startedAtMs: NIGHT_MS,
  tries: 1,
  deliveredAtMs: NIGHT_MS + 300,
  confirmedAtMs: null,
  endedAtMs: null,
  words: '',
  ...change,
});

describe('people', () => {
  test('stand in their order with hours, and each way to reach them with its state', async () => {
    withContacts(second, first);
    const page = await room.opened();
    await page.getByRole('link', { name: 'Calls' }).click();
    await page.getByText('called from 22:00 to 07:30, over midnight; also wants good news').waitFor();
    const names = await page.getByRole('heading', { level: 3 }).allTextContents();
    expect(names.slice(0, 2)).toEqual(['First watch', 'Second watch']);
    const ways = page.getByRole('list', { name: 'Ways to reach First watch' });
    await ways.getByText('Last delivered 01:04, confirmed 01:05.').waitFor();
    await ways.getByText('Failing: the mail server refused the log-in (535).').waitFor();
    await page.getByText('No way to reach Second watch yet: add one.').waitFor();
    await shot(page, 'phone-calls');
  });

  test('nobody to call is said as what it is', async () => {
    withContacts();
    const page = await room.opened({}, '/#calls');
    await page.getByText(/wakes no phone/).waitFor();
  });

  test('one is added with hours over midnight, after what was wrong was said at its field', async () => {
    withContacts(first);
    room.server.answer = (asked) => {
      withContacts(first, second);
      return { status: 201, body: { ...second, ...(asked.body as object) } };
    };
    const page = await room.opened({}, '/#calls');
    await page.getByRole('button', { name: 'Add a person' }).click();
    const form = page.getByRole('form', { name: 'A new person' });
    await form.getByLabel('only within these hours').check();
    await form.getByLabel('From').fill('21:30');
    await form.getByLabel('To', { exact: true }).fill('21:30');
    await form.getByRole('button', { name: 'Add' }).click();
    await form.getByText('Give a name').waitFor();
    await form.getByText('From and to are the same time').waitFor();
    expect(room.server.asked).toEqual([]);
    await form.getByLabel('Name').fill('Second watch');
    await form.getByLabel('To', { exact: true }).fill('06:15');
    await form.getByLabel(/^a summary of the night/).check();
    await form.getByRole('button', { name: 'Add' }).click();
    await page.getByRole('heading', { level: 3, name: 'Second watch' }).waitFor();
    expect(room.server.asked[0]).toMatchObject({
      method: 'POST',
      path: '/api/contacts',
      body: {
        name: 'Second watch',
        place: 2,
        fromMinute: 1290,
        toMinute: 375,
        wantsGoodNews: false,
        wantsMorningSummary: true,
        wantsLowPriority: false,
      },
    });
  });

  test('two change places, one is changed, one is removed after a second question', async () => {
    withContacts(first, second);
    room.server.answer = () => ({ body: {} });
    const page = await room.opened({}, '/#calls');
    await page.getByRole('button', { name: 'Call Second watch earlier' }).click();
    await eventually(() => room.server.asked.length).toBe(2);
    expect(room.server.asked).toMatchObject([
      { method: 'PUT', path: '/api/contacts/2', body: { place: 1, name: 'Second watch' } },
      { method: 'PUT', path: '/api/contacts/1', body: { place: 2, name: 'First watch' } },
    ]);
    await page.getByRole('button', { name: 'Change First watch' }).click();
    const form = page.getByRole('form', { name: 'Change First watch' });
    expect(await form.getByLabel('From').inputValue()).toBe('22:00');
    await form.getByLabel('Name').fill('Night watch');
    await form.getByRole('button', { name: 'Save' }).click();
    await form.waitFor({ state: 'detached' });
    expect(room.server.asked[2]).toMatchObject({
      method: 'PUT',
      path: '/api/contacts/1',
      body: { name: 'Night watch' },
    });
    await page.getByRole('button', { name: 'Remove Second watch' }).click();
    const question = page.getByRole('group', { name: 'Remove Second watch and every way to reach them?' });
    const safe = question.getByRole('button', { name: 'Leave it' });
    await eventually(() => safe.evaluate((one) => one === document.activeElement)).toBe(true);
    await page.keyboard.press('Escape');
    await question.waitFor({ state: 'detached' });
    const remove = page.getByRole('button', { name: 'Remove Second watch' });
    await eventually(() => remove.evaluate((one) => one === document.activeElement)).toBe(true);
    expect(room.server.asked).toHaveLength(3);
    await remove.click();
    await question.getByRole('button', { name: 'Remove Second watch' }).click();
    await eventually(() => room.server.asked[3]).toMatchObject({ method: 'DELETE', path: '/api/contacts/2' });
  });
});

describe('ways to reach somebody', () => {
  test('one is removed after a second question, and left where it was at Enter on the safe choice', async () => {
    withContacts(first);
    room.server.answer = () => ({ body: {} });
    const page = await room.opened({}, '/#calls');
    const remove = page.getByRole('button', { name: 'Remove Web Push push.example' });
    await remove.click();
    const question = page.getByRole('group', { name: /^Remove Web Push push\.example\?/ });
    await question.waitFor();
    await page.keyboard.press('Enter');
    await question.waitFor({ state: 'detached' });
    expect(room.server.asked).toEqual([]);
    await remove.click();
    await question.getByRole('button', { name: 'Remove this way' }).click();
    await eventually(() => room.server.asked[0]).toMatchObject({ method: 'DELETE', path: '/api/channels/11' });
  });

  test('a webhook goes out once with its headers, and nothing secret comes back to the page', async () => {
    withContacts(second);
    room.server.answer = () => ({ status: 201, body: {} });
    const page = await room.opened({}, '/#calls');
    await page.getByRole('button', { name: 'Add a way to reach Second watch' }).click();
    const form = page.getByRole('form', { name: 'A way to reach Second watch' });
    await form.getByLabel('Webhook', { exact: true }).check();
    await form.getByRole('button', { name: 'Add this way' }).click();
    await form.getByRole('alert').getByText('begins with https:// or http://').waitFor();
    await form.getByLabel(/^Webhook address/).fill('https://relay.example/topic-secret');
    await form.getByText('Body and headers').click();
    await form.getByLabel(/^Body/).fill('{"text": "{{title}}"}');
    await form.getByLabel(/^Headers/).fill('no colon here');
    await form.getByRole('button', { name: 'Add this way' }).click();
    await form.getByRole('alert').getByText('Header line 1: expected a name, a colon and a value').waitFor();
    await form.getByLabel(/^Headers/).fill('Authorization: Bearer secret-token');
    await shot(page, 'phone-webhook-form');
    await form.getByRole('button', { name: 'Add this way' }).click();
    await form.waitFor({ state: 'detached' });
    expect(room.server.asked[0]).toEqual({
      method: 'POST',
      path: '/api/contacts/2/channels',
      body: {
        kind: 'webhook',
        address: 'https://relay.example/topic-secret',
        allowPrivateAddress: false,
        template: '{"text": "{{title}}"}',
        contentType: 'application/json',
        headers: [{ name: 'Authorization', value: 'Bearer secret-token' }],
      },
    });
    expect(await page.content()).not.toMatch(/secret/);
  });

  test('over plain http the page says that Web Push needs HTTPS, and that webhook and e-mail serve', async () => {
    withContacts(second);
    const page = await room.opened({}, '/#calls', ELSEWHERE);
    await page.getByRole('button', { name: 'Add a way to reach Second watch' }).click();
    const form = page.getByRole('form', { name: 'A way to reach Second watch' });
    await form.getByLabel('Web Push, on this device').check();
    await form
      .getByText(/Web Push needs HTTPS, and this page came over plain http\. A webhook or e‑mail serves/)
      .waitFor();
    expect(await form.getByRole('button', { name: 'Call this device' }).isDisabled()).toBe(true);
    await shot(page, 'phone-push-needs-https');
    await form.getByLabel('E‑mail', { exact: true }).check();
    await form.getByLabel('E‑mail address').fill('nobody');
    await form.getByRole('button', { name: 'Add this way' }).click();
    await form.getByRole('alert').getByText('got “nobody”').waitFor();
    expect(room.server.asked).toEqual([]);
  });

  /** A Chromium of a test has no push service: its answer is put in its place, everything around it is the browser's own. */
  async function withPushService(page: Page, answer: 'subscription' | 'refusal'): Promise<void> {
    await page.context().grantPermissions(['notifications']);
    await page.addInitScript((kind) => {
      PushManager.prototype.getSubscription = () => Promise.resolve(null);
      PushManager.prototype.subscribe = (options) => {
        const key = new Uint8Array(options?.applicationServerKey as ArrayBuffer);
        return kind === 'refusal'
          ? Promise.reject(new DOMException('Registration failed - push service error', 'AbortError'))
          : Promise.resolve({
              toJSON: () => ({
                endpoint: `https://push.example/${String(key.length)}-${String(key[0])}`,
                keys: { p256dh: 'public', auth: 'shared' },
              }),
            } as unknown as PushSubscription);
      };
    }, answer);
    await page.reload();
  }

  test('Web Push on this device subscribes under the key of the dashboard', async () => {
    withContacts(second);
    // An uncompressed point of P-256: 65 bytes that begin with 4 (RFC 8292, 3.2; SEC 1, 2.3.3).
    const point = Buffer.alloc(65, 7);
    point[0] = 4;
    room.server.shelves.set('/api/push/key', { publicKey: point.toString('base64url') });
    room.server.answer = () => ({ status: 201, body: {} });
    const page = await room.opened({}, '/#calls');
    await withPushService(page, 'subscription');
    await page.getByRole('button', { name: 'Add a way to reach Second watch' }).click();
    await page.getByRole('button', { name: 'Call this device' }).click();
    await eventually(() => room.server.asked[0]).toMatchObject({
      path: '/api/contacts/2/channels',
      body: {
        kind: 'web-push',
        subscription: { endpoint: 'https://push.example/65-4', keys: { p256dh: 'public', auth: 'shared' } },
      },
    });
  });

  test('what the push service of a browser refuses is told with what to do', async () => {
    withContacts(second);
    room.server.shelves.set('/api/push/key', { publicKey: 'B'.repeat(87) });
    const page = await room.opened({}, '/#calls');
    await withPushService(page, 'refusal');
    await page.getByRole('button', { name: 'Add a way to reach Second watch' }).click();
    await page.getByRole('button', { name: 'Call this device' }).click();
    await page
      .getByRole('alert')
      .getByText(/push service refused .* take a webhook or e‑mail/)
      .waitFor();
    expect(room.server.asked).toEqual([]);
  });
});

describe('a test call', () => {
  test('is followed until it is confirmed on the phone', async () => {
    withContacts(first);
    room.server.answer = () => ({ body: testCall() });
    room.server.shelves.set('/api/test-calls/5', testCall());
    const page = await room.opened({}, '/#calls');
    await page.getByRole('button', { name: 'Test call to First watch' }).click();
    await page.getByText('1 call sent, delivered. Confirm it on the phone.').waitFor();
    expect(room.server.asked[0]).toMatchObject({
      path: '/api/contacts/1/test-call',
      body: { repeatsUntilConfirmed: false },
    });
    room.server.shelves.set('/api/test-calls/5', testCall({ confirmedAtMs: NIGHT_MS + 42_000 }));
    await page
      .getByText(
        'Confirmed after 42\u00a0s and 1 call. Calls reach this phone. Whether they wake you, only the test before you leave it alone tells.',
      )
      .waitFor();
  });

  test('is ended early, and says that nobody confirmed it', async () => {
    withContacts(first);
    room.server.answer = (asked) => ({
      body: asked.method === 'DELETE' ? testCall({ endedAtMs: NIGHT_MS + 9000 }) : testCall(),
    });
    room.server.shelves.set('/api/test-calls/5', testCall());
    const page = await room.opened({}, '/#calls');
    await page.getByRole('button', { name: 'Test call to First watch' }).click();
    await page.getByRole('button', { name: 'End the test call to First watch' }).click();
    await page.getByText('Ended after 1 call, not confirmed.').waitFor();
  });
});

describe('when nobody acknowledges, and the mail server', () => {
  test('the minutes are kept, and what is no number is refused at once', async () => {
    withContacts(first);
    room.server.answer = (asked) => ({ body: asked.body });
    const page = await room.opened({}, '/#calls');
    const form = page.getByRole('form', { name: 'When nobody acknowledges' });
    await form.getByLabel(/^Call the same person again/).fill('soon');
    await form.getByRole('button', { name: 'Save' }).click();
    await form.getByRole('alert').getByText('got “soon”').waitFor();
    await form.getByLabel(/^Call the same person again/).fill('2');
    await form.getByRole('button', { name: 'Save' }).click();
    await eventually(() => room.server.asked[0]).toMatchObject({
      method: 'PUT',
      path: '/api/escalation',
      body: { ...escalation, againAfterMinutes: 2 },
    });
  });

  test('a morning summary whose time was emptied is told to the dashboard as none, and what is no time is refused', async () => {
    withContacts(first);
    room.server.answer = (asked) => ({ body: asked.body });
    const page = await room.opened({}, '/#calls');
    const form = page.getByRole('form', { name: 'When nobody acknowledges' });
    const morning = form.getByLabel(/^The morning summary goes out at/);
    expect(await morning.inputValue()).toBe('07:00');
    await morning.fill('7 am');
    await form.getByRole('button', { name: 'Save' }).click();
    await form.getByRole('alert').getByText('got “7 am”').waitFor();
    expect(room.server.asked).toEqual([]);
    await morning.fill('');
    await form.getByRole('button', { name: 'Save' }).click();
    await eventually(() => room.server.asked[0]?.body).toMatchObject({ morningSummaryAtMinute: null });
    await eventually(() => morning.inputValue()).toBe('');
  });

  test('times stand in 24 hours in a browser of a language that has a.m. and p.m.', async () => {
    withContacts(first);
    const page = await room.opened({ locale: 'en-US' }, '/#calls');
    await page.getByText('called from 22:00 to 07:30, over midnight').waitFor();
    await page.getByRole('button', { name: 'Change First watch' }).click();
    const from = page.getByRole('form', { name: 'Change First watch' }).getByLabel('From');
    // A field of type "time" shows its value in the browser's language, and no script can see how.
    expect(await page.locator('input[type="time"]').count()).toBe(0);
    expect(await from.inputValue()).toBe('22:00');
    await from.fill('2130');
    await from.blur();
    await eventually(() => from.inputValue()).toBe('21:30');
    expect(await page.locator('body').innerText()).not.toMatch(/\d\s?[ap]\.?m\b/i);
  });

  test('a wrong password is told at once; the password never comes back', async () => {
    withContacts(first);
    room.server.answer = (asked) =>
      (asked.body as { password?: string }).password === 'right'
        ? { body: testCall({ words: 'Logged in to mail.example.org.' }) }
        : {
            body: testCall({
              deliveredAtMs: null,
              words: 'The mail server refused the log-in: check user and password.',
            }),
          };
    const page = await room.opened({}, '/#calls');
    const form = page.getByRole('form', { name: 'Mail server' });
    const password = form.getByLabel(/^Password/);
    expect(await password.inputValue()).toBe('');
    await password.fill('wrong');
    await form.getByRole('button', { name: 'Save and log in' }).click();
    await page.getByText('The mail server refused the log-in: check user and password.').waitFor();
    await password.fill('right');
    await form.getByRole('button', { name: 'Save and log in' }).click();
    await page.getByText('Logged in to mail.example.org.').waitFor();
    expect(await password.inputValue()).toBe('');
    // Left empty, it is not sent: the dashboard keeps what it has.
    await form.getByLabel(/^Server/).fill('mail2.example.org');
    await form.getByRole('button', { name: 'Save and log in' }).click();
    await eventually(() => room.server.asked.length).toBe(3);
    expect(room.server.asked[2]?.body).not.toHaveProperty('password');
  });
});

const check: LeaveAloneView = {
  controllerId: 'north-bench',
  checkedAtMs: NIGHT_MS,
  plannedFinishAtMs: NIGHT_MS + 10 * 3_600_000,
  items: [
    { name: 'rig-limits', state: 'good', words: 'Set at the bath: 40 A, 8 V, 40 °C.' },
    {
      name: 'call-confirmed',
      state: 'missing',
      words:
        'Nobody has confirmed a call in the last day. A phone that does not ring is found out now, or at three in the morning. Start a test call below.',
    },
    { name: 'disk', state: 'good', words: '41 GB free: enough for years.' },
    {
      name: 'sleep',
      state: 'unknown',
      words: 'It cannot be told whether this computer will sleep. Look in its power settings.',
    },
    { name: 'finish-time', state: 'good', words: 'Done about 12:05.' },
  ],
};

describe('the leave-alone check', () => {
  test('lists what is missing first with the reason, and blocks nothing', async () => {
    withContacts(first);
    room.server.shelves.set('/api/controllers/north-bench/leave-alone', check);
    const page = await room.opened();
    await page.getByRole('link', { name: 'Before you leave it alone' }).click();
    await page.getByText('2 of 5 are missing. Whether it is left alone is yours to decide.').waitFor();
    const missing = page.getByRole('region', { name: 'Missing' });
    expect(await missing.getByRole('listitem').count()).toBe(2);
    await missing.getByText('Nobody has confirmed a call in the last day.').waitFor();
    await missing
      .getByRole('heading', { name: /^This computer stays awake\s*: not known, counts as missing/ })
      .waitFor();
    await shot(page, 'phone-leave-alone');
    await page.getByRole('link', { name: 'Back to the bath' }).click();
    expect(await page.getByRole('button', { name: 'Hold', exact: true }).isEnabled()).toBe(true);
  });

  test('a test call to the locked phone repeats until it is confirmed, and then the check is made anew', async () => {
    withContacts(second, first);
    room.server.shelves.set('/api/controllers/north-bench/leave-alone', () =>
      confirmed ? { ...check, items: check.items.filter((item) => item.state === 'good') } : check,
    );
    let confirmed = false;
    room.server.answer = () => ({ body: testCall() });
    room.server.shelves.set('/api/test-calls/5', () =>
      testCall(confirmed ? { tries: 3, confirmedAtMs: NIGHT_MS + 150_000 } : { tries: 3 }),
    );
    const page = await room.opened({}, '/#leave-alone/north-bench');
    await page.getByRole('button', { name: 'Test call to First watch' }).click();
    await page
      .getByText('3 calls sent, delivered. Confirm it on the phone. It repeats each minute until then.')
      .waitFor();
    expect(room.server.asked[0]?.body).toEqual({ repeatsUntilConfirmed: true });
    confirmed = true;
    await page.getByText('Confirmed after 2\u00a0min 30\u00a0s and 3 calls. This phone wakes you.').waitFor();
    await page.getByText('Nothing is missing. It can be left alone as well as this tool can tell.').waitFor();
  });

  test('without anybody to call it says where to add somebody', async () => {
    withContacts(second);
    room.server.shelves.set('/api/controllers/north-bench/leave-alone', check);
    const page = await room.opened({}, '/#leave-alone/north-bench');
    await page.getByText('Nobody can be called yet.').waitFor();
    expect(await page.getByRole('button', { name: /^Test call/ }).count()).toBe(0);
  });
});

describe('the heartbeat outward', () => {
  test('is set, shows when it was answered, and is removed', async () => {
    const unset = { isSet: false, shownAddress: null, everyMinutes: 5, lastAnsweredAtMs: null, lastFailure: null };
    room.server.shelves.set('/api/heartbeat', unset);
    room.server.answer = (asked) => {
      const { address, everyMinutes } = asked.body as { address: string; everyMinutes: number };
      return {
        body:
          address === ''
            ? unset
            : {
                ...unset,
                isSet: true,
                shownAddress: 'https://beat.example/…',
                everyMinutes,
                lastAnsweredAtMs: NIGHT_MS,
              },
      };
    };
    const page = await room.opened({}, '/#settings');
    await page.getByText('None is set: nobody outside would notice.').waitFor();
    const form = page.getByRole('form', { name: 'Heartbeat outward' });
    await form.getByLabel('Heartbeat address').fill('https://beat.example/key-123');
    await form.getByLabel(/^Every/).fill('10');
    await form.getByRole('button', { name: 'Save' }).click();
    await page.getByText(/https:\/\/beat\.example\/….*every 10 min\. It last answered 02:04\./).waitFor();
    expect(await page.content()).not.toContain('key-123');
    await page.getByRole('button', { name: 'Remove the heartbeat' }).click();
    await page.getByText('Then nobody outside notices when this dashboard is dead.').waitFor();
    expect(room.server.asked).toHaveLength(1);
    await page.getByRole('group').getByRole('button', { name: 'Remove the heartbeat' }).click();
    await page.getByText('None is set: nobody outside would notice.').waitFor();
    expect(room.server.asked[1]?.body).toMatchObject({ address: '' });
  });

  test('the settings say how the page came, and where HTTPS is to be had', async () => {
    const page = await room.opened({}, '/#settings');
    await page.getByText('This page came over plain http. Web Push needs HTTPS').waitFor();
    expect(await page.getByRole('link', { name: /^How to come by HTTPS/ }).getAttribute('href')).toBe('/trust');
  });
});

describe('the look', () => {
  test('of the room of calls with every form open', async () => {
    withContacts(first, second);
    await room.looksRight('calls', '/#calls', async (page) => {
      await page.getByRole('button', { name: 'Add a person' }).click();
      await page.getByLabel('only within these hours').check();
      await page.getByRole('button', { name: 'Add a way to reach Second watch' }).click();
      await page.getByLabel('Webhook', { exact: true }).check();
      await page.getByText('Body and headers').click();
      await page.getByRole('button', { name: 'Add this way' }).click();
      await page.getByText('begins with https:// or http://').waitFor();
    });
  });

  test('of the leave-alone check', async () => {
    withContacts(first, second);
    room.server.shelves.set('/api/controllers/north-bench/leave-alone', check);
    await room.looksRight('leave-alone', '/#leave-alone/north-bench', async (page) => {
      await page.getByRole('button', { name: 'Test call to First watch' }).waitFor();
      await page.getByText('2 of 5 are missing').waitFor();
    });
  });

  test('of the settings, with a heartbeat that fails', async () => {
    room.server.snapshot = cannedSnapshot();
    room.server.shelves.set('/api/heartbeat', {
      isSet: true,
      shownAddress: 'https://beat.example/…',
      everyMinutes: 5,
      lastAnsweredAtMs: null,
      lastFailure: 'It answered 404: check the address.',
    });
    await room.looksRight('settings', '/#settings', (page) => page.getByText('It answered 404').waitFor());
  });
});
