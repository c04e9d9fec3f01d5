/*
 * HMAC-SHA-256 (RFC 2104) under the controller's secret, over the interpreter's own SHA-256: proves that a command or a sign of life comes
 * from the dashboard that was paired at the bath, and makes the broker's password. Used by the link. The secret never leaves this file.
 */
import { PROOF_DIGITS } from '@bathkeeper/shared-core/messages';

/** Bytes of a block of SHA-256 (FIPS 180-4): what the key is padded to. */
const BLOCK_BYTES = 64;
const DIGEST_BYTES = 32;
/** Longest JSON text whose proof is looked at. */
const TEXT_MAX = 512;

/** The proof of a text, 32 bytes. */
export type Prove = (text: string) => ArrayBuffer;

/** A proof as 64 lower-case hexadecimal digits, as it goes over the wire. @onceAtBoot */
export function hexDigits(digest: ArrayBuffer): string {
  const bytes = new Uint8Array(digest);
  let digits = '';
  for (let i = 0; i < bytes.length; i++) digits += (256 + bytes[i]!).toString(16).substr(1);
  return digits;
}

/** The key with its inner and its outer padding. @onceAtBoot */
function paddedKeys(secret: string): [string, string] {
  let inner = '';
  let outer = '';
  for (let i = 0; i < BLOCK_BYTES; i++) {
    const byte = parseInt(secret.substr(2 * i, 2), 16) || 0;
    inner += String.fromCharCode(byte ^ 0x36);
    outer += String.fromCharCode(byte ^ 0x5c);
  }
  return [inner, outer];
}

/**
 * A prover for a secret of 64 hexadecimal digits. Both paddings of the key are made once; each proof then takes two digests.
 * Example (RFC 4231, test case 2, its key as digits): `prover(key)('what do ya want for nothing?')` begins with 5b dc c1 46.
 */
export function prover(secret: string): Prove {
  const sha256 = require('crypto').SHA256;
  const keys = paddedKeys(secret);
  return function (text: string): ArrayBuffer {
    return sha256(keys[1] + E.toString(new Uint8Array(sha256(keys[0] + text))));
  };
}

/**
 * The JSON text behind a proof, when the proof is right for `before` and that text; undefined else. Nothing of it is parsed here. The
 * comparison takes the same time wherever the first wrong digit stands; it goes by words of four bytes, since a digit at a time takes as
 * long as two control steps.
 */
export function provedText(message: string, before: string, prove: Prove): string | undefined {
  const text = message.substr(PROOF_DIGITS);
  if (!text || text.length > TEXT_MAX) return undefined;
  const right = new DataView(prove(before + text));
  let wrong = 0;
  for (let at = 0; at < DIGEST_BYTES; at += 4) wrong |= parseInt(message.substr(2 * at, 8), 16) ^ right.getInt32(at);
  return wrong ? undefined : text;
}
