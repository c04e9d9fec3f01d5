/* A ledger for the browser tests: a bath made up, drifted, topped up, and one entry undone; and the dashboard's side of writing into it. */
import type { BathLedger, EntryAsked, LedgerBath, LedgerEntry, NewEntryRequest, UndoRequest, Worked } from '@bathkeeper/shared-core/trade'; // prettier-ignore
import { settledEntry } from '@bathkeeper/shared-core/trade';
import { NIGHT_MS } from './canned-night.js';
import type { FixtureServer } from './fixture-server.js';

const DAY_MS = 86_400_000;

export const copperBath: LedgerBath = {
  bathId: 1,
  name: 'Copper 60 L',
  profile: 'bright-copper',
  isSimulated: false,
  writtenAtMs: NIGHT_MS - 60 * DAY_MS,
  who: 'Kim',
};

export const madeUp: EntryAsked = {
  kind: 'made-up',
  litres: 60,
  composition: { 'copper-sulphate': 200, 'sulphuric-acid': 70, chloride: 75 },
  from: 'chemicals',
  saltPurityShare: 1,
  acid: { strengthShare: 0.96, densityGramsPerMl: 1.84 },
};

export function written(entryId: number, daysAgo: number, body: EntryAsked, more: Partial<LedgerEntry> = {}): LedgerEntry {
  const atMs = NIGHT_MS - daysAgo * DAY_MS;
  return { entryId, atMs, writtenAtMs: atMs, who: 'Kim', note: '', body: settledEntry(body), undone: null, ...more };
} // prettier-ignore

const copperFound = (titrantMillilitres: number): EntryAsked => ({
  kind: 'analysis',
  analyte: 'copper-sulphate',
  how: 'edta',
  titration: { sampleMillilitres: 2, titrantMillilitres, titrantMolesPerLitre: 0.1 },
});

/** Oldest first. */
export const cannedEntries: readonly LedgerEntry[] = [
  written(1, 60, madeUp, { note: 'new salt, sack 3' }),
  written(2, 45, copperFound(15.9)),
  written(3, 30, copperFound(15.3)),
  written(4, 30, { kind: 'analysis', analyte: 'sulphuric-acid', how: 'direct', value: 74 }),
  written(5, 20, { kind: 'level', litres: 57 }),
  written(6, 20, { kind: 'addition', of: 'water', amount: 3000 }, { who: 'Robin' }),
  written(7, 12, { kind: 'addition', of: 'brightener', amount: 90 }, { undone: { atMs: NIGHT_MS - 11 * DAY_MS, who: 'Robin', reason: 'it went into the small bath' } }),
  written(8, 2, copperFound(14.4)),
  written(9, 1, { kind: 'level', litres: 58.8 }),
]; // prettier-ignore

/** Test panels, anodes weighed twice around a change, filtration, carbon, waste. */
export const careEntries: readonly LedgerEntry[] = [
  written(21, 40, { kind: 'anodes-weighed', grams: 8000 }),
  written(22, 30, { kind: 'anodes-changed', takenOutGrams: 0, putInGrams: 400 }),
  written(23, 10, { kind: 'anodes-weighed', grams: 8044.4 }),
  written(32, 39, { kind: 'reminder', of: 'filtration', everyDays: 30, everyAmpereHours: 500 }),
  written(33, 39, { kind: 'reminder', of: 'carbon-treatment', everyDays: 7 }),
  written(34, 39, { kind: 'tank', openSurfaceDm2: 12, bathCelsius: 24, isAirAgitated: false }),
  written(24, 9, { kind: 'filtration', how: 'batch', poreMicrometres: 5, hours: 3, isMediumNew: true }),
  written(25, 8, { kind: 'carbon-treatment', how: 'powder', grams: 180, hours: 6, bathCelsius: 40 }),
  written(26, 7, {
    kind: 'hull-cell',
    cell: '267 mL',
    cellAmps: 1,
    minutes: 10,
    isStirred: true,
    bathCelsius: 24,
    seen: [
      { look: 'burnt', fromMm: 0, toMm: 8 },
      { look: 'bright', fromMm: 8, toMm: 66 },
      { look: 'hazy', fromMm: 66, toMm: 102 },
    ],
  }),
  written(27, 6, { kind: 'throwing-power', nearGrams: 2, farGrams: 1, distanceRatio: 5, formula: 'haring-blum' }),
  written(28, 5, { kind: 'waste-collected', what: 'bath', amount: 6, container: 'canister 3' }),
  written(31, 5, { kind: 'addition', of: 'water', amount: 6000 }),
  written(29, 4, { kind: 'waste-collected', what: 'filters', amount: 1.2, container: 'bucket with lid' }),
  written(30, 3, { kind: 'waste-handed-over', what: 'bath', amount: 2, toWhom: 'the town’s collection point' }),
];

/** Nothing ran in it yet. */
export const unworked: Worked = {
  controllerId: null,
  uncountedControllerId: null,
  millicoulombs: 0,
  sinceDoseMillicoulombs: 0,
  dosedAtMs: null,
  atEntries: {},
};

/** Puts it on the shelves, and takes entries and undoings as the dashboard does. */
export function shelveLedger(server: FixtureServer, entries: readonly LedgerEntry[] = cannedEntries, bath = copperBath, worked = unworked, lowGoods: BathLedger['lowGoods'] = []): void {
  let kept = [...entries];
  const shelve = (): void => {
    const newestFirst = [...kept].sort((one, other) => other.atMs - one.atMs || other.entryId - one.entryId);
    server.shelves.set(`/api/baths/${String(bath.bathId)}`, { bath, entries: newestFirst, worked, lowGoods } satisfies BathLedger);
  };
  server.shelves.set('/api/baths', [bath]);
  shelve();
  server.answer = ({ path, body }) => {
    const [, , , , what, entryId, undo] = path.split('/');
    if (what !== 'entries') return undefined;
    if (undo === 'undo') {
      const { who, reason } = body as UndoRequest;
      kept = kept.map((entry) =>
        entry.entryId === Number(entryId) ? { ...entry, undone: { atMs: NIGHT_MS, who, reason } } : entry,
      );
    } else {
      const { who, note = '', body: asked, atMs = NIGHT_MS } = body as NewEntryRequest;
      kept = [...kept, { entryId: kept.length + 1, atMs, writtenAtMs: NIGHT_MS, who, note, body: settledEntry(asked), undone: null }];
    }
    shelve();
    return { body: kept.at(-1) };
  };
} // prettier-ignore
