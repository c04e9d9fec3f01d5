/* The routes of the logbook: runs in a list, one run, and what weighed runs say of their baths. Mounted below /api, behind the door. Nothing here reaches a controller. */
import { type Request, Router } from 'express';
import { controllerSpans, measuredEfficiencies, type RunKey, type RunRecord } from '@bathkeeper/shared-core/trade';
import type { Dashboard } from '../dashboard.js';
import { openLedgerBook } from '../ledger/ledger-book.js';
import { RUNS_IN_A_LIST } from '../logbook/logbook.js';
import { Refused, refusedAsUnread } from './refusal.js';

const RUNS_USUALLY = 50;

export function logbookRoutes(dashboard: Dashboard): Router {
  const { logbook, clock, store } = dashboard;
  const ledgers = openLedgerBook(store);
  const router = Router();
  router.get('/runs', (request, response) => {
    response.json(
      logbook.list(
        wholeNumber(request, 'before', Number.MAX_SAFE_INTEGER, 0, Number.MAX_SAFE_INTEGER),
        wholeNumber(request, 'count', RUNS_USUALLY, 1, RUNS_IN_A_LIST),
      ),
    );
  });
  router.get('/measured-efficiency', async (_request, response) => {
    const baths = ledgers
      .baths()
      .flatMap(({ bathId, name: bathName, isSimulated }) =>
        controllerSpans(ledgers.entries(bathId)).map((span) => ({ ...span, bathName, isSimulated })),
      );
    response.json(measuredEfficiencies(await logbook.weighed(clock.nowMs()).catch(refusedAsUnread), baths));
  });
  router.get('/runs/:controllerId/:incarnation/:run', async (request, response) => {
    response.json(await recordOf(dashboard, request));
  });
  return router;
}

/** The run that an address names; what is no number names none. */
export function runIn(request: Request): RunKey {
  const whole = (text: unknown): number => (/^\d{1,15}$/.test(String(text)) ? Number(text) : -1);
  const { controllerId, incarnation, run } = request.params;
  return { controllerId: String(controllerId), incarnation: whole(incarnation), run: whole(run) };
}

/** The run that an address names; refused where there is none. */
export async function recordOf({ logbook, clock }: Dashboard, request: Request): Promise<RunRecord> {
  const key = runIn(request);
  const record = await logbook.record(key, clock.nowMs()).catch(refusedAsUnread);
  if (record !== undefined) return record;
  const { controllerId, run: number } = key;
  throw new Refused(
    404,
    `Run ${String(number)} of ${controllerId} is not in the logbook. Look at the list of runs again.`,
  );
}

function wholeNumber(request: Request, name: string, usual: number, least: number, most: number): number {
  const asked = request.query[name];
  if (asked === undefined || asked === '') return usual;
  const value = Number(asked);
  if (Number.isInteger(value) && value >= least && value <= most) return value;
  throw new Refused(
    400,
    `${name}: expected a whole number from ${String(least)} to ${String(most)}, got ${JSON.stringify(asked)}.`,
  );
}
