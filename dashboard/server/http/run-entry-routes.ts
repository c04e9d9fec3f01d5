/*
 * The routes of what people write into the record of a run: notes, weighings, photographs, undoing one; and of taking a run out of the logbook and back. Mounted
 * below /api, behind the door.
 */
import express, { type RequestHandler, Router } from 'express';
import {
  type NewRunEntry,
  type RunEntry,
  type RunRecord,
  weighedDeposit,
  weighingsOf,
} from '@bathkeeper/shared-core/trade';
import type { Dashboard } from '../dashboard.js';
import { photographKind } from '../logbook/photograph-kind.js';
import { correctRunNote, deleteRun, newRunEntry, photographQuery, undoRunEntry } from '../logbook/run-entry-shape.js';
import { recordOf, runIn } from './logbook-routes.js';
import { checked, Refused } from './refusal.js';
import { earliestOfRun, timeFault } from './said-time.js';

/** The page writes a photograph anew until it is no larger. */
const PHOTOGRAPH_BYTES_MAX = 2_000_000;
const ENTRIES_MAX = 500;
const PHOTOGRAPHS_MAX = 60;

const rawPhotograph = express.raw({ type: 'application/octet-stream', limit: PHOTOGRAPH_BYTES_MAX });

/** What is too large is refused with its bound, before it is read. */
const photographBytes: RequestHandler = (request, response, next) => {
  rawPhotograph(request, response, (fault?: unknown) => {
    const isTooLarge = (fault as { status?: number } | undefined)?.status === 413;
    next(
      isTooLarge
        ? new Refused(
            413,
            `The photograph is larger than ${String(PHOTOGRAPH_BYTES_MAX / 1e6)} MB, and was not kept. Send it through the page, which makes it smaller.`,
          )
        : fault,
    );
  });
};

export function runEntryRoutes(dashboard: Dashboard): Router {
  const { runEntries, deletedRuns, clock } = dashboard;
  const RUN = '/runs/:controllerId/:incarnation/:run';
  const timeOf = ({ startedAtMs }: RunRecord, atMs: number | undefined): number => {
    const nowMs = clock.nowMs();
    const fault = timeFault(atMs ?? nowMs, nowMs, earliestOfRun(startedAtMs));
    if (fault !== undefined) throw new Refused(400, `When: ${fault}`);
    return Math.min(atMs ?? nowMs, nowMs);
  };
  const router = Router();

  router.post(`${RUN}/entries`, async (request, response) => {
    const record = await recordOf(dashboard, request);
    const asked = checked(newRunEntry, request.body);
    const { who, note = '', body } = asked;
    refuseFull(record);
    if (body.kind === 'note' && note === '')
      throw new Refused(400, 'The note: expected words, got nothing. Write what happened.');
    questionWeighing(record, asked);
    response.json(runEntries.add(record, { atMs: timeOf(record, asked.atMs), who, note, body }, clock.nowMs()));
  });

  router.post(`${RUN}/photographs`, photographBytes, async (request, response) => {
    const record = await recordOf(dashboard, request);
    const { who, note = '', atMs } = checked(photographQuery, request.query);
    const bytes: unknown = request.body;
    refuseFull(record);
    if (!Buffer.isBuffer(bytes))
      throw new Refused(400, 'Expected the photograph itself, got nothing. Choose it again.');
    if (
      record.entries.filter(({ body, undone }) => body.kind === 'photograph' && undone === null).length >=
      PHOTOGRAPHS_MAX
    )
      throw new Refused(
        409,
        `A run takes ${String(PHOTOGRAPHS_MAX)} photographs, and they are there. Undo one that is not needed, and send it again.`,
      );
    const kind = photographKind(bytes);
    if ('fault' in kind) throw new Refused(422, kind.fault);
    const body = { kind: 'photograph', ...kind, byteCount: bytes.length } as const;
    response.json(
      runEntries.addPhotograph(record, { atMs: timeOf(record, atMs), who, note, body }, bytes, clock.nowMs()),
    );
  });
  router.get(`${RUN}/photographs/:entry`, (request, response) => {
    const photograph = runEntries.photograph(runIn(request), numberIn(request.params.entry));
    if (photograph === undefined) throw new Refused(404, 'There is no such photograph. Load the run anew.');
    // Helmet says nosniff of every answer; as a document of its own it may do nothing at all.
    response.setHeader('Content-Security-Policy', "default-src 'none'; sandbox");
    response.setHeader('Content-Type', photograph.type);
    response.send(photograph.bytes);
  });

  router.post(`${RUN}/entries/:entry/undo`, async (request, response) => {
    const record = await recordOf(dashboard, request);
    const { who, reason } = checked(undoRunEntry, request.body);
    response.json(found(runEntries.undo(record, numberIn(request.params.entry), who, reason, clock.nowMs())));
  });
  router.post(`${RUN}/entries/:entry/correct`, async (request, response) => {
    const record = await recordOf(dashboard, request);
    refuseFull(record);
    const correction = checked(correctRunNote, request.body);
    const entryId = numberIn(request.params.entry);
    const wrong = record.entries.find((entry) => entry.entryId === entryId);
    if (wrong?.body.kind === 'weighing')
      throw new Refused(409, 'A weighing is not corrected by words. Undo it, then weigh anew.');
    response.json(found(runEntries.correct(record, entryId, correction, clock.nowMs())));
  });

  router.get('/deleted-runs', (_request, response) => {
    response.json(deletedRuns.list(clock.nowMs()));
  });
  router.post(`${RUN}/delete`, async (request, response) => {
    const record = await recordOf(dashboard, request);
    const { who } = checked(deleteRun, request.body);
    if (record.goesOn)
      throw new Refused(409, 'This run goes on: it can be deleted when it has ended. Stop it first if you want it to.');
    deletedRuns.remove(record, who, clock.nowMs());
    response.json({});
  });
  router.post(`${RUN}/bring-back`, (request, response) => {
    if (!deletedRuns.bringBack(runIn(request), clock.nowMs()))
      throw new Refused(404, 'This run is not among the deleted ones. Look at the logbook again.');
    response.json({});
  });
  return router;
}

/** A weighing that cannot be so is kept only by somebody who has read why. */
function questionWeighing(record: RunRecord, { body, isConfirmed, who }: NewRunEntry): void {
  if (body.kind !== 'weighing') return;
  if (body.when === 'after' && record.goesOn)
    throw new Refused(409, 'The run goes on: weigh the part when it has ended.');
  const told = { entryId: Number.MAX_SAFE_INTEGER, atMs: 0, writtenAtMs: 0, who, note: '', body, undone: null };
  const both = weighingsOf([...record.entries, told]);
  if (both === undefined || isConfirmed === true) return;
  const { question } = weighedDeposit(both, {
    recipe: record.recipe,
    chargeAmpereHours: record.measures.chargeAmpereHours,
  });
  if (question !== null) throw new Refused(409, 'This weight is doubtful, and was not written down yet.', [question]);
}

function refuseFull(record: RunRecord): void {
  if (record.entries.length < ENTRIES_MAX) return;
  throw new Refused(
    409,
    `A run takes ${String(ENTRIES_MAX)} notes, weighings and photographs, those that were undone with them, and they are there. This one was not kept; what is wrong can still be undone.`,
  );
}

function found(entry: RunEntry | 'none' | 'undone'): RunEntry {
  if (entry === 'none') throw new Refused(404, 'There is no such entry in this run. Load the run anew.');
  if (entry === 'undone') throw new Refused(409, 'Somebody has undone this entry already. Load the run anew.');
  return entry;
}

/** A number that is none finds nothing. */
function numberIn(text: unknown): number {
  return /^\d{1,15}$/.test(String(text)) ? Number(text) : -1;
}
