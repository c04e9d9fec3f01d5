/*
 * The web application: the page's files, /api, and the stream of states. Knows who is let in; every decision about the bath is
 * made in other rooms. Works over plain http in a local network, so nothing here may insist on https.
 */
import express, { type Express, type NextFunction, type Request, type Response } from 'express';
import { rateLimit } from 'express-rate-limit';
import helmet from 'helmet';
import { join } from 'node:path';
import { plannedRest, recipeFromRequest } from '@bathkeeper/shared-core/trade';
import { readPairingText } from '@bathkeeper/shared-core/messages';
import type { Door as DoorAnswer, PairResult, Refusal, SimulatedButton } from '@bathkeeper/shared-core/messages';
import type { Dashboard } from '../dashboard.js';
import { nightSeries, POINTS_MAX } from '../night/night-series.js';
import { checkedPlan } from '../plans/plan-problems.js';
import { PAIRED_RIG, SIGN_OF_LIFE_PORT } from '../settings/board-settings.js';
import { type TrustPageOptions, trustPage } from '../https/trust-page.js';
import { houseRoutes } from './house-routes.js';
import { keepingRoutes } from './keeping-routes.js';
import { ledgerRoutes } from './ledger-routes.js';
import { logbookRoutes } from './logbook-routes.js';
import { planRoutes } from './plan-routes.js';
import { type Door, SECURE_SESSION_COOKIE, SESSION_COOKIE, sessionIn } from './door.js';
import { acknowledgePage } from './acknowledge-page.js';
import { alarmRoutes } from './alarm-routes.js';
import { callingRoutes } from './calling-routes.js';
import { pushRenewal } from './push-renewal.js';
import { rehearsalRoutes } from './rehearsal-routes.js';
import { runEntryRoutes } from './run-entry-routes.js';
import { RUN_FILE_TYPE, runFileRoutes } from './run-file-routes.js';
import { checked, Refused } from './refusal.js';
import {
  commandRequest,
  firstStartRequest,
  pairRequest,
  pressRequest,
  recipeRequest,
  sentRecipe,
  sessionRequest,
} from './requests.js';
import { seriesRoutes } from './series-routes.js';
import { stockRoutes } from './stock-routes.js';
import { sheetRoutes } from './sheet-routes.js';
import { stateStream } from './state-stream.js';

export interface ApplicationOptions {
  readonly dashboard: Dashboard;
  readonly door: Door;
  readonly pageFolder: string;
  readonly notices: () => readonly string[];
  /** Presses a button of the virtual bath; undefined: none is running. */
  readonly press: () => ((button: SimulatedButton) => void) | undefined;
  readonly mqttPort: () => number;
  readonly hostAddress: () => string;
  /** /trust: how a phone comes to trust the page. Absent: plain http. */
  readonly trust?: TrustPageOptions;
  /** Reverse proxies whose word on the visitor's address and on https counts. Absent: none. */
  readonly trustedProxies?: readonly string[];
  /** Called when a real controller was paired: the virtual bath goes. */
  readonly pairedReal: () => void;
}

export function webApplication(options: ApplicationOptions): Express {
  const { dashboard, door } = options;
  const { book, alarms, clock, desk } = dashboard;
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
      throw new Refused(415, 'Expected JSON (Content-Type: application/json).');
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
    const { token, passphrase } = checked(firstStartRequest, request.body);
    const answer = await door.firstStart(token, passphrase);
    if (typeof answer === 'string') throw new Refused(403, answer);
    letIn(response, answer.session);
  });
  app.post('/api/session', knock, async (request, response) => {
    const session = await door.enter(checked(sessionRequest, request.body).passphrase);
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

  const controllerOf = (request: Request): string => {
    const id = String(request.params.id);
    if (!book.has(id))
      throw new Refused(
        404,
        `No controller "${id}" is paired. Paired: ${
          book
            .all()
            .map((bath) => bath.paired.controllerId)
            .join(', ') || 'none'
        }.`,
      );
    return id;
  };
  app.get('/api/controllers/:id/runs/:run/night', (request, response) => {
    const controllerId = controllerOf(request);
    const row = book.run(controllerId, Number(request.params.run));
    if (row === undefined)
      throw new Refused(404, `Run ${String(request.params.run)} of ${controllerId} is not in the store.`);
    const points = Number(request.query.points ?? 1200);
    if (!(points >= 10 && points <= POINTS_MAX))
      throw new Refused(
        400,
        `points: expected 10 to ${String(POINTS_MAX)}, got ${JSON.stringify(request.query.points)}.`,
      );
    const nowMs = clock.nowMs();
    const { live, run } = book.view(controllerId, nowMs);
    const isPresent = live !== null && run !== null && run.runNumber === row.run && row.ended_at_ms === null;
    const planned = isPresent ? plannedRest(run.recipe, live, nowMs) : [];
    response.json(
      nightSeries(
        dashboard.store,
        {
          controllerId,
          incarnation: row.incarnation,
          runNumber: row.run,
          startedAtMs: row.started_at_ms,
          endedAtMs: row.ended_at_ms,
        },
        points,
        nowMs,
        planned,
        alarms.ofRun(controllerId, row.started_at_ms, row.ended_at_ms ?? nowMs, nowMs),
      ),
    );
  });
  app.post('/api/controllers/:id/recipe/preview', (request, response) => {
    const controllerId = controllerOf(request);
    const { preview } = recipeFromRequest(
      checked(recipeRequest, request.body),
      book.rigLimits(controllerId),
      book.nextRecipeId(),
      clock.nowMs(),
    );
    response.json(preview);
  });
  app.post('/api/controllers/:id/recipe', (request, response) => {
    const controllerId = controllerOf(request);
    const { plan, ...asked } = checked(sentRecipe, request.body);
    const keptPlan = plan === undefined ? undefined : checkedPlan(plan);
    const { recipe, preview } = recipeFromRequest(
      checked(recipeRequest, asked),
      book.rigLimits(controllerId),
      book.nextRecipeId(),
      clock.nowMs(),
    );
    if (recipe === undefined || preview.refusals.length > 0)
      throw new Refused(422, 'The recipe cannot be sent.', preview.refusals);
    const command = desk.sendRecipe(controllerId, recipe, preview.recipe);
    if (typeof command === 'string') throw new Refused(409, command);
    if (keptPlan !== undefined) dashboard.recipePlans.keep(preview.recipe.recipeId, keptPlan);
    response.json(command);
  });
  app.post('/api/controllers/:id/commands', (request, response) => {
    const command = desk.send(controllerOf(request), checked(commandRequest, request.body));
    if (typeof command === 'string') throw new Refused(409, command);
    response.json(command);
  });
  app.post('/api/controllers/:id/simulated-press', (request, response) => {
    const controllerId = controllerOf(request);
    const press = options.press();
    if (!book.bath(controllerId)!.paired.isSimulated || press === undefined)
      throw new Refused(409, 'This bath is not simulated: press the button at the bath.');
    press(checked(pressRequest, request.body).button);
    response.json({});
  });
  app.post('/api/controllers', async (request, response) => {
    const { controllerId, bathName, secretText } = checked(pairRequest, request.body);
    const known = book.bath(controllerId)?.paired;
    const name = bathName ?? (known?.isSimulated === false ? known.bathName : undefined);
    if (name === undefined)
      throw new Refused(400, 'The request does not fit.', ['bathName: expected a name for the new bath.']);
    if (dashboard.store.setting(`simulated:${controllerId}`) !== undefined)
      throw new Refused(
        409,
        `"${controllerId}" was the name of a virtual bath, whose nights are in the store. Choose another name.`,
      );
    const read = readPairingText(secretText);
    if (read.secret === undefined) throw new Refused(422, 'The secret cannot be read.', read.problems);
    options.pairedReal();
    await dashboard.pair(controllerId, name, false, PAIRED_RIG, read.secret);
    response.json({
      controllerId,
      address: options.hostAddress(),
      port: options.mqttPort(),
      signOfLifePort: SIGN_OF_LIFE_PORT,
    } satisfies PairResult);
  });
  app.post('/api/alarms/:alarmId/acknowledge', (request, response) => {
    const view = alarms.acknowledge(Number(request.params.alarmId), 'page', clock.nowMs());
    if (view === undefined) throw new Refused(404, 'There is no such alarm.');
    dashboard.silenceBuzzer(view);
    response.json(view);
  });
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
    throw new Refused(404, 'There is nothing at this address of /api.');
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
    if (status >= 500) dashboard.log.error({ fault }, 'a request failed');
    const error =
      fault instanceof Refused
        ? fault.message
        : status >= 500
          ? 'The dashboard made a mistake; its log says more. The bath is not touched by it.'
          : `The request cannot be read: ${(fault as Error).message}.`;
    response.status(status).json({ error, problems: fault instanceof Refused ? fault.problems : [] } satisfies Refusal);
  });
  return app;
}
