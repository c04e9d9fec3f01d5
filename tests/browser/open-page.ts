/*
 * Opens the page in a real Chromium for the browser tests: a phone or a wide screen, by day or by night.
 * A page that writes an error to its console fails its test. Waits are for what appears, never for time.
 */
import type { Browser, Page } from 'playwright-core';
import { chromium } from 'playwright-core';
import { chromiumLaunch } from '../programs/chromium.js';

export const PHONE = { width: 360, height: 740 };
export const WIDE = { width: 1400, height: 900 };

/** `more`: arguments for this browser beside the usual ones. */
export function launchedBrowser(more: readonly string[] = []): Promise<Browser> {
  const { executablePath, args, env } = chromiumLaunch();
  return chromium.launch({ executablePath, args: [...args, ...more], env });
}

export interface OpenPage {
  readonly page: Page;
  /** Errors of the page itself; failed requests to the dashboard are not among them. */
  readonly errors: string[];
}

export async function openPage(
  browser: Browser,
  address: string,
  options: {
    size?: { width: number; height: number };
    look?: 'light' | 'dark';
    isStill?: boolean;
    locale?: string;
  } = {},
): Promise<OpenPage> {
  const context = await browser.newContext({
    viewport: options.size ?? PHONE,
    colorScheme: options.look ?? 'light',
    reducedMotion: options.isStill ? 'reduce' : 'no-preference',
    locale: options.locale ?? 'en-GB',
    timezoneId: 'UTC',
  });
  const page = await context.newPage();
  // As long as a busy machine may need.
  page.setDefaultTimeout(30_000);
  const errors: string[] = [];
  page.on('pageerror', (error) => errors.push(String(error)));
  page.on('console', (message) => {
    if (message.type() === 'error' && !message.text().startsWith('Failed to load resource'))
      errors.push(message.text());
  });
  await page.goto(address);
  return { page, errors };
}

/** Writes a picture where BATHKEEPER_SHOTS says, for eyes and for the README; without it does nothing. */
export async function shot(page: Page, name: string, fullPage = true): Promise<void> {
  const folder = process.env.BATHKEEPER_SHOTS;
  if (folder) await page.screenshot({ path: `${folder}/${name}.png`, fullPage });
}
