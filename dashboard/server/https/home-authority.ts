/*
 * The home authority: a certificate authority of the owner's own, kept in the data folder, that vouches for this dashboard's names and
 * addresses. Opened by main.ts when the owner asked for it. A phone that trusts it sees the page as safe. Its keys never leave the folder
 * (mode 0600) and are never logged; a folder that cannot be read is set aside and told, since every phone must then trust anew.
 */
import { createPrivateKey, type KeyObject, randomBytes, X509Certificate } from 'node:crypto';
import { chmodSync, existsSync, mkdirSync, readFileSync, renameSync } from 'node:fs';
import { isIP } from 'node:net';
import { join } from 'node:path';
import { writeForOwner } from '../settings/owner-file.js';
import { authorityCertificate, type KeyedCertificate, serverCertificate } from './certificate.js';
import { addressIn, isBelow, vouchedNames } from './vouched.js';

export const AUTHORITY_FOLDER = 'home-authority';
const files = {
  authority: 'authority.pem',
  authorityKey: 'authority-key.pem',
  server: 'server.pem',
  serverKey: 'server-key.pem',
} as const;
const DAY_MS = 86_400_000;
/** Long before it ends, so that a dashboard that is off for a holiday comes back with a good one. */
export const RENEWED_BEFORE_MS = 60 * DAY_MS;

/** Names that no public registry gives away: RFC 6761, RFC 6762, RFC 8375, ICANN's reservation of .internal (2024), and what home routers use. */
const PRIVATE_NAMES = ['localhost', 'local', 'home.arpa', 'internal', 'lan', 'home'];
/** RFC 1918, RFC 6598, RFC 4193, loopback. */
const PRIVATE_NETWORKS = [
  '10.0.0.0/8',
  '172.16.0.0/12',
  '192.168.0.0/16',
  '100.64.0.0/10',
  '127.0.0.0/8',
  'fc00::/7',
  '::1/128',
];

export interface HomeAuthority {
  /** PEM: what a phone is given to trust. */
  readonly certificate: string;
  /** Its SHA-256, for a person to compare on the phone: pairs of digits with colons. */
  readonly fingerprint: string;
  /** What was wrong with the folder at the start, or cannot be vouched for, each in a whole sentence. */
  readonly problems: readonly string[];
  /** The certificate for these hosts now: the one at hand while it covers all of them and lasts, else a new one. */
  serverCertificate(hosts: readonly string[], nowMs: number): KeyedCertificate;
}

/**
 * Opens the authority in the data folder, or makes one. `names`: what the owner calls this computer beyond the private names; an authority
 * that was made without one of them cannot vouch for it. Throws, in a whole sentence, when the folder cannot be written.
 */
export function openHomeAuthority(dataFolder: string, names: readonly string[], nowMs: number): HomeAuthority {
  const folder = join(dataFolder, AUTHORITY_FOLDER);
  const path = (name: keyof typeof files): string => join(folder, files[name]);
  let asideProblem: string | undefined;
  let kept: { authority: X509Certificate; key: KeyObject } | undefined;
  if (existsSync(path('authority'))) {
    try {
      kept = keptAuthority(path('authority'), path('authorityKey'));
    } catch (fault) {
      const aside = `${folder}.set-aside-${randomBytes(4).toString('hex')}`;
      renameSync(folder, aside);
      asideProblem =
        `The home authority could not be used (${(fault as Error).message}). It was set aside as ${aside} and a new one was made: ` +
        'open /trust on every phone and let it trust the new one.';
    }
  }
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  chmodSync(folder, 0o700);
  if (kept === undefined) {
    const mark = randomBytes(2).toString('hex');
    const ownNames = names.filter((name) => isIP(name) === 0 && !PRIVATE_NAMES.some((one) => isBelow(name, one)));
    const made = authorityCertificate(
      `Bathkeeper home authority ${mark}`,
      [...PRIVATE_NAMES, ...ownNames],
      PRIVATE_NETWORKS,
      nowMs,
    );
    // The key first: a certificate without its key would be set aside at the next start.
    writeForOwner(path('authorityKey'), made.key);
    writeForOwner(path('authority'), made.certificate);
    kept = { authority: new X509Certificate(made.certificate), key: createPrivateKey(made.key) };
  }
  const { authority, key } = kept;
  const vouched = vouchedNames(authority);
  const isVouched = (host: string): boolean =>
    isIP(host) === 0
      ? vouched.some((name) => isBelow(host, name))
      : PRIVATE_NETWORKS.some((network) => addressIn(host, network));
  const outside = names.filter((name) => !isVouched(name));
  return {
    certificate: authority.toString(),
    fingerprint: authority.fingerprint256,
    problems: [
      ...(asideProblem === undefined ? [] : [asideProblem]),
      // Kept all the same: a clock that runs ahead must not cost every phone its trust.
      ...(Date.parse(authority.validTo) > nowMs
        ? []
        : [
            `The home authority ended at ${authority.validTo} by this computer's clock. If the clock is right, remove ${folder} while the ` +
              'program is stopped; every phone must then trust the new authority.',
          ]),
      ...(outside.length === 0
        ? []
        : [
            `The home authority was made without ${outside.join(', ')} and cannot vouch for it: a browser will warn there. ` +
              `Use another name or address of this computer, or remove ${folder} while the program is stopped; every phone must then trust the new authority.`,
          ]),
    ],
    serverCertificate: (hosts, now) => {
      const wanted = [...new Set(hosts.map((host) => host.toLowerCase()))].filter(isVouched);
      const atHand = keptServer(path('server'), path('serverKey'));
      if (atHand !== undefined && servesFor(atHand.certificate, authority, wanted, now)) return atHand;
      const made = serverCertificate(authority, key, wanted, now);
      // Read back as a pair: a cut between the two files leaves a pair that does not fit, and a new one is made.
      writeForOwner(path('serverKey'), made.key);
      writeForOwner(path('server'), made.certificate);
      return made;
    },
  };
}

function keptAuthority(file: string, keyFile: string): { authority: X509Certificate; key: KeyObject } {
  const authority = new X509Certificate(readFileSync(file));
  const key = createPrivateKey(readFileSync(keyFile));
  chmodSync(keyFile, 0o600);
  if (!authority.checkPrivateKey(key)) throw new Error('its key does not belong to its certificate');
  return { authority, key };
}

function keptServer(file: string, keyFile: string): KeyedCertificate | undefined {
  try {
    const pair = { certificate: readFileSync(file, 'utf8'), key: readFileSync(keyFile, 'utf8') };
    return new X509Certificate(pair.certificate).checkPrivateKey(createPrivateKey(pair.key)) ? pair : undefined;
  } catch {
    // None yet, or damaged: a new one costs nothing, no phone has to trust it by itself.
    return undefined;
  }
}

function servesFor(certificate: string, authority: X509Certificate, hosts: readonly string[], nowMs: number): boolean {
  const server = new X509Certificate(certificate);
  const endsMs = Date.parse(server.validTo);
  const lastsLong = endsMs - nowMs > RENEWED_BEFORE_MS || endsMs >= Date.parse(authority.validTo);
  return (
    server.checkIssued(authority) &&
    server.verify(authority.publicKey) &&
    Date.parse(server.validFrom) <= nowMs &&
    lastsLong &&
    hosts.every((host) => (isIP(host) === 0 ? server.checkHost(host) : server.checkIP(host)) !== undefined)
  );
}
