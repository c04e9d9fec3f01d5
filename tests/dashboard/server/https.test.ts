/*
 * https: the home authority judged by OpenSSL and by Node's own TLS client, certificates that renew themselves, the owner's own pair,
 * what is left of plain http, /trust, and cookies behind a reverse proxy. Real sockets on loopback; the clock is moved by hand.
 */
import { spawnSync } from 'node:child_process';
import { createPrivateKey, X509Certificate } from 'node:crypto';
import { chmodSync, existsSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { createServer, request as httpRequest, type RequestListener } from 'node:http';
import type { AddressInfo, Server } from 'node:net';
import { join } from 'node:path';
import { connect, type PeerCertificate } from 'node:tls';
import { manualClock } from '@bathkeeper/dashboard';
import { afterEach, describe, expect, it } from 'vitest';
import { webApplication } from '../../../dashboard/server/http/application.js';
import { openDoor } from '../../../dashboard/server/http/door.js';
import { authorityCertificate, serverCertificate } from '../../../dashboard/server/https/certificate.js';
import {
  AUTHORITY_FOLDER,
  openHomeAuthority,
  RENEWED_BEFORE_MS,
} from '../../../dashboard/server/https/home-authority.js';
import { openHttpsServer } from '../../../dashboard/server/https/https-server.js';
import { httpsWay } from '../../../dashboard/server/https/https-way.js';
import { ownCertificate } from '../../../dashboard/server/https/own-certificate.js';
import { ownHosts } from '../../../dashboard/server/https/own-hosts.js';
import { toHttps } from '../../../dashboard/server/https/to-https.js';
import { settingsFrom } from '../../../dashboard/server/settings/settings.js';
import { dashboardOnTrial, folderOnTrial } from './dashboard-on-trial.js';

const DAY_MS = 86_400_000;
/** Certificates are compared with the clock of this computer by every TLS client. */
const NOW_MS = Date.now();
const HOSTS = ['localhost', 'bench.local', '127.0.0.1', '192.168.1.20', 'fd12:3456::20'];

const closings: (() => void)[] = [];
afterEach(() => {
  for (const close of closings.splice(0).reverse()) close();
});

function authorityOnTrial(names: readonly string[] = [], nowMs = NOW_MS) {
  const folder = folderOnTrial();
  return { folder, authority: openHomeAuthority(folder, names, nowMs) };
}

/** Listens on loopback; answers the port. */
async function listening(server: Server & { closeAllConnections(): void }): Promise<number> {
  await new Promise<void>((done) => void server.listen(0, '127.0.0.1', done));
  closings.push(() => {
    server.closeAllConnections();
    server.close();
  });
  return (server.address() as AddressInfo).port;
}

/** What a browser with this authority sees at the port under this name: the certificate, or why it does not trust it. */
function visit(port: number, host: string, authority: string | undefined): Promise<PeerCertificate | string> {
  return new Promise((answer) => {
    const isName = !/^[\d.]+$|:/.test(host);
    const socket = connect(
      {
        port,
        host: '127.0.0.1',
        ca: authority,
        ...(isName ? { servername: host } : {}),
        // Node takes the name to compare from `host` where no server name is sent, as for an address.
        checkServerIdentity: (_name, certificate) => {
          const shown = new X509Certificate(certificate.raw);
          const fits = isName ? shown.checkHost(host) : shown.checkIP(host);
          return fits === undefined ? new Error(`not for ${host}`) : undefined;
        },
      },
      () => {
        answer(socket.getPeerCertificate());
        socket.destroy();
      },
    );
    socket.on('error', (fault) => {
      answer(fault.message);
    });
  });
}

const openssl = spawnSync('openssl', ['version']).status === 0;

describe('the home authority', () => {
  it.skipIf(!openssl)('is believed by OpenSSL for the names of the house, and for no other', () => {
    const { folder, authority } = authorityOnTrial();
    const file = (name: string, text: string): string => {
      writeFileSync(join(folder, name), text);
      return join(folder, name);
    };
    const authorityFile = file('a.pem', authority.certificate);
    const verified = (certificate: string, ...more: string[]) => {
      const { stdout, stderr } = spawnSync('openssl', ['verify', '-x509_strict', '-purpose', 'sslserver', ...more, '-CAfile', authorityFile, file('s.pem', certificate)]); // prettier-ignore
      return `${String(stdout)}${String(stderr)}`;
    };
    const server = authority.serverCertificate(HOSTS, NOW_MS).certificate;
    expect(verified(server)).toContain('s.pem: OK');
    expect(verified(server, '-verify_hostname', 'bench.local')).toContain('s.pem: OK');
    expect(verified(server, '-verify_ip', '192.168.1.20')).toContain('s.pem: OK');
    expect(verified(server, '-verify_ip', 'fd12:3456::20')).toContain('s.pem: OK');
    expect(verified(server, '-verify_hostname', 'other.local')).toMatch(/[Hh]ost ?name mismatch/);

    // Whoever stole the key: a certificate for a bank, or for a public address, is refused all the same (RFC 5280 4.2.1.10).
    const key = createPrivateKey(readFileSync(join(folder, AUTHORITY_FOLDER, 'authority-key.pem')));
    for (const stolen of ['bank.example.com', '8.8.8.8', '2001:4860:4860::8888']) {
      const forged = serverCertificate(new X509Certificate(authority.certificate), key, [stolen], NOW_MS).certificate;
      expect(verified(forged)).toContain('permitted subtree violation');
    }
  });

  it('is believed by a TLS client that was given it, and by no other', async () => {
    const { authority } = authorityOnTrial();
    const first = authority.serverCertificate(HOSTS, NOW_MS);
    const https = openHttpsServer({ first, newest: () => first, clock: manualClock(NOW_MS), listener: (_, response) => response.end('ok') }); // prettier-ignore
    const port = await listening(https.server);
    for (const host of HOSTS)
      expect(await visit(port, host, authority.certificate)).toMatchObject({ subject: { CN: 'Bathkeeper' } });
    expect(await visit(port, 'other.local', authority.certificate)).toBe('not for other.local');
    expect(await visit(port, 'bench.local', undefined)).toMatch(/unable to (verify|get)|self-signed/);
    const stranger = authorityOnTrial().authority.certificate;
    expect(await visit(port, 'bench.local', stranger)).toMatch(/unable to (verify|get)|self-signed|signature failure/);
  });

  it('is the same after a restart, and its keys are the owner’s alone', () => {
    const { folder, authority } = authorityOnTrial();
    const server = authority.serverCertificate(HOSTS, NOW_MS);
    const inside = join(folder, AUTHORITY_FOLDER);
    expect(statSync(inside).mode & 0o777).toBe(0o700);
    for (const file of readdirSync(inside))
      expect([file, statSync(join(inside, file)).mode & 0o777]).toEqual([file, 0o600]);
    expect(readdirSync(inside).sort()).toEqual(['authority-key.pem', 'authority.pem', 'server-key.pem', 'server.pem']);
    chmodSync(join(inside, 'authority-key.pem'), 0o644);
    const again = openHomeAuthority(folder, [], NOW_MS + DAY_MS);
    expect(again.fingerprint).toBe(authority.fingerprint);
    expect(again.problems).toEqual([]);
    expect(again.serverCertificate(HOSTS, NOW_MS + DAY_MS)).toEqual(server);
    expect(statSync(join(inside, 'authority-key.pem')).mode & 0o777).toBe(0o600);
  });

  it('renews the server’s certificate two months before its end, and for a new address at once', () => {
    const { authority } = authorityOnTrial();
    const first = authority.serverCertificate(HOSTS, NOW_MS);
    const lastGoodMs = Date.parse(new X509Certificate(first.certificate).validTo) - RENEWED_BEFORE_MS;
    expect(authority.serverCertificate(HOSTS, lastGoodMs - 1000)).toEqual(first);
    const second = authority.serverCertificate(HOSTS, lastGoodMs);
    expect(second.certificate).not.toBe(first.certificate);
    const fewer = authority.serverCertificate(HOSTS.slice(0, 3), lastGoodMs);
    expect(fewer, 'an address that is gone for a while needs no new one').toEqual(second);
    const moved = new X509Certificate(authority.serverCertificate([...HOSTS, '10.0.0.7'], lastGoodMs).certificate);
    expect(moved.checkIP('10.0.0.7')).toBe('10.0.0.7');
    expect(moved.verify(new X509Certificate(authority.certificate).publicKey)).toBe(true);
  });

  it('makes a new server’s certificate where the clock was ahead when the old one was made', () => {
    const { authority } = authorityOnTrial([], NOW_MS - 10 * DAY_MS);
    const ahead = authority.serverCertificate(HOSTS, NOW_MS + 300 * DAY_MS);
    const now = authority.serverCertificate(HOSTS, NOW_MS);
    expect(now).not.toEqual(ahead);
    expect(Date.parse(new X509Certificate(now.certificate).validFrom)).toBeLessThanOrEqual(NOW_MS);
  });

  it('mends a pair that a power cut left half written', () => {
    const { folder, authority } = authorityOnTrial();
    authority.serverCertificate(HOSTS, NOW_MS);
    const other = authorityOnTrial().authority.serverCertificate(HOSTS, NOW_MS);
    writeFileSync(join(folder, AUTHORITY_FOLDER, 'server-key.pem'), other.key);
    const mended = authority.serverCertificate(HOSTS, NOW_MS);
    expect(new X509Certificate(mended.certificate).checkPrivateKey(createPrivateKey(mended.key))).toBe(true);
  });

  it('sets a damaged one aside, makes a new one and says that every phone must trust anew', () => {
    const { folder, authority } = authorityOnTrial();
    writeFileSync(join(folder, AUTHORITY_FOLDER, 'authority-key.pem'), 'not a key');
    const made = openHomeAuthority(folder, [], NOW_MS);
    expect(made.fingerprint).not.toBe(authority.fingerprint);
    expect(made.problems.join()).toMatch(/could not be used .*set aside as .*open \/trust on every phone/);
    const aside = readdirSync(folder).filter((name) => name.startsWith(`${AUTHORITY_FOLDER}.set-aside-`));
    expect(aside).toHaveLength(1);
    expect(readFileSync(join(folder, aside[0]!, 'authority.pem'), 'utf8')).toBe(authority.certificate);
    expect(openHomeAuthority(folder, [], NOW_MS).problems).toEqual([]);
  });

  it('keeps one that has ended, since the clock may be what is wrong, and says so', () => {
    const { folder, authority } = authorityOnTrial();
    const later = openHomeAuthority(folder, [], NOW_MS + 3700 * DAY_MS);
    expect(later.fingerprint).toBe(authority.fingerprint);
    expect(later.problems.join()).toMatch(/ended at .* If the clock is right, remove/);
  });

  it('vouches for a name that it was made with, and says for which later one it cannot', () => {
    const { folder, authority } = authorityOnTrial(['bath.example.org']);
    const server = new X509Certificate(authority.serverCertificate([...HOSTS, 'bath.example.org'], NOW_MS).certificate);
    expect(server.checkHost('bath.example.org')).toBe('bath.example.org');
    const renamed = openHomeAuthority(folder, ['bath.example.net', '8.8.8.8', 'bench.local'], NOW_MS);
    expect(renamed.problems.join()).toContain('without bath.example.net, 8.8.8.8 and cannot vouch for it');
    const without = new X509Certificate(
      renamed.serverCertificate(['bath.example.net', 'bench.local'], NOW_MS).certificate,
    );
    expect(without.checkHost('bath.example.net')).toBeUndefined();
    expect(without.checkHost('bench.local')).toBe('bench.local');
  });
});

describe('the server over TLS', () => {
  it('shows a renewed certificate within the hour and without a restart', async () => {
    const { authority } = authorityOnTrial();
    const clock = manualClock(NOW_MS);
    let hosts = HOSTS;
    const newest = () => authority.serverCertificate(hosts, clock.nowMs());
    const https = openHttpsServer({ first: newest(), newest, clock, listener: (_, response) => response.end('ok') });
    const port = await listening(https.server);
    expect(await visit(port, '10.0.0.7', authority.certificate)).toBe('not for 10.0.0.7');
    hosts = [...HOSTS, '10.0.0.7'];
    clock.advanceTo(NOW_MS + 3_600_000);
    expect(await visit(port, '10.0.0.7', authority.certificate)).toMatchObject({ subject: { CN: 'Bathkeeper' } });
    https.close();
  });

  it('goes on with the one before when a renewed one is of no use, and says why until it is mended', async () => {
    const { authority } = authorityOnTrial();
    const clock = manualClock(NOW_MS);
    const first = authority.serverCertificate(HOSTS, NOW_MS);
    let newest: () => typeof first | string[] = () => ['the key is gone'];
    const https = openHttpsServer({
      first,
      newest: () => newest(),
      clock,
      listener: (_, response) => response.end('ok'),
    });
    const port = await listening(https.server);
    https.renew();
    expect(https.problems()).toEqual(['the key is gone']);
    newest = () => {
      throw new Error('the disk is full');
    };
    https.renew();
    expect(https.problems().join()).toContain('the disk is full');
    newest = () => ({ certificate: first.certificate, key: authorityOnTrial().authority.serverCertificate(HOSTS, NOW_MS).key }); // prettier-ignore
    https.renew();
    expect(https.problems().join()).toContain('The one before is still shown');
    expect(await visit(port, 'bench.local', authority.certificate)).toMatchObject({ subject: { CN: 'Bathkeeper' } });
    newest = () => first;
    https.renew();
    expect(https.problems()).toEqual([]);
  });

  it('says two weeks ahead that its certificate ends', () => {
    const { authority } = authorityOnTrial();
    const first = authority.serverCertificate(HOSTS, NOW_MS);
    const clock = manualClock(NOW_MS + 350 * DAY_MS);
    const https = openHttpsServer({ first, newest: () => first, clock, listener: () => undefined });
    expect(https.problems()).toEqual([]);
    clock.advanceTo(NOW_MS + 352 * DAY_MS);
    expect(https.problems().join()).toMatch(/ends at \d{4}-.*renew it/);
    clock.advanceTo(NOW_MS + 366 * DAY_MS);
    expect(https.problems().join()).toMatch(/ended at/);
    https.close();
  });
});

describe('the owner’s own certificate', () => {
  it('is taken as it is, and every fault is told at once', () => {
    const folder = folderOnTrial();
    const at = (name: string): string => join(folder, name);
    const pair = authorityCertificate('of another', ['local'], ['10.0.0.0/8'], NOW_MS);
    const other = authorityCertificate('of yet another', ['local'], ['10.0.0.0/8'], NOW_MS);
    writeFileSync(at('c.pem'), pair.certificate);
    writeFileSync(at('k.pem'), pair.key);
    writeFileSync(at('other.pem'), other.key);
    writeFileSync(at('nonsense.pem'), 'nonsense');
    expect(ownCertificate(at('c.pem'), at('k.pem'), NOW_MS)).toEqual(pair);
    expect(ownCertificate(at('none.pem'), at('nonsense.pem'), NOW_MS)).toEqual([
      expect.stringMatching(/--certificate .*none\.pem is of no use: it cannot be read \(ENOENT\)/),
      expect.stringMatching(/--certificate-key .*nonsense\.pem is of no use: it is not its private key as PEM/),
    ]);
    expect(ownCertificate(at('c.pem'), at('other.pem'), NOW_MS + 20 * 365 * DAY_MS)).toEqual([
      expect.stringContaining('does not belong to the certificate'),
      expect.stringContaining('ended at'),
    ]);
    const way = httpsWay({ kind: 'own', port: 0, certificate: at('c.pem'), key: at('other.pem') }, folder, [], () => HOSTS, manualClock(NOW_MS)); // prettier-ignore
    expect(way).toEqual([expect.stringContaining('does not belong')]);
    expect(existsSync(join(folder, AUTHORITY_FOLDER)), 'no authority is made beside it').toBe(false);
  });
});

describe('the names of this computer', () => {
  it('are those that last, in small letters, without doubles', () => {
    const one = (address: string, family: 'IPv4' | 'IPv6', internal = false) =>
      ({ address, family, internal, netmask: '', mac: '', cidr: null, scopeid: 0 }) as never;
    const hosts = ownHosts(['bath.example.org'], 'Bench.Example.Org', {
      lo: [one('127.0.0.1', 'IPv4', true)],
      wifi: [one('192.168.1.20', 'IPv4'), one('fe80::1', 'IPv6'), one('2001:db8::1', 'IPv6'), one('fd00::20', 'IPv6')],
      none: undefined,
    });
    expect(hosts).toEqual(['localhost', 'bench.example.org', 'bench', 'bench.local', '127.0.0.1', '::1', '192.168.1.20', 'fd00::20', 'bath.example.org']); // prettier-ignore
    expect(ownHosts([], 'a name with blanks', {})).toEqual(['localhost', '127.0.0.1', '::1']);
  });
});

interface Answer {
  readonly status: number;
  readonly location: string | undefined;
  readonly cookie: string;
  readonly type: string;
  readonly bytes: Buffer;
}
function ask(
  port: number,
  path: string,
  options: { method?: string; headers?: Record<string, string>; body?: string } = {},
): Promise<Answer> {
  return new Promise((answer, failed) => {
    const call = httpRequest({ port, host: '127.0.0.1', path, method: options.method ?? 'GET', headers: options.headers ?? {} }, (response) => {
      const parts: Buffer[] = [];
      response.on('data', (part: Buffer) => parts.push(part));
      response.on('end', () => {
        answer({
          status: response.statusCode ?? 0,
          location: response.headers.location,
          cookie: (response.headers['set-cookie'] ?? []).join('; '),
          type: response.headers['content-type'] ?? '',
          bytes: Buffer.concat(parts),
        });
      });
    }); // prettier-ignore
    call.on('error', failed);
    call.end(options.body);
  });
}

describe('plain http beside https', () => {
  async function plain(way: Parameters<typeof toHttps>[1]['way']): Promise<number> {
    const app = toHttps(() => 4443, { way, address: () => 'https://192.168.1.20:4443/' });
    return listening(createServer(app as RequestListener));
  }

  it('sends a visitor on to the same place over https and takes nothing', async () => {
    const port = await plain({ kind: 'own' });
    const sent = await ask(port, '/baths/north-bench?night=1', { headers: { host: 'bench.local:4180' } });
    expect([sent.status, sent.location]).toEqual([307, 'https://bench.local:4443/baths/north-bench?night=1']);
    const six = await ask(port, '/', { headers: { host: '[fd00::20]:4180' } });
    expect(six.location).toBe('https://[fd00::20]:4443/');
    const typed = await ask(port, '/api/session', { method: 'POST', headers: { host: 'bench.local' }, body: '{"passphrase":"copper"}' }); // prettier-ignore
    expect([typed.status, typed.location, typed.cookie]).toEqual([403, undefined, '']);
    expect(typed.bytes.toString()).toContain('takes nothing over plain http. Open https://bench.local:4443/ instead');
    expect((await ask(port, '/', { headers: { host: 'a.local"onload=' } })).status).toBe(400);
  });

  it('shows /trust with the authority to take along, its digits, and no key', async () => {
    const { folder, authority } = authorityOnTrial();
    const port = await plain({ kind: 'home', authority: authority.certificate });
    const page = await ask(port, '/trust');
    expect(page.status).toBe(200);
    const text = page.bytes.toString();
    expect(text).toContain(authority.fingerprint.split(':').slice(0, 8).join(' '));
    for (const words of [
      'iPhone',
      'Certificate Trust Settings',
      'Android',
      'CA certificate',
      'https://192.168.1.20:4443/',
    ])
      expect(text).toContain(words);
    const taken = await ask(port, '/trust/authority.crt');
    expect(taken.type).toBe('application/x-x509-ca-cert');
    expect(new X509Certificate(taken.bytes).fingerprint256).toBe(authority.fingerprint);
    const profile = await ask(port, '/trust/authority.mobileconfig');
    expect(profile.type).toBe('application/x-apple-aspen-config');
    const inside = /<data>([^<]*)<\/data>/.exec(profile.bytes.toString())?.[1] ?? '';
    expect(new X509Certificate(Buffer.from(inside, 'base64')).fingerprint256).toBe(authority.fingerprint);
    expect((await ask(port, '/trust/authority.mobileconfig')).bytes, 'taken twice it is one profile').toEqual(
      profile.bytes,
    );
    expect((await ask(port, '/trust/look.css')).type).toContain('text/css');
    const key = readFileSync(join(folder, AUTHORITY_FOLDER, 'authority-key.pem'), 'utf8').split('\n')[1]!;
    for (const { bytes } of [page, taken, profile]) expect(bytes.toString('latin1')).not.toContain(key);
    expect((await ask(port, '/trust/authority-key.pem', { headers: { host: 'bench.local' } })).status).toBe(307);
  });
});

describe('the page', () => {
  async function pageOnTrial(trustedProxies: readonly string[]) {
    const trial = await dashboardOnTrial({ connect: false });
    const pageFolder = folderOnTrial();
    closings.push(() => {
      rmSync(pageFolder, { recursive: true, force: true });
    });
    writeFileSync(join(pageFolder, 'index.html'), '<!doctype html><title>Bathkeeper</title>');
    const door = openDoor(trial.dashboard.store, trial.clock);
    const app = webApplication({
      dashboard: trial.dashboard,
      door,
      pageFolder,
      notices: () => [],
      press: () => undefined,
      mqttPort: () => 1883,
      hostAddress: () => '192.0.2.1',
      pairedReal: () => undefined,
      trustedProxies,
    });
    const port = await listening(createServer(app as RequestListener));
    const enter = (headers: Record<string, string>): Promise<Answer> =>
      ask(port, '/api/first-start', {
        method: 'POST',
        headers: { 'content-type': 'application/json', ...headers },
        body: JSON.stringify({ token: door.firstStartToken, passphrase: 'copper grows at night' }),
      });
    return { port, enter };
  }

  it('keeps its cookie from the clear behind a trusted proxy that speaks https, under a name that plain http cannot take', async () => {
    const { port, enter } = await pageOnTrial(['loopback']);
    const { status, cookie } = await enter({ 'x-forwarded-proto': 'https', 'x-forwarded-for': '203.0.113.9' });
    expect(status).toBe(200);
    expect(cookie).toMatch(/^__Host-bathkeeper_session=[^;]+;.*Path=\/;.*HttpOnly; Secure; SameSite=Strict/);
    const secure = cookie.split(';')[0]!;
    expect((await ask(port, '/api/state', { headers: { cookie: secure } })).status).toBe(200);
    const both = `bathkeeper_session=of-last-year; ${secure}`;
    expect((await ask(port, '/api/state', { headers: { cookie: both } })).status).toBe(200);
  });

  it('does not take the word of whoever is no trusted proxy', async () => {
    const { enter } = await pageOnTrial([]);
    const { cookie } = await enter({ 'x-forwarded-proto': 'https' });
    expect(cookie).toMatch(/^bathkeeper_session=/);
    expect(cookie).not.toContain('Secure');
  });

  it('counts wrong passphrases by the visitor that a trusted proxy names, so that one cannot lock out another', async () => {
    const { port, enter } = await pageOnTrial(['loopback']);
    await enter({});
    const guess = (from: string): Promise<Answer> =>
      ask(port, '/api/session', {
        method: 'POST',
        headers: { 'content-type': 'application/json', 'x-forwarded-for': from },
        body: '{"passphrase":"a guess in the dark"}',
      });
    const statuses: number[] = [];
    for (let tries = 0; tries < 11; tries++) statuses.push((await guess('203.0.113.9')).status);
    expect(statuses.at(-1)).toBe(429);
    expect((await guess('203.0.113.10')).status).toBe(403);
  });

  it('shows at /trust the ways to https where there is none', async () => {
    const { port } = await pageOnTrial([]);
    const text = (await ask(port, '/trust')).bytes.toString();
    expect(text).toContain('speaks plain http');
    expect(text).toContain('--https home');
  });
});

describe('the settings of https', () => {
  it('are off unless asked for', () => {
    expect(settingsFrom([], {})).toMatchObject({
      https: { kind: 'off' },
      names: [],
      trustedProxies: [],
      pageAddress: undefined,
    });
  });
  it('take a home authority, names, proxies and the address for people', () => {
    const settings = settingsFrom(
      ['--https', 'home', '--name', 'Bath.Example.org, 10.0.0.7', '--trusted-proxy=loopback,10.0.0.0/8', '--page-address', 'https://bath.example.org'],
      { BATHKEEPER_HTTPS_PORT: '8443' },
    ); // prettier-ignore
    expect(settings).toMatchObject({
      https: { kind: 'home', port: 8443 },
      names: ['bath.example.org', '10.0.0.7'],
      trustedProxies: ['loopback', '10.0.0.0/8'],
      pageAddress: 'https://bath.example.org/',
    });
  });
  it('tell every fault at once', () => {
    const problems = settingsFrom(
      ['--https', 'yes', '--certificate', 'c.pem', '--name', 'a b', '--trusted-proxy', '0.0.0.0/0,all', '--page-address', 'https://x.org/bath', '--https-port', '70000'],
      {},
    ); // prettier-ignore
    expect(problems).toEqual([
      expect.stringContaining('--name (BATHKEEPER_NAME): expected names or addresses with commas between, got "a b"'),
      expect.stringContaining('got "0.0.0.0/0"'),
      expect.stringContaining('got "all"'),
      expect.stringContaining('expected a whole number from 0 to 65535, got "70000"'),
      expect.stringContaining('expected home or off, got "yes"'),
      expect.stringContaining('expected both or none, got one of them'),
      expect.stringContaining('without a path'),
    ]);
    expect(settingsFrom(['--https', 'home', '--certificate', 'c', '--certificate-key', 'k'], {})).toEqual([
      expect.stringContaining('expected one of them'),
    ]);
  });
});
