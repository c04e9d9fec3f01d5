/*
 * The page over TLS: a server whose certificate is taken anew each hour, so that a renewed one, or a new address of this computer, needs no
 * restart. Opened by main.ts. It knows where certificates come from and nothing of what is served.
 */
import { X509Certificate } from 'node:crypto';
import type { RequestListener } from 'node:http';
import { createServer, type Server } from 'node:https';
import type { DashboardClock } from '../clock.js';
import type { KeyedCertificate } from './certificate.js';

const TAKEN_ANEW_MS = 3_600_000;
const DAY_MS = 86_400_000;
const ENDS_SOON_MS = 14 * DAY_MS;

export interface HttpsServer {
  readonly server: Server;
  /** What the owner should know, each a whole sentence; empty when all is well. */
  problems(): readonly string[];
  /** Takes the certificate anew; called by itself each hour. */
  renew(): void;
  close(): void;
}

/**
 * `newest` gives the pair to be shown now, or what is wrong with it; then the one before stays. `first` is already known to be good.
 * Answers a server that does not listen yet.
 */
export function openHttpsServer(options: {
  first: KeyedCertificate;
  newest: () => KeyedCertificate | readonly string[];
  clock: DashboardClock;
  listener: RequestListener;
}): HttpsServer {
  const { clock } = options;
  let shown = options.first;
  let wrong: readonly string[] = [];
  // Suites and curves are Node's own choice; older protocols are refused by it already, and named here so that nobody's setting brings them back.
  const server = createServer({ cert: shown.certificate, key: shown.key, minVersion: 'TLSv1.2' }, options.listener);
  // Whoever talks plain http to this port, or breaks off, is no event.
  server.on('tlsClientError', (_fault, socket) => {
    socket.destroy();
  });
  const renew = (): void => {
    let newest: KeyedCertificate | readonly string[];
    try {
      newest = options.newest();
    } catch (fault) {
      newest = [`The certificate could not be renewed (${(fault as Error).message}). The one before is still shown.`];
    }
    if (!('certificate' in newest)) {
      wrong = newest;
      return;
    }
    wrong = [];
    if (newest.certificate === shown.certificate && newest.key === shown.key) return;
    try {
      server.setSecureContext({ cert: newest.certificate, key: newest.key, minVersion: 'TLSv1.2' });
      shown = newest;
    } catch (fault) {
      wrong = [`The renewed certificate cannot be used (${(fault as Error).message}). The one before is still shown.`];
    }
  };
  const stop = clock.every(TAKEN_ANEW_MS, renew);
  return {
    server,
    problems: () => {
      const endsMs = Date.parse(new X509Certificate(shown.certificate).validTo);
      const leftMs = endsMs - clock.nowMs();
      if (leftMs > ENDS_SOON_MS) return wrong;
      const ends = `The certificate of this page ${leftMs > 0 ? 'ends' : 'ended'} at ${new Date(endsMs).toISOString().slice(0, 16)}Z.`;
      return [...wrong, `${ends} Phones refuse the page from then on: renew it.`];
    },
    renew,
    close: () => {
      stop();
      server.closeAllConnections();
      server.close();
    },
  };
}
