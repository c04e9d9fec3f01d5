/*
 * What every file of browser tests begins and ends with: the page as built-page.ts built it, one Chromium, for each test a fresh
 * fixture server and a fresh context; a page that wrote an error to its console fails its test.
 */
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, inject } from 'vitest';
import { contrastFaults, overflowingElements, smallTargets } from './eyes.js';
import { type FixtureServer, startFixtureServer } from './fixture-server.js';
import { launchedBrowser, openPage, PHONE, shot, WIDE } from './open-page.js';

export interface PageRoom {
  readonly browser: Browser;
  readonly server: FixtureServer;
  /** Opens the page; `host` instead of 127.0.0.1 makes an address that browsers do not take for safe. */
  opened(options?: Parameters<typeof openPage>[2], path?: string, host?: string): Promise<Page>;
  /** Opens an address on a phone and on a wide screen, by day and by night, waits for what must be there, and looks with careful eyes. */
  looksRight(name: string, path: string, isThere: (page: Page) => Promise<unknown>): Promise<void>;
}

/** A phone and a wide screen, by day and by night. */
export const SCREENS = [
  { scene: 'phone-light', size: PHONE, look: 'light' },
  { scene: 'phone-dark', size: PHONE, look: 'dark' },
  { scene: 'wide-light', size: WIDE, look: 'light' },
  { scene: 'wide-dark', size: WIDE, look: 'dark' },
] as const;

/** Takes a picture of what is shown now, and looks with careful eyes. */
export async function looksRightNow(page: Page, name: string): Promise<void> {
  await shot(page, name);
  expect(await overflowingElements(page), `${name}: wider than the screen`).toEqual([]);
  expect(await contrastFaults(page), `${name}: contrast under 4.5 (3 for large words)`).toEqual([]);
  expect(await smallTargets(page), `${name}: targets under 44 px`).toEqual([]);
}

/** Called once at the top of a test file. `args`: for the browser. */
export function pageRoom(args: readonly string[] = []): PageRoom {
  let open: { page: Page; errors: string[] }[] = [];
  const room = {
    browser: undefined as unknown as Browser,
    server: undefined as unknown as FixtureServer,
    opened: async (options: Parameters<typeof openPage>[2] = {}, path = '/', host = '127.0.0.1') => {
      const one = await openPage(room.browser, room.server.address.replace('127.0.0.1', host) + path, options);
      open.push(one);
      return one.page;
    },
    looksRight: async (name: string, path: string, isThere: (page: Page) => Promise<unknown>) => {
      for (const { scene, ...screen } of SCREENS) {
        const page = await room.opened({ ...screen, isStill: true }, path);
        await isThere(page);
        await looksRightNow(page, `${name}-${scene}`);
        await page.context().close();
      }
    },
  };
  beforeAll(async () => {
    room.browser = await launchedBrowser(args);
  }, 120_000);
  afterAll(async () => {
    await room.browser.close();
  });
  beforeEach(async () => {
    room.server = await startFixtureServer(inject('pageFolder'));
  });
  afterEach(async () => {
    const errors = open.flatMap((one) => one.errors);
    await Promise.all(open.map((one) => one.page.context().close()));
    open = [];
    await room.server.close();
    expect(errors, 'errors in the console of the page').toEqual([]);
  });
  return room;
}

/** Waits for what the page or its worker will do, as long as a busy machine may need. */
export function eventually(asked: () => unknown): ReturnType<typeof expect.poll> {
  return expect.poll(asked, { timeout: 30_000 });
}
