/*
 * The routes of the bath ledgers: baths, their entries, undoing one. Mounted below /api, behind the door. An entry is computed here from what was typed, so that what
 * is kept was never made up by a page; nothing is changed or deleted.
 */
import { type Request, Router } from 'express';
import {
  type BathLedger,
  entryFaults,
  entryQuestions,
  type LedgerBath,
  lowGoodsOf,
  settledEntry,
} from '@bathkeeper/shared-core/trade';
import type { Dashboard } from '../dashboard.js';
import { newBathShape, newEntryShape, undoShape } from '../ledger/entry-shape.js';
import { openLedgerBook } from '../ledger/ledger-book.js';
import { otherKindFault } from '../ledger/own-spans.js';
import { takenPlaceWith, takenPlaceWithout, takenPlaceWords, type TakenPlace } from '../ledger/one-bath.js';
import { ledgerReminders } from '../ledger/reminders.js';
import { openStockStanding } from '../ledger/stock-standing.js';
import { openWorkedCharge } from '../ledger/worked-charge.js';
import { checked, Refused } from './refusal.js';
import { timeFault } from './said-time.js';

export function ledgerRoutes({ store, clock, book }: Dashboard): Router {
  const ledgers = openLedgerBook(store);
  const workedOf = openWorkedCharge(store);
  const stock = openStockStanding(store);
  const ledgerOf = (bath: LedgerBath): BathLedger => {
    const entries = ledgers.entries(bath.bathId);
    return { bath, entries, worked: workedOf(bath, entries), lowGoods: lowGoodsOf(bath.bathId, stock().account) };
  };
  const bathOf = (request: Request): LedgerBath => {
    const bath = ledgers.bath(idOf(request.params.bath));
    if (bath === undefined)
      throw new Refused(404, `There is no such bath: ${String(request.params.bath)}. Look at the list of baths again.`);
    return bath;
  };
  const controllerFaults = (bath: LedgerBath, controllerId: string): string[] => {
    const paired = book.bath(controllerId)?.paired;
    if (paired === undefined)
      return [`controllerId: expected a paired controller, got “${controllerId}”. Look at the list of baths.`];
    const fault = otherKindFault(bath, paired);
    return fault === undefined ? [] : [fault];
  };
  const router = Router();
  router.get('/baths', (_request, response) => {
    response.json(ledgers.baths());
  });
  router.post('/baths', (request, response) => {
    const asked = checked(newBathShape, request.body);
    if (ledgers.baths().some(({ name }) => name === asked.name))
      throw new Refused(409, `There is a ledger of “${asked.name}” already. Give this bath another name.`);
    response.json(ledgers.addBath(asked, clock.nowMs()));
  });
  router.get('/controllers/:id/ledger-reminders', (request, response) => {
    response.json(ledgerReminders(ledgers.baths().map(ledgerOf), String(request.params.id), clock.nowMs()));
  });
  router.get('/baths/:bath', (request, response) => {
    response.json(ledgerOf(bathOf(request)));
  });
  router.post('/baths/:bath/entries', (request, response) => {
    const bath = bathOf(request);
    const { bathId } = bath;
    const { who, note = '', body, atMs, isConfirmed = false } = checked(newEntryShape, request.body);
    const nowMs = clock.nowMs();
    const whenFault = timeFault(atMs ?? nowMs, nowMs);
    const faults = [
      ...entryFaults(body),
      ...(body.kind === 'note' && note === '' ? ['note: expected words, got nothing. Write what happened.'] : []),
      ...(body.kind === 'put-on' ? controllerFaults(bath, body.controllerId) : []),
      ...(whenFault === undefined ? [] : [`atMs: ${whenFault}`]),
    ];
    if (faults.length > 0) throw new Refused(400, 'The entry does not fit. Correct what is listed.', faults);
    const entry = { bathId, who, note, body: settledEntry(body), atMs: Math.min(atMs ?? nowMs, nowMs) };
    refuseTaken(takenPlaceWith(ledgers, entry));
    const before = ledgers.entries(bathId).filter((one) => one.atMs <= entry.atMs);
    const questions = isConfirmed ? [] : entryQuestions(entry.body, before);
    if (questions.length > 0)
      throw new Refused(
        409,
        'This entry is doubtful, and was not written down yet. Correct it, or write it down all the same.',
        questions,
      );
    response.json(ledgers.add(entry, nowMs));
  });
  router.post('/baths/:bath/entries/:entry/undo', (request, response) => {
    const { bathId } = bathOf(request);
    const { who, reason } = checked(undoShape, request.body);
    const entryId = idOf(request.params.entry);
    refuseTaken(takenPlaceWithout(ledgers, bathId, entryId));
    const entry = ledgers.undo(bathId, entryId, who, reason, clock.nowMs());
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

function refuseTaken(taken: TakenPlace | undefined): void {
  if (taken !== undefined) throw new Refused(409, takenPlaceWords(taken));
}

/** A number that is none finds nothing. */
function idOf(text: unknown): number {
  return /^\d{1,15}$/.test(String(text)) ? Number(text) : -1;
}
