/*
 * Watch and call on the real program: a person with a webhook, a test call that is confirmed, a held bath whose alarm rings at a receiver
 * of our own and is acknowledged by the button behind its link, the journal that tells it, silences, and the leave-alone check.
 */
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { CallPayload } from '@bathkeeper/shared-core/messages';
import { openPage, shot } from './open-page.js';
import { eventually } from './page-room.js';
import { chooseThePassphrase, journey } from './running-program.js';

const started = journey(4);
let relay: Server;
const rung: CallPayload[] = [];

beforeAll(async () => {
  relay = createServer((request, response) => {
    let text = '';
    request.on('data', (chunk) => (text += String(chunk)));
    request.on('end', () => {
      rung.push(JSON.parse(text) as CallPayload);
      response.end();
    });
  });
  await new Promise<void>((resolve) => {
    relay.listen(0, '127.0.0.1', resolve);
  });
});
afterAll(() => {
  relay.close();
});

/** The link of a call names this computer in its network; the program under test listens on the loopback alone. */
const here = (address: string): string => new URL(new URL(address).pathname, started.program.link).href;

const relayAddress = (): string =>
  `http://127.0.0.1:${String((relay.address() as AddressInfo).port)}/topic-that-is-secret`;

test(
  'from an empty list of people to an alarm that rang, was acknowledged from its link, and stands in the journal',
  { timeout: 180_000 },
  async () => {
    const { page, errors } = await openPage(started.browser, started.program.link);
    page.setDefaultTimeout(45_000);
    await chooseThePassphrase(page);
    await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();

    // Before anybody can be called, the leave-alone check says so.
    await page.getByRole('link', { name: 'Before you leave it alone' }).click();
    const missing = page.getByRole('region', { name: 'Missing' });
    await missing.getByRole('heading', { name: /^A call that somebody confirmed/ }).waitFor();
    await page.getByText('Nobody can be called yet.').waitFor();

    // A person, and a way to reach them. A private address only when it was allowed.
    await page.getByRole('link', { name: 'Who is called' }).click();
    await page.getByRole('button', { name: 'Add a person' }).click();
    await page.getByLabel('Name').fill('First watch');
    await page.getByRole('button', { name: 'Add', exact: true }).click();
    await page.getByRole('button', { name: 'Add a way to reach First watch' }).click();
    await page.getByLabel('Webhook', { exact: true }).check();
    await page.getByLabel(/^Webhook address/).fill(relayAddress());
    await page.getByLabel(/^The address may be on this computer/).check();
    await page.getByRole('button', { name: 'Add this way' }).click();
    const ways = page.getByRole('list', { name: 'Ways to reach First watch' });
    await ways.getByText('Nothing has been delivered yet').waitFor();
    expect(await page.content()).not.toContain('topic-that-is-secret');

    // A test call, confirmed behind its link by a press: opening the link alone confirms nothing.
    await page.getByRole('button', { name: 'Test call to First watch' }).click();
    await eventually(() => rung.length).toBe(1);
    await page.getByText(/1 call sent, delivered\. Confirm it/).waitFor();
    expect(rung[0]).toMatchObject({ kind: 'test', contact: 'First watch' });
    const phone = await openPage(started.browser, here(rung[0]!.acknowledgeUrl!));
    await phone.page.getByRole('button', { name: 'It reached me' }).waitFor();
    await shot(phone.page, 'phone-confirm-link');
    await phone.page.getByRole('button', { name: 'It reached me' }).click();
    await page.getByText(/^Confirmed after/).waitFor();
    await shot(page, 'whole-way-calls');

    // A silence is kept by the dashboard, and one of a trip is refused in its words.
    await page.getByRole('link', { name: 'Bath', exact: true }).click();
    await page.getByText('None: every alarm calls.').waitFor();
    const silence = async (alarm: string): Promise<void> => {
      await page.getByRole('button', { name: 'Silence an alarm…' }).click();
      const dialog = page.getByRole('dialog');
      await dialog.getByLabel('Alarm').selectOption({ label: alarm });
      await dialog.getByLabel('Reason').fill('no filter is fitted');
      await dialog.getByRole('button', { name: 'Shelve' }).click();
    };
    await silence('Tripped');
    await page
      .getByRole('dialog')
      .getByText(/is never silent/)
      .waitFor();
    await page.keyboard.press('Escape');
    await silence('Filter stopped');
    await page.getByText(/^Shelved on the page until .*: no filter is fitted/).waitFor();

    // Hold: its alarm rings at the receiver, and the button behind its link acknowledges it.
    const alarmsRung = () => rung.filter((call) => call.kind === 'alarm');
    await page.getByRole('button', { name: 'Hold', exact: true }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Hold', exact: true }).click();
    const held = page
      .getByRole('region', { name: 'Alarms', exact: true })
      .getByRole('listitem', { name: 'Held at the keep-alive current' });
    await held.getByRole('button', { name: /^Acknowledge: / }).waitFor();
    await eventually(() => alarmsRung().map((call) => call.alarm)).toContain('held');
    const call = alarmsRung().find((one) => one.alarm === 'held')!;
    await phone.page.goto(here(call.acknowledgeUrl!));
    await phone.page.getByRole('button', { name: 'I have seen it' }).click();
    await held.getByText(/active, acknowledged/).waitFor();
    expect(await held.getByRole('button', { name: /^Acknowledge: / }).count()).toBe(0);
    // The link has served.
    await phone.page.goto(here(call.acknowledgeUrl!));
    expect(await phone.page.getByRole('button').count()).toBe(0);

    // The address in the call leads to the page; the journal tells who did what.
    await page.getByRole('link', { name: 'Journal' }).click();
    const today = page.getByRole('region', { name: /^(Today|Yesterday)/ }).first();
    await today.getByText(/^Held acknowledged by /).waitFor();
    await today.getByText(/shelved on the page: no filter is fitted/).waitFor();
    await page
      .getByRole('region', { name: /^A night in figures/ })
      .getByText(/an hour$/)
      .waitFor();
    await shot(page, 'whole-way-journal');

    // And the call that was confirmed no longer is missing.
    await page.getByRole('link', { name: 'Bath', exact: true }).click();
    await page.getByRole('link', { name: 'Before you leave it alone' }).click();
    await page
      .getByRole('region', { name: 'Good' })
      .getByRole('heading', { name: /^A call that somebody confirmed/ })
      .waitFor();
    await shot(page, 'whole-way-leave-alone');

    expect([...errors, ...phone.errors]).toEqual([]);
    await page.context().close();
    await phone.page.context().close();
  },
);
