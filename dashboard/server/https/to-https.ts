/*
 * What is left of plain http once https is on: /trust, and a way to the other address for everything else. Used by main.ts.
 * It lets nobody in and takes nothing: a passphrase that is typed into plain http could be read on the way.
 */
import express, { type Express } from 'express';
import helmet from 'helmet';
import { type TrustPageOptions, trustPage } from './trust-page.js';

/** A host as a browser sends it; anything else is not sent back. */
const HOST = /^([a-z0-9.-]+|\[[0-9a-f:.]+\])$/i;

export function toHttps(httpsPort: () => number, trust: TrustPageOptions): Express {
  const app = express();
  app.disable('x-powered-by');
  app.use(helmet({ contentSecurityPolicy: { directives: { upgradeInsecureRequests: null } }, strictTransportSecurity: false, crossOriginOpenerPolicy: false, originAgentCluster: false })); // prettier-ignore
  app.use(trustPage(trust));
  app.use((request, response) => {
    const host = (request.headers.host ?? '').replace(/:\d+$/, '');
    const port = httpsPort();
    response.setHeader('Cache-Control', 'no-store');
    if (!HOST.test(host)) {
      response
        .status(400)
        .json({ error: 'The request names no host. Open the page by its https address.', problems: [] });
      return;
    }
    const address = `https://${host}${port === 443 ? '' : `:${String(port)}`}`;
    if (request.method === 'GET' || request.method === 'HEAD') response.redirect(307, address + request.originalUrl);
    else
      response
        .status(403)
        .json({ error: `This page takes nothing over plain http. Open ${address}/ instead.`, problems: [] });
  });
  return app;
}
