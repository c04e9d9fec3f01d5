/*
 * Over which ways somebody is reached, what may be shown of them, and how they have done. Written by the settings page and by each delivery. Where a
 * way leads is kept with the secrets; the store has only what may be shown.
 */
import { createHash } from 'node:crypto';
import type { ChannelKind, ChannelView } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';
import type { CallingSecrets, ChannelTarget } from './calling-secrets.js';
import { shownAddress } from './webhook-post.js';

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

export interface Channels {
  addChannel(contactId: number, target: ChannelTarget, nowMs: number): ChannelView;
  /** The channel with its target replaced, under the same number. */
  changeChannel(channelId: number, target: ChannelTarget): void;
  removeChannel(channelId: number): boolean;
  /** `device`: the SHA-256 of its push endpoint in base64url, which tells nobody where it leads. One phone may ring for several people. */
  channelsOfDevice(device: string): ChannelRow[];
  channel(channelId: number): ChannelRow | undefined;
  channelView(channelId: number): ChannelView | undefined;
  noteDelivered(channelId: number, nowMs: number): void;
  noteFailure(channelId: number, words: string, isFailing: boolean, nowMs: number): void;
  noteConfirmed(channelId: number, nowMs: number): void;
  failingCount(): number;
}

/** The name of a device that is called by Web Push. */
export function deviceOf(endpoint: string): string {
  return createHash('sha256').update(endpoint).digest('base64url');
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

/** With what contacts.ts needs beside it. */
interface AllChannels extends Channels {
  /** Of everybody, the oldest first. */
  allChannels(): ChannelRow[];
  /** The rows alone, within the caller's transaction. */
  dropChannels(channelIds: readonly number[]): void;
}

export function openChannels(store: Store, secrets: CallingSecrets, changed: () => void): AllChannels {
  const { database } = store;
  const everyChannel = database.prepare<[], ChannelRow>('SELECT * FROM channels ORDER BY channel_id');
  const oneChannel = database.prepare<[number], ChannelRow>('SELECT * FROM channels WHERE channel_id = ?');
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

  const channels: AllChannels = {
    allChannels: () => everyChannel.all(),
    dropChannels: (channelIds) => {
      for (const channelId of channelIds) deleteChannel.run(channelId);
    },
    addChannel: (contactId, target, nowMs) => {
      const known = everyChannel.all().find((row) => {
        const its = row.contact_id === contactId ? secrets.target(row.channel_id) : undefined;
        return its !== undefined && sameTarget(its, target);
      });
      if (known !== undefined) {
        channels.changeChannel(known.channel_id, target);
        return channelViewOf(oneChannel.get(known.channel_id)!);
      }
      const channelId = store.together(() => {
        const id = Number(insertChannel.run(contactId, target.kind, shownTarget(target), nowMs).lastInsertRowid);
        // A file that cannot be written undoes the row as well.
        secrets.keepTarget(id, target);
        return id;
      });
      changed();
      return channelViewOf(oneChannel.get(channelId)!);
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
      everyChannel.all().filter((row) => {
        const target = row.kind === 'web-push' ? secrets.target(row.channel_id) : undefined;
        return target?.kind === 'web-push' && deviceOf(target.subscription.endpoint) === device;
      }),
    channel: (channelId) => oneChannel.get(channelId),
    channelView: (channelId) => {
      const row = oneChannel.get(channelId);
      return row === undefined ? undefined : channelViewOf(row);
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
  return channels;
}

export function channelViewOf(row: ChannelRow): ChannelView {
  return {
    channelId: row.channel_id,
    kind: row.kind,
    shownAddress: row.shown_address,
    lastDeliveryAtMs: row.last_delivery_at_ms,
    lastConfirmedAtMs: row.last_confirmed_at_ms,
    lastFailure: row.last_failure,
  };
}
