/*
 * The door: one passphrase protects the page. First start gives a one-time link; there is no default password anywhere.
 * Called by the web application for every request. Sessions are random ids, of which the store keeps only hashes.
 */
import type { DashboardClock } from '../clock.js';
import { passwordHash, passwordMatches, randomToken, tokenHash, tokensMatch } from '../passwords.js';
import type { Store } from '../store/store.js';

export const SESSION_COOKIE = 'bathkeeper_session';
/** Over https. A name of its own: browsers let no plain-http page replace a secure cookie, and a house may go back to plain http. */
export const SECURE_SESSION_COOKIE = `__Host-${SESSION_COOKIE}`;
export const PASSPHRASE_LENGTH_MIN = 8;
const SESSION_DAYS = 90;
const SET_ALREADY = 'A passphrase is set already. Enter it instead.';

export interface Door {
  hasPassphrase(): boolean;
  /** The token of the one-time link; undefined once a passphrase is set. */
  readonly firstStartToken: string | undefined;
  /** Sets the first passphrase; answers a session token, or what is wrong in a whole sentence. */
  firstStart(token: string, passphrase: string): Promise<{ session: string } | string>;
  enter(passphrase: string): Promise<string | undefined>;
  isOpenFor(session: string | undefined): boolean;
  leave(session: string): void;
}

export function openDoor(store: Store, clock: DashboardClock): Door {
  const { database } = store;
  const insert = database.prepare('INSERT INTO sessions VALUES (?, CAST(? AS INTEGER))');
  const find = database.prepare<[string, number], { found: number }>(
    'SELECT 1 AS found FROM sessions WHERE token_hash = ? AND made_at_ms > ?',
  );
  const remove = database.prepare('DELETE FROM sessions WHERE token_hash = ?');
  let firstStartToken = store.setting('passphrase') === undefined ? randomToken() : undefined;

  const isSet = (): boolean => store.setting('passphrase') !== undefined;
  /** Sessions that the store did not take. */
  const unstored = new Set<string>();
  /** Sessions that were left, and that the store still holds: a full disk lets nobody back in. Tried again whenever somebody asks. */
  const left = new Set<string>();
  const forget = (hash: string): void => {
    try {
      remove.run(hash);
      left.delete(hash);
    } catch {
      left.add(hash);
    }
  };
  const newSession = (): string => {
    const session = randomToken(32);
    const hash = tokenHash(session);
    try {
      insert.run(hash, Math.round(clock.nowMs()));
    } catch {
      // On a full disk more than ever somebody must see the page: this one lasts until the dashboard ends.
      unstored.add(hash);
    }
    return session;
  };
  return {
    hasPassphrase: isSet,
    get firstStartToken() {
      return firstStartToken;
    },
    firstStart: async (token, passphrase) => {
      if (firstStartToken === undefined) return SET_ALREADY;
      if (!tokensMatch(token, firstStartToken))
        return 'This first-start link is not the newest one. Use the link that the program printed last.';
      if (passphrase.length < PASSPHRASE_LENGTH_MIN)
        return `The passphrase has ${String(passphrase.length)} characters, expected at least ${String(PASSPHRASE_LENGTH_MIN)}. A few words in a row are easy to keep.`;
      const hash = await passwordHash(passphrase);
      if (isSet()) return SET_ALREADY;
      store.setSetting('passphrase', hash);
      // Only now: a link whose passphrase the store did not take must serve again.
      firstStartToken = undefined;
      return { session: newSession() };
    },
    enter: async (passphrase) => {
      const stored = store.setting('passphrase');
      return stored !== undefined && (await passwordMatches(passphrase, stored)) ? newSession() : undefined;
    },
    isOpenFor: (session) => {
      for (const hash of left) forget(hash);
      if (session === undefined) return false;
      const hash = tokenHash(session);
      if (left.has(hash)) return false;
      return unstored.has(hash) || find.get(hash, clock.nowMs() - SESSION_DAYS * 86_400_000) !== undefined;
    },
    leave: (session) => {
      const hash = tokenHash(session);
      if (!unstored.delete(hash)) forget(hash);
    },
  };
}

/** The session in a Cookie header; where a house has come to https, the one from there counts. */
export function sessionIn(cookieHeader: string | undefined): string | undefined {
  const cookies = new Map<string, string>();
  for (const part of (cookieHeader ?? '').split(';')) {
    const [name = '', value = ''] = part.trim().split('=');
    if (value !== '' && !cookies.has(name)) cookies.set(name, value);
  }
  return cookies.get(SECURE_SESSION_COOKIE) ?? cookies.get(SESSION_COOKIE);
}
