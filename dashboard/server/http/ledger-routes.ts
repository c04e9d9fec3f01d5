/*
 * The routes of the bath ledgers: baths, their entries, undoing one. Mounted below /api, behind the door. An entry is computed here from what was typed, so that what
 * is kept was never made up by a page; nothing is changed or deleted.
 */
import { type Request, Router } from 'express';
import { type BathLedger, entryFaults, type LedgerBath, settledEntry } from '@bathkeeper/shared-core/trade';
import type { Dashboard } from '../dashboard.js';
import { newBathShape, newEntryShape, undoShape } from '../ledger/entry-shape.js';
import { openLedgerBook } from '../ledger/ledger-book.js';
import { checked, Refused } from './refusal.js';

/** A clock that is a little ahead on the phone is no reason to refuse. */
const AHEAD_MS = 10 * 60_000;

export function ledgerRoutes({ store, clock }: Dashboard): Router {
  const book = openLedgerBook(store);
  const bathOf = (request: Request): LedgerBath => {
    const bath = book.bath(idOf(request.params.bath));
    if (bath === undefined)
      throw new Refused(404, `There is no such bath: ${String(request.params.bath)}. Look at the list of baths again.`);
    return bath;
  };
  const router = Router();
  router.get('/baths', (_request, response) => {
    response.json(book.baths());
  });
  router.post('/baths', (request, response) => {
    const asked = checked(newBathShape, request.body);
    if (book.baths().some(({ name }) => name === asked.name))
      throw new Refused(409, `There is a ledger of “${asked.name}” already. Give this bath another name.`);
    response.json(book.addBath(asked, clock.nowMs()));
  });
  router.get('/baths/:bath', (request, response) => {
    const bath = bathOf(request);
    response.json({ bath, entries: book.entries(bath.bathId) } satisfies BathLedger);
  });
  router.post('/baths/:bath/entries', (request, response) => {
    const { bathId } = bathOf(request);
    const { who, note = '', body, atMs } = checked(newEntryShape, request.body);
    const nowMs = clock.nowMs();
    const faults = [
      ...entryFaults(body),
      ...(body.kind === 'note' && note === '' ? ['note: expected words, got nothing. Write what happened.'] : []),
      ...((atMs ?? nowMs) > nowMs + AHEAD_MS
        ? ['atMs: expected a time that has been, got one to come. Correct the date.']
        : []),
    ];
    if (faults.length > 0) throw new Refused(400, 'The entry does not fit. Correct what is listed.', faults);
    response.json(
      book.add({ bathId, who, note, body: settledEntry(body), atMs: Math.min(atMs ?? nowMs, nowMs) }, nowMs),
    );
  });
  router.post('/baths/:bath/entries/:entry/undo', (request, response) => {
    const { bathId } = bathOf(request);
    const { who, reason } = checked(undoShape, request.body);
    const entry = book.undo(bathId, idOf(request.params.entry), who, reason, clock.nowMs());
    if (entry === 'none')
      throw new Refused(
        404,
        `There is no such entry: ${String(request.params.entry)}. Look at the ledger of the bath again.`,
      );
    if (entry === 'undone') throw new Refused(409, 'Somebody has undone this entry already. Load the ledger anew.');
    response.json(entry);
  });
  return router;
}

/** A number that is none finds nothing. */
function idOf(text: unknown): number {
  return /^\d{1,15}$/.test(String(text)) ? Number(text) : -1;
}
