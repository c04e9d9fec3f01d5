/*
 * One ringing that needs no store: everybody on duty, over every channel at once, for when the store takes nothing. Asked by the house's calls from
 * memory, which try again; no row stays here, so nothing of it can be acknowledged.
 */
import type { DashboardClock } from '../clock.js';
import type { CallingSettings } from './calling-settings.js';
import type { Contacts, Person } from './contacts.js';
import { isOnDuty } from './house-time.js';
import type { Send } from './sender.js';

const LISTED_MAX = 10;

/** Title and message; answers how many channels took it. */
export type RingWithoutStore = (title: string, message: string) => Promise<number>;

export function ringWithoutStore(options: {
  clock: DashboardClock;
  contacts: Contacts;
  settings: CallingSettings;
  send: Send;
  pageAddress: () => string | undefined;
  /** Titles of what was called from the store and nobody has acknowledged: its reminders need the store. */
  ringing: () => readonly string[];
}): RingWithoutStore {
  const { clock, contacts, settings, send } = options;
  return async (title, words) => {
    const message = [words, ...stillOpen(options.ringing())].join(' ');
    const nowMs = clock.nowMs();
    const { timeZone } = settings.escalation();
    const address = options.pageAddress();
    const takenBy = async (people: readonly Person[]): Promise<number> => {
      const outcomes = await Promise.all(
        people.flatMap((person) =>
          person.channels.map((channel) =>
            send(channel.channel_id, {
              id: `${String(nowMs)}-${String(channel.channel_id)}`,
              call: String(nowMs),
              kind: 'alarm',
              title,
              message,
              priority: 'high',
              alarm: 'store-not-writable',
              controller: '',
              raisedAt: new Date(nowMs).toISOString(),
              contact: person.name,
              ...(address === undefined ? {} : { url: address }),
            }).catch(() => ({ delivered: false })),
          ),
        ),
      );
      return outcomes.filter((outcome) => outcome.delivered).length;
    };
    const all = contacts.people();
    const onDuty = all.filter((person) => isOnDuty(person, nowMs, timeZone));
    const taken = await takenBy(onDuty);
    // Rather outside somebody's hours than nobody.
    return taken > 0 ? taken : takenBy(all.filter((person) => !onDuty.includes(person)));
  };
}

function stillOpen(titles: readonly string[]): string[] {
  if (titles.length === 0) return [];
  const more = titles.length > LISTED_MAX ? `; and ${String(titles.length - LISTED_MAX)} more` : '';
  return [`Called before, and nobody has acknowledged: ${titles.slice(0, LISTED_MAX).join('; ')}${more}.`];
}
