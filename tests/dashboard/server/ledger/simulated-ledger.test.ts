/* The ledger of the virtual bath: marked as what it is, sound by the ledger's own rules, and never a real controller's. */
import { join } from 'node:path';
import { bathAccount, controllerSpans, waterLoss } from '@bathkeeper/shared-core/trade';
import { expect, test } from 'vitest';
import { openLedgerBook } from '../../../../dashboard/server/ledger/ledger-book.js';
import { openStore } from '../../../../dashboard/server/store/store.js';
import {
  beginSimulatedLedger,
  endSimulatedLedgers,
} from '../../../../dashboard/server/virtual-bath/simulated-ledger.js';
import { EVENING_MS, folderOnTrial } from '../dashboard-on-trial.js';

function simulatedOnTrial() {
  const book = openLedgerBook(openStore(join(folderOnTrial(), 'bathkeeper.sqlite')));
  const begin = (nowMs: number): void =>
    beginSimulatedLedger({ book, bathName: 'Copper 60 L', controllerId: 'north-bench', nowMs });
  const spans = () => controllerSpans(book.entries(book.baths()[0]!.bathId));
  begin(EVENING_MS);
  return { book, begin, spans };
}

test('it says in its name, its mark and each of its entries that it is simulated', () => {
  const { book } = simulatedOnTrial();
  const [bath] = book.baths();
  expect(bath).toMatchObject({ name: 'Copper 60 L (simulated)', isSimulated: true, who: 'Simulated' });
  const entries = book.entries(bath!.bathId);
  expect(new Set(entries.map(({ who }) => who))).toEqual(new Set(['Simulated']));
  expect(entries.filter(({ undone }) => undone !== null)).toHaveLength(1);
});

test('it is a bath that could be: every level below what stood there, and its losses within what evaporates', () => {
  const { book } = simulatedOnTrial();
  const entries = book.entries(book.baths()[0]!.bathId);
  const { litres, losses } = bathAccount(entries);
  expect(litres).toBeCloseTo(60, 9);
  expect(losses).toHaveLength(3);
  for (const loss of losses) expect(waterLoss(loss, entries)).toMatchObject({ isMore: false, isLess: false });
});

test('it is begun once, however often the demonstration starts', () => {
  const { book, begin, spans } = simulatedOnTrial();
  const before = book.entries(book.baths()[0]!.bathId).length;
  begin(EVENING_MS + 1000);
  expect(book.baths()).toHaveLength(1);
  expect(book.entries(book.baths()[0]!.bathId)).toHaveLength(before);
  expect(spans().at(-1)).toMatchObject({ controllerId: 'north-bench', toMs: null });
});

test('it takes no controller from a bath that somebody put under it', () => {
  const { book, begin, spans } = simulatedOnTrial();
  endSimulatedLedgers(book, EVENING_MS + 1000);
  const own = book.addBath({ name: 'Copper 60 L', profile: 'bright-copper', who: 'Kim' }, EVENING_MS + 1000);
  const body = { kind: 'put-on', controllerId: 'north-bench' } as const;
  book.add({ bathId: own.bathId, atMs: EVENING_MS + 1000, who: 'Kim', note: '', body }, EVENING_MS + 1000);
  begin(EVENING_MS + 2000);
  expect(spans().at(-1)).toMatchObject({ controllerId: 'north-bench', toMs: EVENING_MS + 1000 });
});

test('it leaves its controller when a real one is paired, and a bath of a person stays where it stands', () => {
  const { book, begin, spans } = simulatedOnTrial();
  const own = book.addBath({ name: 'Copper 60 L', profile: 'bright-copper', who: 'Kim' }, EVENING_MS);
  const body = { kind: 'put-on', controllerId: 'real' } as const;
  book.add({ bathId: own.bathId, atMs: EVENING_MS, who: 'Kim', note: '', body }, EVENING_MS);
  endSimulatedLedgers(book, EVENING_MS + 1000);
  expect(spans().at(-1)).toMatchObject({ controllerId: 'north-bench', toMs: EVENING_MS + 1000 });
  expect(book.entries(own.bathId)).toHaveLength(1);
  begin(EVENING_MS + 2000);
  expect(spans().at(-1)).toMatchObject({ controllerId: 'north-bench', toMs: null });
});
