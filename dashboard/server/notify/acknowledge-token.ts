/*
 * The token in the link of a call: whoever holds it may acknowledge that call once. It is computed from the delivery's number under a key
 * of this dashboard, so a repeated delivery carries the same link and the store holds nothing that could be stolen. Pure.
 */
import { createHmac, timingSafeEqual } from 'node:crypto';

/** A link that was sent this long ago serves no more. */
export const TOKEN_HOURS = 24;

const PROOF_BYTES = 24;

function proofOf(key: Buffer, deliveryNumber: number): Buffer {
  return createHmac('sha256', key)
    .update(`acknowledge ${String(deliveryNumber)}`)
    .digest()
    .subarray(0, PROOF_BYTES);
}

/** Example: delivery 7 -> `7-` and 32 characters. */
export function acknowledgeToken(key: Buffer, deliveryNumber: number): string {
  return `${String(deliveryNumber)}-${proofOf(key, deliveryNumber).toString('base64url')}`;
}

/** The delivery that the token was made for; undefined: this dashboard did not make it. */
export function deliveryOfToken(key: Buffer, token: string): number | undefined {
  const [, digits, text] = /^(\d{1,15})-([A-Za-z0-9_-]{32})$/.exec(token) ?? [];
  if (digits === undefined || text === undefined) return undefined;
  const proof = Buffer.from(text, 'base64url');
  return timingSafeEqual(proof, proofOf(key, Number(digits))) ? Number(digits) : undefined;
}
