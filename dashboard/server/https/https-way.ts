/*
 * Which way to https the owner chose, and where its certificates come from: the home authority, two files, or none. Called once by main.ts.
 * It starts nothing and serves nothing.
 */
import type { DashboardClock } from '../clock.js';
import type { HttpsSettings } from '../settings/settings.js';
import type { KeyedCertificate } from './certificate.js';
import { openHomeAuthority } from './home-authority.js';
import { ownCertificate } from './own-certificate.js';
import type { TrustPageOptions } from './trust-page.js';

export interface HttpsWay {
  readonly trust: TrustPageOptions['way'];
  /** Of the home authority, for a person to compare; undefined: there is none. */
  readonly fingerprint: string | undefined;
  /** What the owner should know from the start on, each a whole sentence. */
  readonly problems: readonly string[];
  /** undefined: plain http only. */
  readonly certificates: { first: KeyedCertificate; newest: () => KeyedCertificate | readonly string[] } | undefined;
}

/** The way, or everything that keeps the program from starting, each a whole sentence. Throws when the data folder cannot be written. */
export function httpsWay(
  settings: HttpsSettings,
  dataFolder: string,
  names: readonly string[],
  hosts: () => readonly string[],
  clock: DashboardClock,
): HttpsWay | string[] {
  switch (settings.kind) {
    case 'off':
      return { trust: { kind: 'off' }, fingerprint: undefined, problems: [], certificates: undefined };
    case 'own': {
      const newest = () => ownCertificate(settings.certificate, settings.key, clock.nowMs());
      const first = newest();
      if (Array.isArray(first)) return first;
      return { trust: { kind: 'own' }, fingerprint: undefined, problems: [], certificates: { first, newest } };
    }
    case 'home': {
      const authority = openHomeAuthority(dataFolder, names, clock.nowMs());
      const newest = () => authority.serverCertificate(hosts(), clock.nowMs());
      return {
        trust: { kind: 'home', authority: authority.certificate },
        fingerprint: authority.fingerprint,
        problems: authority.problems,
        certificates: { first: newest(), newest },
      };
    }
  }
}
