/*
 * HMAC-SHA-256 under one key (RFC 2104), for a peer that proves something every few seconds of a long night: the key's two blocks are made
 * once, and a proof is two hashes. Called by the stand-in dashboard; the tests hold it against Node's own.
 */
import { hash } from 'node:crypto';

const BLOCK_BYTES = 64;

/** The proof of a text, as 64 hex digits. `key` is at most one block. */
export function proofUnder(key: Buffer): (text: string) => string {
  if (key.length > BLOCK_BYTES)
    throw new RangeError(`a key has at most ${String(BLOCK_BYTES)} bytes, got ${String(key.length)}`);
  const padded = (pad: number): Buffer =>
    Buffer.from(new Uint8Array(BLOCK_BYTES).map((_byte, at) => pad ^ (key[at] ?? 0)));
  const inner = padded(0x36).toString('latin1');
  const outer = padded(0x5c);
  return (text) => {
    const innerHash = hash('sha256', Buffer.from(inner + Buffer.from(text).toString('latin1'), 'latin1'), 'buffer');
    return hash('sha256', Buffer.concat([outer, innerHash]), 'hex');
  };
}
