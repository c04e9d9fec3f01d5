/*
 * Passphrases and tokens: scrypt hashes, random tokens, comparison in constant time. Used by the door and the broker.
 * Parameters for what a person chose: N = 2^15, r = 8, p = 3 (OWASP Password Storage Cheat Sheet; from memory).
 */
import { createHash, randomBytes, scrypt, timingSafeEqual } from 'node:crypto';

interface Cost {
  readonly log2N: number;
  readonly p: number;
}
const chosenByPerson: Cost = { log2N: 15, p: 3 };
/** A password that was drawn at random cannot be guessed however cheap a guess is, and a thousand controllers may knock at once. */
const drawnAtRandom: Cost = { log2N: 12, p: 1 };

function derived(secret: string, salt: Buffer, { log2N, p }: Cost): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    const options = { N: 2 ** log2N, r: 8, p, maxmem: 64 * 1024 * 1024 };
    scrypt(secret.normalize('NFKC'), salt, 32, options, (fault, key) => {
      if (fault) reject(fault);
      else resolve(key);
    });
  });
}

async function hashOf(secret: string, cost: Cost): Promise<string> {
  const salt = randomBytes(16);
  const key = await derived(secret, salt, cost);
  return [salt.toString('base64'), key.toString('base64'), cost.log2N, cost.p].join(':');
}

/** Of a passphrase that a person chose: `salt:hash:log2 N:p`, the first two in base64. */
export function passwordHash(secret: string): Promise<string> {
  return hashOf(secret, chosenByPerson);
}

/** Of a password that randomToken drew. */
export function drawnPasswordHash(secret: string): Promise<string> {
  return hashOf(secret, drawnAtRandom);
}

export async function passwordMatches(secret: string, stored: string): Promise<boolean> {
  const [salt = '', hash = '', log2N, p] = stored.split(':');
  const cost = log2N === undefined ? chosenByPerson : { log2N: Number(log2N), p: Number(p) };
  const expected = Buffer.from(hash, 'base64');
  const got = await derived(secret, Buffer.from(salt, 'base64'), cost);
  return expected.length === got.length && timingSafeEqual(expected, got);
}

/** A controller's secret, for a bath that has no person to carry one: 64 hexadecimal digits. */
export function drawnSecret(): string {
  return randomBytes(32).toString('hex');
}

export function randomToken(bytes = 24): string {
  return randomBytes(bytes).toString('base64url');
}

/** For tokens, which are random already: what the store keeps of them. */
export function tokenHash(token: string): string {
  return createHash('sha256').update(token).digest('base64');
}

export function tokensMatch(one: string, other: string): boolean {
  return timingSafeEqual(Buffer.from(tokenHash(one)), Buffer.from(tokenHash(other)));
}
