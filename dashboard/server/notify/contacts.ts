/*
 * Who is called, in which order and hours. Written by the settings page, asked at each round of a call; over which channels is channels.ts's,
 * which this file hands on.
 */
import type { ContactRequest, ContactView } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';
import type { CallingSecrets } from './calling-secrets.js';
import { channelViewOf, type ChannelRow, type Channels, openChannels } from './channels.js';

interface ContactRow {
  contact_id: number;
  name: string;
  place: number;
  from_minute: number | null;
  to_minute: number | null;
  wants_good_news: number;
  wants_morning_summary: number;
  wants_low_priority: number;
}

/** Somebody who can be reached. */
export interface Person {
  readonly contactId: number;
  readonly name: string;
  readonly fromMinute: number | null;
  readonly toMinute: number | null;
  readonly wantsGoodNews: boolean;
  readonly wantsMorningSummary: boolean;
  readonly wantsLowPriority: boolean;
  readonly channels: readonly ChannelRow[];
}

export interface Contacts extends Channels {
  views(): ContactView[];
  view(contactId: number): ContactView | undefined;
  add(request: ContactRequest): ContactView;
  change(contactId: number, request: ContactRequest): ContactView | undefined;
  /** False: there was none. */
  remove(contactId: number): boolean;
  /** Everybody with at least one channel, in order. */
  people(): readonly Person[];
}

export function openContacts(store: Store, secrets: CallingSecrets, changed: () => void): Contacts {
  const { database } = store;
  const { allChannels, dropChannels, ...channels } = openChannels(store, secrets, changed);
  const allContacts = database.prepare<[], ContactRow>('SELECT * FROM contacts ORDER BY place, contact_id');
  const insertContact = database.prepare(
    `INSERT INTO contacts (name, place, from_minute, to_minute, wants_good_news, wants_morning_summary, wants_low_priority)
     VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER))`,
  );
  const updateContact = database.prepare(
    `UPDATE contacts SET name = ?, from_minute = CAST(? AS INTEGER), to_minute = CAST(? AS INTEGER), wants_good_news = CAST(? AS INTEGER),
       wants_morning_summary = CAST(? AS INTEGER), wants_low_priority = CAST(? AS INTEGER) WHERE contact_id = ?`,
  );
  const setPlace = database.prepare('UPDATE contacts SET place = CAST(? AS INTEGER) WHERE contact_id = ?');
  const deleteContact = database.prepare('DELETE FROM contacts WHERE contact_id = ?');

  const order = (contactId: number, place: number): void => {
    const others = allContacts.all().filter((row) => row.contact_id !== contactId);
    others.splice(Math.max(0, place - 1), 0, { contact_id: contactId } as ContactRow);
    for (const [index, row] of others.entries()) setPlace.run(index + 1, row.contact_id);
  };
  /** Of the store's figures, what the page and the rounds call it. */
  const read = (row: ContactRow) => ({
    contactId: row.contact_id,
    name: row.name,
    fromMinute: row.from_minute,
    toMinute: row.to_minute,
    wantsGoodNews: row.wants_good_news === 1,
    wantsMorningSummary: row.wants_morning_summary === 1,
    wantsLowPriority: row.wants_low_priority === 1,
  });
  const wants = (request: ContactRequest): number[] => [
    Number(request.wantsGoodNews),
    Number(request.wantsMorningSummary),
    Number(request.wantsLowPriority ?? false),
  ];
  const contacts: Contacts = {
    views: () => {
      const every = allChannels();
      return allContacts.all().map((row) => ({
        ...read(row),
        place: row.place,
        channels: every.filter((channel) => channel.contact_id === row.contact_id).map(channelViewOf),
      }));
    },
    view: (contactId) => contacts.views().find((one) => one.contactId === contactId),
    add: (request) =>
      store.together(() => {
        const contactId = Number(
          insertContact.run(request.name, request.place, request.fromMinute, request.toMinute, ...wants(request))
            .lastInsertRowid,
        );
        order(contactId, request.place);
        return contacts.view(contactId)!;
      }),
    change: (contactId, request) => {
      const view = store.together(() => {
        updateContact.run(request.name, request.fromMinute, request.toMinute, ...wants(request), contactId);
        if (contacts.view(contactId) !== undefined) order(contactId, request.place);
        return contacts.view(contactId);
      });
      // Whoever's hours begin by that is rung for what rings now.
      changed();
      return view;
    },
    remove: (contactId) => {
      const own = allChannels().flatMap((row) => (row.contact_id === contactId ? [row.channel_id] : []));
      const isThere = store.together(() => {
        dropChannels(own);
        const isGone = deleteContact.run(contactId).changes > 0;
        for (const [index, row] of allContacts.all().entries()) setPlace.run(index + 1, row.contact_id);
        return isGone;
      });
      secrets.forgetTargets(own);
      changed();
      return isThere;
    },
    people: () => {
      const every = allChannels();
      return allContacts
        .all()
        .map((row) => ({
          ...read(row),
          channels: every.filter((channel) => channel.contact_id === row.contact_id),
        }))
        .filter((person) => person.channels.length > 0);
    },
    ...channels,
  };
  return contacts;
}
