/*
 * A whole dashboard on the store that an older version left in the middle of a bad night: a channel that failed, a trip that somebody was called
 * for, and a call that was still in the queue. Real migration, real receiver.
 */
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { createDashboard, manualClock } from '@bathkeeper/dashboard';
import Database from 'better-sqlite3';
import { afterEach, describe, expect, it } from 'vitest';
import { migrations } from '../../../dashboard/server/store/schema.js';
import { EVENING_MS, folderOnTrial } from './dashboard-on-trial.js';

const closings: (() => Promise<void> | void)[] = [];
afterEach(async () => {
  for (const close of closings.splice(0).reverse()) await close();
});

/** A store of schema 2: one webhook; its failure, a delivered trip and an undelivered stall stand. */
function storeOfSchema2(folder: string, webhookAddress: string): void {
  const old = new Database(join(folder, 'bathkeeper.sqlite'));
  for (const text of migrations.slice(0, 2)) old.exec(text);
  old.pragma('user_version = 2');
  old
    .prepare("INSERT INTO settings VALUES ('webhook', ?)")
    .run(JSON.stringify({ address: webhookAddress, allowPrivateAddress: true }));
  const alarm = old.prepare(
    `INSERT INTO alarms (alarm_id, controller_id, name, priority, title, detail, check_first, cause_at_ms, raised_at_ms)
     VALUES (CAST(? AS INTEGER), ?, ?, ?, ?, 'as it was seen', 'Look there.', CAST(? AS INTEGER), CAST(? AS INTEGER))`,
  );
  const note = old.prepare(
    `INSERT INTO notifications (notification_id, alarm_id, body, queued_at_ms, next_try_at_ms, delivered_at_ms)
     VALUES (?, CAST(? AS INTEGER), '{}', CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER))`,
  );
  const transition = old.prepare(
    "INSERT INTO alarm_transitions (alarm_id, at_ms, state, who) VALUES (CAST(? AS INTEGER), CAST(? AS INTEGER), 'unacknowledged', 'bath')",
  );
  for (const [id, controllerId, name, priority] of [
    [1, '', 'notification-failed', 'medium'],
    [2, 'north-bench', 'trip', 'high'],
    [3, 'north-bench', 'rotation-stalled', 'high'],
  ] as const) {
    const atMs = EVENING_MS - 60_000 + id * 1000;
    alarm.run(id, controllerId, name, priority, `What ${name} says`, atMs, atMs);
    transition.run(id, atMs);
    if (id > 1) note.run(`call-${String(id)}`, id, atMs, atMs, id === 2 ? atMs + 500 : null);
  }
  old.close();
}

describe('the store of an older version', () => {
  it('opens with a failed channel standing, calls what was in its queue, and keeps its webhook', async () => {
    const folder = folderOnTrial();
    const told: { title: string; call: string }[] = [];
    const server: Server = createServer((request, response) => {
      let text = '';
      request.on('data', (bytes: Buffer) => (text += String(bytes)));
      request.on('end', () => {
        told.push(JSON.parse(text) as { title: string; call: string });
        response.writeHead(204).end();
      });
    });
    await new Promise<void>((done) => void server.listen(0, '127.0.0.1', done));
    closings.push(() => {
      server.closeAllConnections();
      server.close();
    });
    storeOfSchema2(folder, `http://127.0.0.1:${String((server.address() as AddressInfo).port)}/hook`);
    const clock = manualClock(EVENING_MS);
    const dashboard = await createDashboard({ clock, dataFolder: folder });
    closings.push(() => dashboard.close());
    clock.advanceTo(EVENING_MS + 1000);
    await dashboard.settle();
    expect(told).toMatchObject([{ call: 'call-3', title: 'Bathkeeper: What rotation-stalled says' }]);
    expect(dashboard.calling.contacts.views()).toMatchObject([{ name: 'Owner', channels: [{ kind: 'webhook' }] }]);
    expect(dashboard.store.setting('webhook'), 'the address has left the store').toBe('');
    expect(
      dashboard.alarms.views(clock.nowMs()).map(({ name, state, notification }) => ({ name, state, notification })),
    ).toEqual([
      { name: 'rotation-stalled', state: 'unacknowledged', notification: 'delivered' },
      { name: 'trip', state: 'unacknowledged', notification: 'delivered' },
      { name: 'notification-failed', state: 'returned-unacknowledged', notification: 'none' },
    ]);
  });
});
