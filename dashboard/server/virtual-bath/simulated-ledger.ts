/*
 * A ledger for the virtual bath, so that whoever starts without hardware sees one that lives: made up eight weeks ago, analysed, topped up, filtered, one entry undone, and
 * under the virtual controller, whose runs count. Begun by main.ts with the demonstration, and ended when a real controller is paired. Name, marks and every entry's author say
 * that it is simulated.
 */
import { concentratedSulphuric, controllerSpans, type EntryAsked, settledEntry } from '@bathkeeper/shared-core/trade';
import type { LedgerBook } from '../ledger/ledger-book.js';
import { takenPlaceWith } from '../ledger/one-bath.js';

const WHO = 'Simulated';
const DAY_MS = 86_400_000;

const copperByEdta = (titrantMillilitres: number): EntryAsked => ({
  kind: 'analysis',
  analyte: 'copper-sulphate',
  how: 'edta',
  titration: { sampleMillilitres: 2, titrantMillilitres, titrantMolesPerLitre: 0.1 },
});

/** How many days ago, and what was done. */
const story: readonly (readonly [number, EntryAsked])[] = [
  [56, { kind: 'made-up', litres: 60, composition: { 'copper-sulphate': 200, 'sulphuric-acid': 70, chloride: 75 }, from: 'chemicals', saltPurityShare: 0.99, acid: concentratedSulphuric }],
  [56, { kind: 'brightener-rate', litresPerKiloampereHour: 0.3, doseMillilitres: 40, source: 'made up for this simulation' }],
  [56, { kind: 'tank', openSurfaceDm2: 12, bathCelsius: 23, isAirAgitated: false }],
  [56, { kind: 'reminder', of: 'filtration', everyDays: 21 }],
  [56, { kind: 'reminder', of: 'analysis', everyDays: 14, everyAmpereHours: 1000 }],
  [55, { kind: 'anodes-weighed', grams: 9200 }],
  [42, copperByEdta(15.9)],
  [36, { kind: 'level', litres: 48 }],
  [36, { kind: 'addition', of: 'water', amount: 12_000 }],
  [28, copperByEdta(15.6)],
  [28, { kind: 'analysis', analyte: 'sulphuric-acid', how: 'sodium-hydroxide', titration: { sampleMillilitres: 5, titrantMillilitres: 7.4, titrantMolesPerLitre: 1 } }],
  [27, { kind: 'hull-cell', cell: '267 mL', cellAmps: 1, minutes: 10, isStirred: true, bathCelsius: 23, seen: [{ look: 'burnt', fromMm: 0, toMm: 7 }, { look: 'bright', fromMm: 7, toMm: 72 }, { look: 'hazy', fromMm: 72, toMm: 100 }] }],
  [23, { kind: 'filtration', how: 'batch', poreMicrometres: 5, hours: 4, isMediumNew: true }],
  [23, { kind: 'waste-collected', what: 'filters', amount: 0.4, container: 'bucket with a lid' }],
  [20, { kind: 'level', litres: 51 }],
  [20, { kind: 'addition', of: 'water', amount: 9000 }],
  [16, copperByEdta(15.1)],
  [6, { kind: 'level', litres: 51.6 }],
  [6, { kind: 'addition', of: 'water', amount: 8400 }],
]; // prettier-ignore
const mistaken: EntryAsked = { kind: 'addition', of: 'brightener', amount: 40 };

export interface SimulatedLedger {
  readonly book: LedgerBook;
  readonly bathName: string;
  readonly controllerId: string;
  readonly nowMs: number;
}

/** Begins it where there is none yet, else puts the one that is there under its controller again. */
export function beginSimulatedLedger({ book, bathName, controllerId, nowMs }: SimulatedLedger): void {
  const name = `${bathName} (simulated)`;
  const known = book.baths().find((bath) => bath.name === name);
  if (known !== undefined) {
    if (known.isSimulated && !standsUnderOne(book, known.bathId))
      putUnder(book, known.bathId, nowMs, controllerId, nowMs);
    return;
  }
  const { bathId } = book.addBath({ name, profile: 'bright-copper', who: WHO, isSimulated: true }, nowMs);
  for (const [daysAgo, asked] of story) write(book, bathId, nowMs - daysAgo * DAY_MS, asked, nowMs);
  putUnder(book, bathId, nowMs - 55 * DAY_MS, controllerId, nowMs);
  const { entryId } = write(book, bathId, nowMs - 12 * DAY_MS, mistaken, nowMs);
  book.undo(bathId, entryId, WHO, 'it went into the small bath', nowMs);
}

/** A real controller's runs are no simulated bath's. */
export function endSimulatedLedgers(book: LedgerBook, nowMs: number): void {
  for (const { bathId, isSimulated } of book.baths())
    if (isSimulated && standsUnderOne(book, bathId)) write(book, bathId, nowMs, { kind: 'taken-off' }, nowMs);
}

/** Not where somebody put a bath of their own. */
function putUnder(book: LedgerBook, bathId: number, atMs: number, controllerId: string, nowMs: number): void {
  const body = { kind: 'put-on', controllerId } as const;
  if (takenPlaceWith(book, { bathId, atMs, who: WHO, note: '', body }) === undefined)
    write(book, bathId, atMs, body, nowMs);
}

function standsUnderOne(book: LedgerBook, bathId: number): boolean {
  return controllerSpans(book.entries(bathId)).at(-1)?.toMs === null;
}

function write(book: LedgerBook, bathId: number, atMs: number, asked: EntryAsked, nowMs: number) {
  return book.add({ bathId, atMs, who: WHO, note: '', body: settledEntry(asked) }, nowMs);
}
