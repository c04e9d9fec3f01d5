/*
 * The page behind the link of a call in a real browser, as the program serves it, in each of its states: phone and wide screen, by day and by night.
 * What it does is told by tests/dashboard/server/calling-http.test.ts.
 */
import type { Browser, Page as Tab } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import type { AlarmName, CallPayload } from '@bathkeeper/shared-core/messages';
import { contact, raise } from '../dashboard/server/calling-on-trial.js';
import { type Page, pageOnTrial } from '../dashboard/server/page-on-trial.js';
import { launchedBrowser, openPage } from './open-page.js';
import { looksRightNow, SCREENS } from './page-room.js';

let browser: Browser;
const open: { page: Tab; errors: string[] }[] = [];
beforeAll(async () => {
  browser = await launchedBrowser();
}, 60_000);
afterAll(async () => {
  await browser.close();
});
afterEach(async () => {
  const errors = open.flatMap((one) => one.errors);
  await Promise.all(open.splice(0).map(({ page }) => page.context().close()));
  expect(errors, 'errors in the console of the page').toEqual([]);
});

const called = (): Promise<Page> => pageOnTrial({ connect: false, more: { pageAddress: () => 'https://bath.example.org/' } }); // prettier-ignore
const linkOf = (payload: CallPayload): string => new URL(payload.acknowledgeUrl!).pathname;
async function linksOf(page: Page, names: readonly AlarmName[]): Promise<string[]> {
  const { receiver } = await contact(page.trial, 'First watch');
  for (const name of names) {
    raise(page.trial, name, { priority: 'high' });
    await page.trial.dashboard.settle();
    await page.trial.pass(20);
  }
  return receiver.bodies.map(linkOf);
}
async function opened(address: string, screen: (typeof SCREENS)[number]): Promise<Tab> {
  const one = await openPage(browser, address, { ...screen, isStill: true });
  open.push(one);
  return one.page;
}
/** Careful eyes, which for links in a text look at this page alone: each stands for itself, for a thumb at night. */
async function looks(tab: Tab, name: string): Promise<void> {
  await looksRightNow(tab, name);
  const heights = await tab.locator('main a').evaluateAll((links) => links.map((link) => link.getBoundingClientRect().height)); // prettier-ignore
  expect(Math.min(...heights), `${name}: links under 44 px`).toBeGreaterThanOrEqual(43.5);
}
const heading = (tab: Tab, name: string | RegExp): Promise<void> =>
  tab.getByRole('heading', { level: 1, name }).waitFor();
/** On all screens. */
async function looksRight(page: Page, name: string, link: string, words: string | RegExp): Promise<void> {
  for (const screen of SCREENS) {
    const tab = await opened(page.address + link, screen);
    await heading(tab, words);
    expect(await tab.getByRole('button').count(), 'nothing to press where a press does nothing').toBe(0);
    await looks(tab, `acknowledge-${name}-${screen.scene}`);
  }
}

test(
  'a link that serves has one button, then says that it did, and after that that it was used',
  { timeout: 180_000 },
  async () => {
    const page = await called();
    const links = await linksOf(page, ['rotation-stalled', 'clip-hot', 'supply-fault', 'trip']);
    for (const [at, screen] of SCREENS.entries()) {
      const tab = await opened(page.address + links[at]!, screen);
      const button = tab.getByRole('button', { name: 'I have seen it' });
      await looks(tab, `acknowledge-open-${screen.scene}`);
      const box = (await button.boundingBox())!;
      expect(box.y + box.height, 'reached without scrolling').toBeLessThan(screen.size.height);
      await button.click();
      await heading(tab, 'Acknowledged');
      await looks(tab, `acknowledge-done-${screen.scene}`);
      await tab.goto(page.address + links[at]!);
      await heading(tab, 'This link was used already');
      await looks(tab, `acknowledge-used-${screen.scene}`);
    }
  },
);

test('a link tells of what came since, and leads there', { timeout: 180_000 }, async () => {
  const page = await called();
  const { receiver } = await contact(page.trial, 'First watch');
  for (const name of ['rotation-stalled', 'supply-fault', 'clip-hot'] as const) {
    raise(page.trial, name, { priority: 'high' });
    await page.trial.dashboard.settle();
  }
  await page.trial.pass(10);
  for (const screen of SCREENS) {
    const tab = await opened(page.address + linkOf(receiver.bodies[0]!), screen);
    await tab.getByText('A later message tells of 2 more that nobody has acknowledged.').waitFor();
    await looks(tab, `acknowledge-more-${screen.scene}`);
    await tab.getByRole('link', { name: 'See what is open now' }).click();
    await tab.getByText(/, and 2 more$/).waitFor();
    expect(await tab.locator('main').innerText()).not.toMatch(/ 0 minutes/);
    await looks(tab, `acknowledge-several-${screen.scene}`);
  }
});

test('a link that does nothing says why, and what to do', { timeout: 180_000 }, async () => {
  const page = await called();
  const [acknowledged, old] = await linksOf(page, ['rotation-stalled', 'clip-hot']);
  page.trial.dashboard.alarms.acknowledge(1, 'page', page.trial.clock.nowMs());
  await looksRight(page, 'over', acknowledged!, 'Acknowledged already');
  await looksRight(page, 'torn', old!.slice(0, -9), 'This link is not known');
  await looksRight(page, 'missing', '/acknowledge', 'This link is not known');
  // As if it had been sent 25 hours ago: to play them second by second would only time the disk.
  page.trial.dashboard.store.database.exec('UPDATE deliveries SET queued_at_ms = queued_at_ms - 25 * 3600000');
  await looksRight(page, 'expired', old!, 'This link has expired');
});

test('a store that does not take it, and too many tries, are told', { timeout: 180_000 }, async () => {
  const page = await called();
  const [link] = await linksOf(page, ['rotation-stalled']);
  const { database } = page.trial.dashboard.store;
  database.pragma('query_only = 1');
  for (const screen of SCREENS) {
    const tab = await opened(page.address + link!, screen);
    await tab.getByRole('button', { name: 'I have seen it' }).click();
    await heading(tab, 'It could not be noted');
    await looks(tab, `acknowledge-failed-${screen.scene}`);
    if (screen !== SCREENS.at(-1)) continue;
    database.pragma('query_only = 0');
    await tab.getByRole('button', { name: 'Try again' }).click();
    await heading(tab, 'Acknowledged');
  }
  let status = 0;
  for (let guess = 0; guess < 80 && status !== 429; guess++)
    ({ status } = await page.ask('GET', `/acknowledge/${String(guess)}-${'A'.repeat(32)}`));
  expect(status).toBe(429);
  await looksRight(page, 'too-many', link!, 'Too many tries');
});
