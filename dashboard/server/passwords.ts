/*
 * Passphrases and tokens: scrypt hashes, random tokens, comparison in constant time. Used by the door and the broker.
 * Parameters: N = 2^15, r = 8, p = 3 (OWASP Password Storage Cheat Sheet; from memory).
 */
import { createHash, randomBytes, scrypt, timingSafeEqual } from 'node:crypto';

const cost = { N: 2 ** 15, r: 8, p: 3, maxmem: 64 * 1024 * 1024 };

function derived(secret: string, salt: Buffer): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    scrypt(secret.normalize('NFKC'), salt, 32, cost, (fault, key) => {
      if (fault) reject(fault);
      else resolve(key);
    });
  });
}

/** `salt:hash`, both base64. */
export async function passwordHash(secret: string): Promise<string> {
  const salt = randomBytes(16);
  return `${salt.toString('base64')}:${(await derived(secret, salt)).toString('base64')}`;
}

export async function passwordMatches(secret: string, stored: string): Promise<boolean> {
  const [salt = '', hash = ''] = stored.split(':');
  const expected = Buffer.from(hash, 'base64');
  const got = await derived(secret, Buffer.from(salt, 'base64'));
  return expected.length === got.length && timingSafeEqual(expected, got);
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
