/* A whole dashboard behind its door, over real HTTP on loopback. Called by the tests of the page's routes; it is closed after each test. */
import { scryptSync } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { SimulatedButton } from '@bathkeeper/shared-core/messages';
import { afterEach } from 'vitest';
import type { Express } from 'express';
import { webApplication } from '../../../dashboard/server/http/application.js';
import { type Door, openDoor } from '../../../dashboard/server/http/door.js';
import { dashboardOnTrial, type Trial } from './dashboard-on-trial.js';

const closings: (() => void)[] = [];
afterEach(() => {
  for (const close of closings.splice(0).reverse()) close();
});

export interface Answer {
  readonly status: number;
  readonly body: Record<string, unknown> & { error?: string; problems?: string[] };
  readonly headers: Headers;
}
export interface Page {
  readonly trial: Trial;
  readonly door: Door;
  readonly address: string;
  readonly app: Express;
  readonly pressed: SimulatedButton[];
  ask(method: string, path: string, body?: unknown, headers?: Record<string, string>): Promise<Answer>;
}

export const PASSPHRASE = 'copper grows at night';

export async function pageOnTrial(options: NonNullable<Parameters<typeof dashboardOnTrial>[0]> = {}): Promise<Page> {
  const trial = await dashboardOnTrial(options);
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-page-'));
  writeFileSync(join(folder, 'index.html'), '<!doctype html><title>Bathkeeper</title>');
  const door = openDoor(trial.dashboard.store, trial.clock);
  const pressed: SimulatedButton[] = [];
  const app = webApplication({
    dashboard: trial.dashboard,
    door,
    pageFolder: folder,
    notices: () => [],
    press: () => (options.isSimulated ? (button) => pressed.push(button) : undefined),
    mqttPort: () => 1883,
    hostAddress: () => '192.0.2.1',
    pairedReal: () => {
      for (const bath of trial.dashboard.book.all())
        if (bath.paired.isSimulated) trial.dashboard.unpair(bath.paired.controllerId);
    },
  });
  const server = createServer(app);
  // A slow machine hashes passphrases for seconds: no connection may fall away between two questions.
  server.keepAliveTimeout = 0;
  await new Promise<void>((done) => void server.listen(0, '127.0.0.1', done));
  closings.push(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  closings.push(() => {
    server.closeAllConnections();
    server.close();
  });
  const address = `http://127.0.0.1:${String((server.address() as AddressInfo).port)}`;
  return {
    trial,
    door,
    address,
    app,
    pressed,
    ask: async (method, path, body, headers = {}) => {
      const response = await fetch(address + path, {
        method,
        redirect: 'manual',
        headers: { ...(body === undefined ? {} : { 'content-type': 'application/json' }), ...headers },
        body: body === undefined ? undefined : typeof body === 'string' ? body : JSON.stringify(body),
      });
      const text = await response.text();
      return {
        status: response.status,
        body: /^[{[]/.test(text) ? (JSON.parse(text) as Answer['body']) : { text },
        headers: response.headers,
      };
    },
  };
}

export const cookieOf = (answer: Answer): string => (answer.headers.get('set-cookie') ?? '').split(';')[0]!;
/** The cookie of a session, after the first start. For tests of the door: it takes the time that a passphrase is meant to take. */
export async function firstStart(page: Page): Promise<Record<string, string>> {
  return {
    cookie: cookieOf(
      await page.ask('POST', '/api/first-start', { token: page.door.firstStartToken, passphrase: PASSPHRASE }),
    ),
  };
}

/**
 * PASSPHRASE as a store keeps one: `salt:hash:log2 N:p`, of scrypt (RFC 7914) at a cost that is not worth waiting for. What the first start and
 * the full cost do is tested in http.test.ts and broker.test.ts.
 */
const KEPT_PASSPHRASE = [
  Buffer.from('salt').toString('base64'),
  scryptSync(PASSPHRASE, 'salt', 32, { N: 2, r: 8, p: 1 }).toString('base64'),
  '1:1',
].join(':');

/** The cookie of a session, after a passphrase was chosen. */
export async function letIn(page: Page): Promise<Record<string, string>> {
  page.trial.dashboard.store.setSetting('passphrase', KEPT_PASSPHRASE);
  return { cookie: cookieOf(await page.ask('POST', '/api/session', { passphrase: PASSPHRASE })) };
}
