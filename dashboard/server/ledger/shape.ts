/* The words that the shapes of the ledger are written in: bounded text and numbers, and an object that knows nothing beside its fields. Used by the files beside it. */
import { z } from 'zod';

export const text = (most: number) => z.string().trim().min(1).max(most);
/** Less of anything is no reading, and what is divided by it is no figure. */
const LEAST = 1e-6;
export const positive = (most: number) => z.number().min(LEAST).max(most);
export const notNegative = (most: number) => z.number().min(0).max(most);

/** Strict: a name that nobody knows is a fault, and not silently left out. A field of T that is forgotten does not compile. */
export function shape<T>(fields: Record<keyof T, z.ZodType>) {
  return z.strictObject(fields) as unknown as z.ZodType<T>;
}
