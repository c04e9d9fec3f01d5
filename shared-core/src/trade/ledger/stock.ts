/*
 * The stock of chemicals and anodes: what was bought, what the baths took of it, what is left, what it cost. One stock for all baths of a workshop. Called by the server for the
 * stock's room. Uses are read from the ledgers, so that nobody writes a dose down twice; a chemical's stock begins with its first purchase or count, and what was used
 * before has no price.
 */
import { inOrder } from './bath-account.js';
import { type Additive, additives, type LedgerEntry, type Undone } from './ledger-entry.js';

/** What can be bought by name. "Another" solid or liquid is no one thing. */
export type StockGood = Exclude<Additive, 'other-solid' | 'other-liquid'> | 'copper-anodes';
const { 'other-solid': _solid, 'other-liquid': _liquid, ...chemicals } = additives;
export const stocked = {
  ...chemicals,
  'copper-anodes': { name: 'copper anodes', unit: 'g' },
} as const satisfies Readonly<Record<StockGood, { name: string; unit: 'g' | 'mL' }>>;
export const stockGoods = Object.keys(stocked) as StockGood[];

/** Amounts in the good's unit: grams or millilitres of what is in the drum, whatever its strength. */
export interface BoughtAsked {
  readonly kind: 'bought';
  readonly of: StockGood;
  readonly amount: number;
  /** Of all of it, with carriage, in the money that the person pays with. */
  readonly price: number;
}
/** What was found on the shelf: from then on it is what is there. */
export interface CountedAsked {
  readonly kind: 'counted';
  readonly of: StockGood;
  readonly amount: number;
}
/** Below this it is running low. */
export interface LowAtAsked {
  readonly kind: 'low-at';
  readonly of: StockGood;
  readonly amount: number;
}
export type StockBody = BoughtAsked | CountedAsked | LowAtAsked;

export interface StockEntry {
  readonly entryId: number;
  readonly atMs: number;
  readonly writtenAtMs: number;
  readonly who: string;
  readonly note: string;
  readonly body: StockBody;
  readonly undone: Undone | null;
}

/** POST /api/stock/entries. */
export interface NewStockRequest {
  /** Absent: now. */
  readonly atMs?: number | undefined;
  readonly who: string;
  readonly note?: string | undefined;
  readonly body: StockBody;
}

/** What a bath took. */
export interface StockUse {
  readonly bathId: number;
  readonly of: StockGood;
  readonly amount: number;
  readonly atMs: number;
}
export interface PricedUse extends StockUse {
  /** null: nothing was bought of it by then, or its stock had not begun. */
  readonly cost: number | null;
}

export interface GoodInStock {
  readonly of: StockGood;
  /** Bought or counted at least once, and that was not undone. */
  readonly isBegun: boolean;
  /** Below zero where more was used than was written down as bought. */
  readonly amount: number;
  /** Weighted average of what was bought, for a gram or a millilitre; null: nothing was. */
  readonly costOfOne: number | null;
  readonly lowAt: number | null;
  readonly isLow: boolean;
  /** What the newest count found less than the books; below zero: more. null: it was not counted yet. */
  readonly missedAtCount: number | null;
}

/** GET /api/stock. Entries newest first. */
export interface StockView {
  readonly goods: readonly GoodInStock[];
  readonly entries: readonly StockEntry[];
  readonly baths: readonly BathCost[];
}
export interface BathCost {
  readonly bathId: number;
  readonly name: string;
  /** Of everything that it took and that has a price. */
  readonly cost: number;
  /** So many amounts that it took have none. */
  readonly unpricedCount: number;
  /** Of the brightener that a kiloampere-hour uses up, by the bath's own rate and the present average; null: not both are known. */
  readonly brightenerCostPerKiloampereHour: number | null;
}

/**
 * What a bath's entries took: its make-up from chemicals, each addition, brightener and water among them, and the anodes that were put in. Those that were
 * taken out are no longer what was bought, and do not go back on the shelf.
 */
export function stockUses(bathId: number, entries: readonly LedgerEntry[]): StockUse[] {
  return inOrder(entries).flatMap(({ atMs, body }): StockUse[] => {
    if (body.kind === 'addition')
      return body.of === 'other-solid' || body.of === 'other-liquid'
        ? []
        : [{ bathId, of: body.of, amount: body.amount, atMs }];
    if (body.kind === 'anodes-changed')
      return body.putInGrams > 0 ? [{ bathId, of: 'copper-anodes', amount: body.putInGrams, atMs }] : [];
    if (body.kind !== 'made-up' || body.amounts === null) return [];
    const { saltGrams, acidMillilitres, sodiumChlorideGrams, hydrochloricMillilitres, brightenerMillilitres, waterLitres } = body.amounts; // prettier-ignore
    const taken: Readonly<Record<keyof typeof chemicals, number>> = {
      'copper-sulphate': saltGrams,
      'sulphuric-acid': acidMillilitres,
      'sodium-chloride': sodiumChlorideGrams,
      'hydrochloric-acid': hydrochloricMillilitres,
      brightener: brightenerMillilitres,
      water: waterLitres * 1000,
    };
    return (Object.keys(taken) as (keyof typeof taken)[])
      .filter((of) => taken[of] > 0)
      .map((of) => ({ bathId, of, amount: taken[of], atMs }));
  });
}

interface Shelf {
  isBegun: boolean;
  amount: number;
  costOfOne: number | null;
  lowAt: number | null;
  missedAtCount: number | null;
}

function emptyShelf(): Shelf {
  return { isBegun: false, amount: 0, costOfOne: null, lowAt: null, missedAtCount: null };
}

/**
 * What is left and what it cost, by the moving weighted average: each purchase is averaged with what is left at its average (IAS 2 Inventories, paragraphs 25 and 27,
 * from memory). A count puts the amount right and leaves the average; what was missed belongs to no bath.
 *
 * Example: 1000 g for 4, then 1000 g for 6: 0.005 a gram. 500 g used before the second: 1500 g left of 2 + 6 = 8, so 0.0053 a gram.
 */
export function stockAccount(
  entries: readonly StockEntry[],
  uses: readonly StockUse[],
): { readonly goods: readonly GoodInStock[]; readonly uses: readonly PricedUse[] } {
  const shelves = new Map<StockGood, Shelf>();
  const priced: PricedUse[] = [];
  const inTime = [...entries].sort((one, other) => one.atMs - other.atMs || one.entryId - other.entryId);
  // What was undone keeps its place on the list, with nothing of it.
  for (const { body } of inTime) shelves.set(body.of, emptyShelf());
  const written = inTime.filter(({ undone }) => undone === null);
  const taken = [...uses].sort((one, other) => one.atMs - other.atMs);
  let next = 0;
  const takeUntil = (atMs: number): void => {
    for (; next < taken.length && taken[next]!.atMs < atMs; next++)
      priced.push(take(shelves.get(taken[next]!.of), taken[next]!));
  };
  for (const { atMs, body } of written) {
    takeUntil(atMs);
    put(shelves.get(body.of)!, body);
  }
  takeUntil(Infinity);
  const goods = [...shelves].map(([of, { isBegun, amount, costOfOne, lowAt, missedAtCount }]) => ({ of, isBegun, amount, costOfOne, lowAt, isLow: lowAt !== null && amount < lowAt, missedAtCount })); // prettier-ignore
  return { goods, uses: priced };
}

function put(shelf: Shelf, body: StockBody): void {
  switch (body.kind) {
    case 'bought': {
      const left = Math.max(0, shelf.amount);
      shelf.costOfOne = (left * (shelf.costOfOne ?? body.price / body.amount) + body.price) / (left + body.amount);
      shelf.amount += body.amount;
      shelf.isBegun = true;
      break;
    }
    case 'counted':
      if (shelf.isBegun) shelf.missedAtCount = shelf.amount - body.amount;
      shelf.amount = body.amount;
      shelf.isBegun = true;
      break;
    case 'low-at':
      shelf.lowAt = body.amount;
  }
}

function take(shelf: Shelf | undefined, use: StockUse): PricedUse {
  if (shelf?.isBegun !== true) return { ...use, cost: null };
  shelf.amount -= use.amount;
  return { ...use, cost: shelf.costOfOne === null ? null : use.amount * shelf.costOfOne };
}

/** What is running low of that which a bath has taken at least once. */
export function lowGoodsOf(bathId: number, { goods, uses }: ReturnType<typeof stockAccount>): GoodInStock[] {
  const taken = new Set(uses.filter((use) => use.bathId === bathId).map(({ of }) => of));
  return goods.filter(({ of, isLow }) => isLow && taken.has(of));
}

/** `litresPerKiloampereHour`: how the bath uses up brightener; undefined: nobody said. */
export function bathCost(
  bath: { readonly bathId: number; readonly name: string },
  account: ReturnType<typeof stockAccount>,
  litresPerKiloampereHour: number | undefined,
): BathCost {
  const taken = account.uses.filter(({ bathId }) => bathId === bath.bathId);
  const millilitre = account.goods.find(({ of }) => of === 'brightener')?.costOfOne ?? null;
  return {
    bathId: bath.bathId,
    name: bath.name,
    cost: taken.reduce((sum, { cost }) => sum + (cost ?? 0), 0),
    unpricedCount: taken.filter(({ cost }) => cost === null).length,
    brightenerCostPerKiloampereHour:
      millilitre === null || litresPerKiloampereHour === undefined ? null : litresPerKiloampereHour * 1000 * millilitre,
  };
}
