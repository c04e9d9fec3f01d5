/*
 * Who is called, in which order and hours, and over which channels. Written by the settings page, asked at each round of a call.
 * Where a channel leads is kept with the secrets; the store has only what may be shown.
 */
import { createHash } from 'node:crypto';
import type { ChannelKind, ChannelView, ContactRequest, ContactView } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';
import type { CallingSecrets, ChannelTarget } from './calling-secrets.js';
import { isWithinHours, MINUTES_OF_DAY, minuteOfDay, minutesUntil } from './house-time.js';
import { shownAddress } from './webhook-post.js';

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
export interface ChannelRow {
  channel_id: number;
  contact_id: number;
  kind: ChannelKind;
  shown_address: string;
  last_delivery_at_ms: number | null;
  last_confirmed_at_ms: number | null;
  last_failure: string | null;
  /** Since when it does not deliver; null: as far as is known it does. */
  failing_since_ms: number | null;
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

export interface Contacts {
  views(): ContactView[];
  view(contactId: number): ContactView | undefined;
  add(request: ContactRequest): ContactView;
  change(contactId: number, request: ContactRequest): ContactView | undefined;
  /** False: there was none. */
  remove(contactId: number): boolean;
  addChannel(contactId: number, target: ChannelTarget, nowMs: number): ChannelView;
  /** The channel with its target replaced, under the same number. */
  changeChannel(channelId: number, target: ChannelTarget): void;
  removeChannel(channelId: number): boolean;
  /** `device`: the SHA-256 of its push endpoint in base64url, which tells nobody where it leads. One phone may ring for several people. */
  channelsOfDevice(device: string): ChannelRow[];
  channel(channelId: number): ChannelRow | undefined;
  channelView(channelId: number): ChannelView | undefined;
  /** Everybody with at least one channel, in order. */
  people(): readonly Person[];
  noteDelivered(channelId: number, nowMs: number): void;
  noteFailure(channelId: number, words: string, isFailing: boolean, nowMs: number): void;
  noteConfirmed(channelId: number, nowMs: number): void;
  failingCount(): number;
}

/** The name of a device that is called by Web Push. */
export function deviceOf(endpoint: string): string {
  return createHash('sha256').update(endpoint).digest('base64url');
}

export function isOnDuty(person: Pick<Person, 'fromMinute' | 'toMinute'>, nowMs: number, timeZone: string): boolean {
  return isWithinHours(minuteOfDay(nowMs, timeZone), person.fromMinute, person.toMinute);
}

/** When the hours of somebody who is not on duty begin. */
export function dutyBeginsMs(person: Pick<Person, 'fromMinute'>, nowMs: number, timeZone: string): number {
  const beginsAt = (person.fromMinute ?? 0) % MINUTES_OF_DAY;
  const atMs = nowMs + minutesUntil(minuteOfDay(nowMs, timeZone), beginsAt) * 60_000;
  // In a night in which clocks change that is off by as much as they change.
  const laterMinutes = minutesUntil(minuteOfDay(atMs, timeZone), beginsAt);
  const changedMs = atMs + (laterMinutes > MINUTES_OF_DAY / 2 ? laterMinutes - MINUTES_OF_DAY : laterMinutes) * 60_000;
  // A minute that the change leaps over: then the hours begin with what comes after it.
  return minuteOfDay(changedMs, timeZone) === beginsAt ? changedMs : atMs;
}

function shownTarget(target: ChannelTarget): string {
  switch (target.kind) {
    case 'e-mail':
      return target.address;
    case 'webhook':
      return shownAddress(target.address);
    case 'web-push':
      return shownAddress(target.subscription.endpoint);
  }
}

/** What makes two targets one: the browser, or the mailbox. Two webhooks of one address may differ in what they send. */
function sameTarget(one: ChannelTarget, other: ChannelTarget): boolean {
  if (one.kind === 'web-push' && other.kind === 'web-push')
    return one.subscription.endpoint === other.subscription.endpoint;
  return one.kind === 'e-mail' && other.kind === 'e-mail' && one.address === other.address;
}

export function openContacts(store: Store, secrets: CallingSecrets, changed: () => void): Contacts {
  const { database } = store;
  const allContacts = database.prepare<[], ContactRow>('SELECT * FROM contacts ORDER BY place, contact_id');
  const allChannels = database.prepare<[], ChannelRow>('SELECT * FROM channels ORDER BY channel_id');
  const oneChannel = database.prepare<[number], ChannelRow>('SELECT * FROM channels WHERE channel_id = ?');
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
  const insertChannel = database.prepare(
    'INSERT INTO channels (contact_id, kind, shown_address, made_at_ms) VALUES (CAST(? AS INTEGER), ?, ?, CAST(? AS INTEGER))',
  );
  const updateChannel = database.prepare(
    'UPDATE channels SET shown_address = ?, last_failure = NULL, failing_since_ms = NULL WHERE channel_id = ?',
  );
  const deleteChannel = database.prepare('DELETE FROM channels WHERE channel_id = ?');
  const delivered = database.prepare(
    'UPDATE channels SET last_delivery_at_ms = CAST(? AS INTEGER), last_failure = NULL, failing_since_ms = NULL WHERE channel_id = ?',
  );
  const failed = database.prepare(
    `UPDATE channels SET last_failure = ?, failing_since_ms = CASE WHEN ? THEN coalesce(failing_since_ms, CAST(? AS INTEGER)) ELSE failing_since_ms END
     WHERE channel_id = ?`,
  );
  const confirmed = database.prepare(
    'UPDATE channels SET last_confirmed_at_ms = CAST(? AS INTEGER) WHERE channel_id = ?',
  );
  const failing = database.prepare<[], { count: number }>(
    'SELECT count(*) AS count FROM channels WHERE failing_since_ms IS NOT NULL',
  );

  const order = (contactId: number, place: number): void => {
    const others = allContacts.all().filter((row) => row.contact_id !== contactId);
    others.splice(Math.max(0, place - 1), 0, { contact_id: contactId } as ContactRow);
    for (const [index, row] of others.entries()) setPlace.run(index + 1, row.contact_id);
  };
  const wants = (request: ContactRequest): number[] => [
    Number(request.wantsGoodNews),
    Number(request.wantsMorningSummary),
    Number(request.wantsLowPriority ?? false),
  ];
  const contacts: Contacts = {
    views: () => {
      const channels = allChannels.all();
      return allContacts.all().map((row) => ({
        contactId: row.contact_id,
        name: row.name,
        place: row.place,
        fromMinute: row.from_minute,
        toMinute: row.to_minute,
        wantsGoodNews: row.wants_good_news === 1,
        wantsMorningSummary: row.wants_morning_summary === 1,
        wantsLowPriority: row.wants_low_priority === 1,
        channels: channels.filter((channel) => channel.contact_id === row.contact_id).map(viewOf),
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
      const channels = allChannels.all().filter((channel) => channel.contact_id === contactId);
      const isThere = store.together(() => {
        for (const channel of channels) deleteChannel.run(channel.channel_id);
        const isGone = deleteContact.run(contactId).changes > 0;
        for (const [index, row] of allContacts.all().entries()) setPlace.run(index + 1, row.contact_id);
        return isGone;
      });
      secrets.forgetTargets(channels.map((channel) => channel.channel_id));
      changed();
      return isThere;
    },
    addChannel: (contactId, target, nowMs) => {
      const known = allChannels.all().find((row) => {
        const its = row.contact_id === contactId ? secrets.target(row.channel_id) : undefined;
        return its !== undefined && sameTarget(its, target);
      });
      if (known !== undefined) {
        contacts.changeChannel(known.channel_id, target);
        return viewOf(oneChannel.get(known.channel_id)!);
      }
      const channelId = store.together(() => {
        const id = Number(insertChannel.run(contactId, target.kind, shownTarget(target), nowMs).lastInsertRowid);
        // A file that cannot be written undoes the row as well.
        secrets.keepTarget(id, target);
        return id;
      });
      changed();
      return viewOf(oneChannel.get(channelId)!);
    },
    changeChannel: (channelId, target) => {
      store.together(() => {
        updateChannel.run(shownTarget(target), channelId);
        secrets.keepTarget(channelId, target);
      });
      changed();
    },
    removeChannel: (channelId) => {
      const isThere = deleteChannel.run(channelId).changes > 0;
      secrets.forgetTargets([channelId]);
      if (isThere) changed();
      return isThere;
    },
    channelsOfDevice: (device) =>
      allChannels.all().filter((row) => {
        const target = row.kind === 'web-push' ? secrets.target(row.channel_id) : undefined;
        return target?.kind === 'web-push' && deviceOf(target.subscription.endpoint) === device;
      }),
    channel: (channelId) => oneChannel.get(channelId),
    channelView: (channelId) => {
      const row = oneChannel.get(channelId);
      return row === undefined ? undefined : viewOf(row);
    },
    people: () => {
      const channels = allChannels.all();
      return allContacts
        .all()
        .map((row) => ({
          contactId: row.contact_id,
          name: row.name,
          fromMinute: row.from_minute,
          toMinute: row.to_minute,
          wantsGoodNews: row.wants_good_news === 1,
          wantsMorningSummary: row.wants_morning_summary === 1,
          wantsLowPriority: row.wants_low_priority === 1,
          channels: channels.filter((channel) => channel.contact_id === row.contact_id),
        }))
        .filter((person) => person.channels.length > 0);
    },
    noteDelivered: (channelId, nowMs) => {
      delivered.run(nowMs, channelId);
    },
    noteFailure: (channelId, words, isFailing, nowMs) => {
      failed.run(words, Number(isFailing), nowMs, channelId);
    },
    noteConfirmed: (channelId, nowMs) => {
      confirmed.run(nowMs, channelId);
    },
    failingCount: () => failing.get()!.count,
  };
  return contacts;
}

function viewOf(row: ChannelRow): ChannelView {
  return {
    channelId: row.channel_id,
    kind: row.kind,
    shownAddress: row.shown_address,
    lastDeliveryAtMs: row.last_delivery_at_ms,
    lastConfirmedAtMs: row.last_confirmed_at_ms,
    lastFailure: row.last_failure,
  };
}
