/*
 * The web application: the page's files, /api, and the stream of states. Knows who is let in; every decision about the bath is
 * made in other rooms. Works over plain http in a local network, so nothing here may insist on https.
 */
import express, { type Express, type NextFunction, type Request, type Response } from 'express';
import { rateLimit } from 'express-rate-limit';
import helmet from 'helmet';
import { join } from 'node:path';
import type { Door as DoorAnswer, Refusal } from '@bathkeeper/shared-core/messages';
import { type TrustPageOptions, trustPage } from '../https/trust-page.js';
import { unreadWords } from './fault-words.js';
import { houseRoutes } from './house-routes.js';
import { keepingRoutes } from './keeping-routes.js';
import { ledgerRoutes } from './ledger-routes.js';
import { logbookRoutes } from './logbook-routes.js';
import { planRoutes } from './plan-routes.js';
import { type Door, SECURE_SESSION_COOKIE, SESSION_COOKIE, sessionIn } from './door.js';
import { acknowledgePage } from './acknowledge-page.js';
import { alarmRoutes } from './alarm-routes.js';
import { type ControllerRouteOptions, controllerRoutes } from './controller-routes.js';
import { callingRoutes } from './calling-routes.js';
import { pushRenewal } from './push-renewal.js';
import { rehearsalRoutes } from './rehearsal-routes.js';
import { runEntryRoutes } from './run-entry-routes.js';
import { RUN_FILE_TYPE, runFileRoutes } from './run-file-routes.js';
import { checkedSecret, Refused } from './refusal.js';
import { firstStartRequest, sessionRequest } from './requests.js';
import { seriesRoutes } from './series-routes.js';
import { stockRoutes } from './stock-routes.js';
import { sheetRoutes } from './sheet-routes.js';
import { stateStream } from './state-stream.js';

export interface ApplicationOptions extends ControllerRouteOptions {
  readonly door: Door;
  readonly pageFolder: string;
  readonly notices: () => readonly string[];
  /** /trust: how a phone comes to trust the page. Absent: plain http. */
  readonly trust?: TrustPageOptions;
  /** Reverse proxies whose word on the visitor's address and on https counts. Absent: none. */
  readonly trustedProxies?: readonly string[];
}

export function webApplication(options: ApplicationOptions): Express {
  const { dashboard, door } = options;
  const { book } = dashboard;
  const app = express();
  app.disable('x-powered-by');
  app.set('trust proxy', [...(options.trustedProxies ?? [])]);
  app.use(
    helmet({
      contentSecurityPolicy: { directives: { upgradeInsecureRequests: null } },
      strictTransportSecurity: false,
      crossOriginOpenerPolicy: false,
      originAgentCluster: false,
    }),
  );
  app.use('/api', (request, response, next) => {
    response.setHeader('Cache-Control', 'no-store');
    // Another site's form can send neither JSON nor a file's bare bytes without asking first: together with SameSite=Strict nothing foreign gets in.
    if ((request.method === 'POST' || request.method === 'PUT') && !request.is(['application/json', RUN_FILE_TYPE])) {
      throw new Refused(
        415,
        `Expected JSON (Content-Type: application/json), got ${request.headers['content-type'] ?? 'no type'}. Send it as JSON.`,
      );
    }
    next();
  });
  app.use('/api', express.json({ limit: '64kb' }));

  const knock = rateLimit({ windowMs: 60_000, limit: 10, standardHeaders: 'draft-8', legacyHeaders: false, skipSuccessfulRequests: true,
    handler: (_request, response) => response.status(429).json({ error: 'Too many tries. Wait a minute, then try again.', problems: [] } satisfies Refusal),
  }); // prettier-ignore
  const letIn = (response: Response, session: string): void => {
    const { secure } = response.req;
    response.cookie(secure ? SECURE_SESSION_COOKIE : SESSION_COOKIE, session, {
      httpOnly: true,
      secure,
      sameSite: 'strict',
      path: '/',
      maxAge: 90 * 86_400_000,
    });
    response.json({ state: 'open' });
  };
  const isSimulated = (): boolean => book.all().some((bath) => bath.paired.isSimulated);
  const isOpen = (request: Request): boolean => door.isOpenFor(sessionIn(request.headers.cookie));

  app.get('/api/door', (request, response) => {
    const state = !door.hasPassphrase() ? 'first-start' : isOpen(request) ? 'open' : 'closed';
    response.json({ state, isSimulated: isSimulated() } satisfies DoorAnswer);
  });
  app.post('/api/first-start', knock, async (request, response) => {
    const { token, passphrase } = checkedSecret(firstStartRequest, request.body);
    const answer = await door.firstStart(token, passphrase);
    if (typeof answer === 'string') throw new Refused(403, answer);
    letIn(response, answer.session);
  });
  app.post('/api/session', knock, async (request, response) => {
    const session = await door.enter(checkedSecret(sessionRequest, request.body).passphrase);
    if (session === undefined) throw new Refused(403, 'That is not the passphrase.');
    letIn(response, session);
  });

  app.use('/api', pushRenewal(dashboard.calling.contacts));
  app.use('/api', (request, _response, next) => {
    if (!isOpen(request)) throw new Refused(401, 'Enter the passphrase first.');
    next();
  });

  app.delete('/api/session', (request, response) => {
    door.leave(sessionIn(request.headers.cookie) ?? '');
    response.clearCookie(SESSION_COOKIE, { path: '/' });
    if (request.secure) response.clearCookie(SECURE_SESSION_COOKIE, { path: '/', secure: true });
    response.json({ state: 'closed' });
  });
  app.get('/api/state', (_request, response) => {
    response.json(dashboard.snapshot(options.notices()));
  });
  app.get('/api/stream', stateStream(dashboard, options.notices, isOpen));

  app.use('/api', controllerRoutes(options));
  app.use('/api', alarmRoutes(dashboard));
  app.use('/api', callingRoutes(dashboard));
  app.use('/api', houseRoutes(dashboard));
  app.use('/api', keepingRoutes(dashboard));
  app.use('/api', planRoutes(dashboard));
  app.use('/api', ledgerRoutes(dashboard));
  app.use('/api', stockRoutes(dashboard));
  app.use('/api', rehearsalRoutes(dashboard));
  app.use('/api', seriesRoutes(dashboard));
  app.use('/api', runFileRoutes(dashboard));
  app.use('/api', sheetRoutes(dashboard));
  app.use('/api', logbookRoutes(dashboard));
  app.use('/api', runEntryRoutes(dashboard));
  app.use('/api', () => {
    throw new Refused(404, 'There is nothing at this address of /api. Load the page anew.');
  });

  app.use(trustPage(options.trust ?? { way: { kind: 'off' }, address: () => undefined }));
  app.use(acknowledgePage(dashboard));

  app.use(express.static(options.pageFolder, { index: 'index.html', maxAge: '1h', setHeaders: (response, path) => {
    if (path.endsWith('.html')) response.setHeader('Cache-Control', 'no-cache');
  } })); // prettier-ignore
  app.get('/{*path}', (_request, response) => {
    response.setHeader('Cache-Control', 'no-cache');
    response.sendFile(join(options.pageFolder, 'index.html'));
  });

  app.use((fault: unknown, _request: Request, response: Response, _next: NextFunction) => {
    if (response.headersSent) {
      response.end();
      return;
    }
    const status = fault instanceof Refused ? fault.status : ((fault as { status?: number }).status ?? 500);
    if (status >= 500) dashboard.log.error({ err: fault }, 'a request failed');
    const error =
      fault instanceof Refused
        ? fault.message
        : status >= 500
          ? 'The dashboard made a mistake; its log says more. The bath is not touched by it.'
          : unreadWords(fault as Error);
    response.status(status).json({ error, problems: fault instanceof Refused ? fault.problems : [] } satisfies Refusal);
  });
  return app;
}
