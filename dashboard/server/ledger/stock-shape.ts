/* The shape of what may be written into the stock: each field by its name, kind and bounds, nothing beside. Used by the stock's routes. */
import { z } from 'zod';
import { type BoughtAsked, type CountedAsked, type LowAtAsked, type NewStockRequest, type StockBody, stockGoods } from '@bathkeeper/shared-core/trade'; // prettier-ignore
import { expectedWords } from '../http/fault-words.js';
import { notNegative, positive, shape, text } from './shape.js';

/** Grams or millilitres: a hundred tonnes. */
const AMOUNT_MAX = 100_000_000;
const of = z.enum(stockGoods);
const bodies = {
  bought: shape<BoughtAsked>({ kind: z.literal('bought'), of, amount: positive(AMOUNT_MAX), price: notNegative(100_000_000) }), // prettier-ignore
  counted: shape<CountedAsked>({ kind: z.literal('counted'), of, amount: notNegative(AMOUNT_MAX) }),
  'low-at': shape<LowAtAsked>({ kind: z.literal('low-at'), of, amount: notNegative(AMOUNT_MAX) }),
} satisfies { readonly [Kind in StockBody['kind']]: z.ZodType<Extract<StockBody, { kind: Kind }>> };

/** The kind first, so that a fault is told of the kind that was meant. */
const body: z.ZodType<StockBody> = z
  .looseObject({ kind: z.enum(['bought', 'counted', 'low-at']) })
  .transform((given, context): StockBody => {
    const read = bodies[given.kind].safeParse(given, { error: expectedWords });
    if (read.success) return read.data;
    for (const issue of read.error.issues)
      context.addIssue({ code: 'custom', message: issue.message, path: [...issue.path] });
    return z.NEVER;
  });

export const newStockShape = shape<NewStockRequest>({
  atMs: z.number().int().min(0).optional(),
  who: text(60),
  note: z.string().trim().max(2000).optional(),
  body,
});
