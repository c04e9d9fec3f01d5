/*
 * A real Chromium and the home authority: it warns before it was told to trust it, and after that the page is safe, may keep a service worker, and
 * a certificate for another name still warns. Told by NSS' own certutil (libnss3-tools in Debian); where that is not there it says so and is skipped.
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { manualClock } from '@bathkeeper/dashboard';
import { chromium } from 'playwright-core';
import { afterEach, expect, it } from 'vitest';
import { openHomeAuthority } from '../../dashboard/server/https/home-authority.js';
import { openHttpsServer } from '../../dashboard/server/https/https-server.js';
import { chromiumLaunch } from '../programs/chromium.js';

const hasCertutil = spawnSync('certutil', ['-H']).error === undefined;

const closings: (() => Promise<void> | void)[] = [];
afterEach(async () => {
  for (const close of closings.splice(0).reverse()) await close();
});

it.skipIf(!hasCertutil)(
  'Chromium trusts the page once it trusts the home authority, and only under its own names',
  async () => {
    const home = mkdtempSync(join(tmpdir(), 'bathkeeper-trust-'));
    closings.push(() => {
      rmSync(home, { recursive: true, force: true });
    });
    // Browsers go by the clock of this computer.
    const nowMs = Date.now();
    const authority = openHomeAuthority(home, [], nowMs);
    const first = authority.serverCertificate(['localhost', 'bench.local', '127.0.0.1'], nowMs);
    const https = openHttpsServer({
      first,
      newest: () => first,
      clock: manualClock(nowMs),
      listener: (request, response) => {
        if (request.url === '/worker.js') response.setHeader('content-type', 'text/javascript').end('');
        else response.setHeader('content-type', 'text/html').end('<!doctype html><title>Bathkeeper</title>');
      },
    });
    await new Promise<void>((done) => void https.server.listen(0, '127.0.0.1', done));
    closings.push(() => {
      https.close();
    });
    const { port } = https.server.address() as AddressInfo;

    const visit = async (host: string): Promise<string> => {
      const { executablePath, args, env } = chromiumLaunch();
      const browser = await chromium.launch({
        executablePath,
        args: [...args, '--host-resolver-rules=MAP *.local 127.0.0.1'],
        env: { ...(env ?? process.env), HOME: home },
      });
      try {
        const page = await (await browser.newContext()).newPage();
        await page.goto(`https://${host}:${String(port)}/`);
        return await page.evaluate(async () => {
          await navigator.serviceWorker.register('/worker.js');
          return `${isSecureContext ? 'secure' : 'not secure'}, worker ${(await navigator.serviceWorker.ready).scope === `${location.origin}/` ? 'ready' : 'elsewhere'}`;
        });
      } catch (fault) {
        return /net::\w+/.exec((fault as Error).message)?.[0] ?? (fault as Error).message;
      } finally {
        await browser.close();
      }
    };
    expect(await visit('bench.local')).toBe('net::ERR_CERT_AUTHORITY_INVALID');

    const trusted = join(home, '.pki', 'nssdb');
    mkdirSync(trusted, { recursive: true });
    const certutil = (...args: string[]): void => {
      const { status, stderr } = spawnSync('certutil', [...args, '-d', `sql:${trusted}`]);
      if (status !== 0) throw new Error(`certutil ${args.join(' ')}: ${String(stderr)}`);
    };
    writeFileSync(join(home, 'authority.pem'), authority.certificate);
    certutil('-N', '--empty-password');
    certutil('-A', '-t', 'C,,', '-n', 'home', '-i', join(home, 'authority.pem'));
    expect(await visit('bench.local')).toBe('secure, worker ready');
    expect(await visit('127.0.0.1')).toBe('secure, worker ready');
    expect(await visit('other.local')).toBe('net::ERR_CERT_COMMON_NAME_INVALID');
  },
  120_000,
);
