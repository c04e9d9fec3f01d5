/*
 * Calling through the whole dashboard: alarm, contacts in their order and hours, channels on real receivers, acknowledging from the call,
 * restarts, failing channels, test calls and good news. Time is moved by the test.
 */
import { Condition, EventKind } from '@bathkeeper/shared-core/control';
import type { AlarmName, MailRequest } from '@bathkeeper/shared-core/messages';
import { describe, expect, it } from 'vitest';
import { CALLING_SECRETS_FILE } from '../../../dashboard/server/notify/calling-secrets.js';
import { durationWords } from '../../../dashboard/server/notify/good-news.js';
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { MAIL_PASSWORD, MAIL_USER, mailReceiver, pushService, webhookReceiver } from './calling-receivers.js'; // prettier-ignore
import { CONTROLLER, dashboardOnTrial, EVENING_MS, folderOnTrial, rowsOf, type Trial } from './dashboard-on-trial.js';
import { eventRow, liveMessage, outbox } from './quiet-bath.js';
import { createDashboard, manualClock } from '@bathkeeper/dashboard';
import { addWebhook, atAnyHour } from './called-person.js';
import { acknowledge, alarmOf, contact, minutes, PAGE, raise, tokenOf, trialAt } from './calling-on-trial.js';

const MINUTE_MS = 60_000;

describe('who is called', () => {
  it('is the first person at once, then again, then the next one as well, until somebody acknowledges', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const ben = await contact(trial, 'Second');
    raise(trial, 'trip');
    await trial.dashboard.settle();
    expect([anna.receiver.bodies.length, ben.receiver.bodies.length]).toEqual([1, 0]);
    await minutes(trial, 9);
    expect([anna.receiver.bodies.length, ben.receiver.bodies.length]).toEqual([2, 0]);
    await minutes(trial, 1);
    expect([anna.receiver.bodies.length, ben.receiver.bodies.length]).toEqual([3, 1]);
    await minutes(trial, 30);
    expect([anna.receiver.bodies.length, ben.receiver.bodies.length]).toEqual([9, 7]);
    expect(anna.receiver.bodies[1]!.message).toMatch(
      /^Find the cause, then reset and start at the bath.*\. Seen: seen\. Nobody has acknowledged for 5 minutes\.$/,
    );
    expect(new Set([...anna.receiver.bodies, ...ben.receiver.bodies].map((body) => body.call)).size).toBe(1);
    expect(acknowledge(trial, ben.receiver.bodies[3])).toMatchObject({ state: 'done', title: 'Acknowledged' });
    await minutes(trial, 60);
    expect([anna.receiver.bodies.length, ben.receiver.bodies.length]).toEqual([9, 7]);
  });

  it('keeps to the order, whoever was entered first', async () => {
    const trial = await trialAt();
    const first = await contact(trial, 'Entered first');
    const second = await contact(trial, 'Entered second', { place: 1 });
    expect(trial.dashboard.calling.contacts.views().map(({ name, place }) => [name, place])).toEqual([
      ['Entered second', 1],
      ['Entered first', 2],
    ]);
    raise(trial, 'trip');
    await trial.dashboard.settle();
    expect([first.receiver.bodies.length, second.receiver.bodies.length]).toEqual([0, 1]);
  });

  it('is whoever is on duty by the clock of the house, over midnight', async () => {
    const trial = await trialAt();
    // It is 20:00 in UTC, 21:00 in Berlin.
    trial.dashboard.calling.settings.setEscalation({ againAfterMinutes: 5, nextPersonAfterMinutes: 10, timeZone: 'Europe/Berlin' }); // prettier-ignore
    const day = await contact(trial, 'By day', { fromMinute: 8 * 60, toMinute: 21 * 60 });
    const night = await contact(trial, 'By night', { fromMinute: 21 * 60, toMinute: 8 * 60 });
    raise(trial, 'trip');
    await trial.dashboard.settle();
    expect([day.receiver.bodies.length, night.receiver.bodies.length]).toEqual([0, 1]);
    trial.dashboard.alarms.acknowledge(1, 'page', trial.clock.nowMs());
    await trial.restart(11 * 3600 + 60);
    raise(trial, 'rotation-stalled');
    await minutes(trial, 9);
    expect([day.receiver.bodies.length, night.receiver.bodies.length]).toEqual([2, 1]);
  });

  it('is for high, after whoever is on duty, also somebody whose hours it is not', async () => {
    const trial = await trialAt();
    const day = await contact(trial, 'By day', { fromMinute: 8 * 60, toMinute: 19 * 60 });
    const night = await contact(trial, 'By night', { fromMinute: 19 * 60, toMinute: 8 * 60 });
    raise(trial, 'rotation-slow');
    await trial.pass(2);
    raise(trial, 'trip');
    await trial.dashboard.settle();
    await minutes(trial, 9);
    expect(day.receiver.bodies).toEqual([]);
    await minutes(trial, 1);
    expect(day.receiver.bodies.map((body) => body.alarm)).toEqual(['trip']);
    expect(night.receiver.bodies.filter((body) => body.alarm === 'trip')).toHaveLength(3);
  });

  it('is somebody whose hours it is not at once, where nothing reaches the only one on duty', async () => {
    const trial = await trialAt();
    const day = await contact(trial, 'By day', { fromMinute: 8 * 60, toMinute: 19 * 60 });
    const night = await contact(trial, 'By night', { fromMinute: 19 * 60, toMinute: 8 * 60 });
    night.receiver.status = 500;
    raise(trial, 'trip');
    await trial.dashboard.settle();
    await trial.pass(2);
    await trial.pass(1);
    expect(day.receiver.bodies.map((body) => body.alarm)).toContain('trip');
  });

  it('outside everybody’s hours is called for high all the same, and for medium when hours begin', async () => {
    const trial = await trialAt();
    const day = await contact(trial, 'By day', { fromMinute: 7 * 60, toMinute: 19 * 60 });
    raise(trial, 'rotation-slow');
    await minutes(trial, 30);
    expect(day.receiver.bodies).toEqual([]);
    raise(trial, 'trip');
    await minutes(trial, 1);
    expect(day.receiver.bodies.map((body) => body.alarm)).toContain('trip');
    expect(day.receiver.bodies.map((body) => body.alarm)).not.toContain('rotation-slow');
    trial.dashboard.alarms.acknowledge(1, 'page', trial.clock.nowMs());
    trial.dashboard.alarms.acknowledge(2, 'page', trial.clock.nowMs());
    const { length } = day.receiver.bodies;
    raise(trial, 'filter-stopped');
    await minutes(trial, 2);
    expect(day.receiver.bodies).toHaveLength(length);
    await trial.restart(10.5 * 3600);
    await trial.pass(60);
    expect(day.receiver.bodies).toHaveLength(length + 1);
    expect(day.receiver.bodies.at(-1)!.alarm).toBe('filter-stopped');
  });

  it('is called twice for medium and then once an hour until somebody acknowledges, and for low only if they want it, once', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const alarmId = raise(trial, 'filter-stopped');
    await trial.dashboard.settle();
    await minutes(trial, 60);
    expect(anna.receiver.bodies).toHaveLength(2);
    raise(trial, 'alert-latch-not-opening');
    await minutes(trial, 4);
    expect(anna.receiver.bodies).toHaveLength(2);
    await minutes(trial, 1);
    expect(anna.receiver.bodies).toHaveLength(3);
    expect(anna.receiver.bodies[2]!.message).toMatch(/Nobody has acknowledged for 65 minutes\.$/);
    trial.dashboard.alarms.acknowledge(alarmId, 'page', trial.clock.nowMs());
    await minutes(trial, 130);
    expect(anna.receiver.bodies).toHaveLength(3);
    const wants = await contact(trial, 'Wants all', { wantsLowPriority: true });
    raise(trial, 'message-refused');
    await minutes(trial, 30);
    expect(anna.receiver.bodies).toHaveLength(3);
    expect(wants.receiver.bodies.map((body) => body.alarm)).toEqual(['message-refused']);
  });

  it('takes up for medium whoever’s hours begin while nobody has acknowledged, at that very time', async () => {
    const trial = await trialAt();
    const night = await contact(trial, 'By night');
    const late = await contact(trial, 'Late', { fromMinute: 21 * 60, toMinute: 23 * 60 });
    raise(trial, 'filter-stopped');
    await minutes(trial, 59);
    expect([night.receiver.bodies.length, late.receiver.bodies.length]).toEqual([2, 0]);
    await minutes(trial, 1);
    expect([night.receiver.bodies.length, late.receiver.bodies.length]).toEqual([2, 1]);
  });

  it('takes up for medium somebody whose hours are changed so that they have begun', async () => {
    const trial = await trialAt();
    await contact(trial, 'By night');
    const late = await contact(trial, 'Late', { fromMinute: 8 * 60, toMinute: 9 * 60 });
    raise(trial, 'filter-stopped');
    await minutes(trial, 20);
    expect(late.receiver.bodies).toHaveLength(0);
    trial.dashboard.calling.contacts.change(late.contactId, { ...atAnyHour, name: 'Late', place: 2 });
    await minutes(trial, 1);
    expect(late.receiver.bodies).toHaveLength(1);
  });

  it('hears of what joins a call that rings again only in an hour five minutes after it rang', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const first = alarmOf(trial, raise(trial, 'filter-stopped'));
    await trial.dashboard.settle();
    await minutes(trial, 8);
    expect(anna.receiver.bodies).toHaveLength(2);
    const later = alarmOf(trial, raise(trial, 'agitation-stopped'));
    trial.dashboard.calling.listener.onRaised({ ...later, calledWithAlarmId: first.alarmId }, trial.clock.nowMs());
    await minutes(trial, 1);
    expect(anna.receiver.bodies).toHaveLength(2);
    await minutes(trial, 1);
    expect(anna.receiver.bodies.slice(2).map((body) => body.message)).toEqual([expect.stringContaining('Also: Agitation stopped')]); // prettier-ignore
  });

  it('is the next person at once when nothing reaches the first one', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const ben = await contact(trial, 'Second');
    anna.receiver.status = 500;
    raise(trial, 'trip');
    await trial.dashboard.settle();
    await trial.pass(2);
    await trial.pass(1);
    expect(ben.receiver.bodies.map((body) => body.alarm)).toContain('trip');
  });

  it.each(['rotation-stalled', 'filter-stopped'] as const)(
    'is the next person at once, and only that one, when the only phone of the first is gone: %s',
    async (name) => {
      const trial = await trialAt();
      const push = await pushService();
      push.status = 410;
      const { contacts } = trial.dashboard.calling;
      const { contactId } = contacts.add({ name: 'First', place: 1, ...atAnyHour });
      contacts.addChannel(contactId, { kind: 'web-push', subscription: push.subscription }, 0);
      const ben = await contact(trial, 'Second');
      const cleo = await contact(trial, 'Third');
      raise(trial, name);
      await trial.dashboard.settle();
      await trial.pass(1);
      expect(ben.receiver.bodies.map((body) => body.alarm)).toContain(name);
      expect(cleo.receiver.bodies.map((body) => body.alarm)).not.toContain(name);
      await minutes(trial, 6);
      expect(ben.receiver.bodies.filter((body) => body.alarm === name)).toHaveLength(2);
    },
  );

  it('is the next person at once when the first one is removed while it rings', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const ben = await contact(trial, 'Second');
    const cleo = await contact(trial, 'Third');
    raise(trial, 'trip');
    await minutes(trial, 1);
    trial.dashboard.calling.contacts.remove(anna.contactId);
    await trial.dashboard.settle();
    expect([ben.receiver.bodies.length, cleo.receiver.bodies.length]).toEqual([1, 0]);
    await minutes(trial, 3);
    expect([ben.receiver.bodies.length, cleo.receiver.bodies.length]).toEqual([1, 0]);
  });

  it('is rung at once at the address that takes the place of another while it rings, and nobody else is', async () => {
    const trial = await trialAt();
    const { contacts } = trial.dashboard.calling;
    const anna = await contact(trial, 'First');
    const ben = await contact(trial, 'Second');
    raise(trial, 'filter-stopped');
    await minutes(trial, 6);
    expect([anna.receiver.bodies.length, ben.receiver.bodies.length]).toEqual([2, 0]);
    const right = await webhookReceiver();
    const [wrong] = contacts.view(anna.contactId)!.channels;
    addWebhook(trial.dashboard, anna.contactId, right.address);
    await trial.dashboard.settle();
    expect(right.bodies, 'a further address is rung with the next reminder').toEqual([]);
    contacts.removeChannel(wrong!.channelId);
    await trial.dashboard.settle();
    await trial.pass(1);
    expect(right.bodies.map((body) => body.alarm)).toEqual(['filter-stopped']);
    expect([anna.receiver.bodies.length, ben.receiver.bodies.length]).toEqual([2, 0]);
    await minutes(trial, 2);
    expect(right.bodies).toHaveLength(1);
    acknowledge(trial, right.bodies[0]);
    await minutes(trial, 20);
    expect([right.bodies.length, ben.receiver.bodies.length]).toEqual([1, 0]);
  });

  it('is rung on every channel of theirs at once, and one that hangs holds up no other', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const push = await pushService();
    trial.dashboard.calling.contacts.addChannel(
      anna.contactId,
      { kind: 'web-push', subscription: push.subscription },
      0,
    );
    const mail = await mailReceiver();
    const server: MailRequest = { host: mail.host, port: mail.port, isImplicitTls: false, user: MAIL_USER, password: MAIL_PASSWORD, from: 'bath@example.org' }; // prettier-ignore
    expect((await trial.dashboard.calling.setMail(server)).words).toContain('Logged in');
    trial.dashboard.calling.contacts.addChannel(anna.contactId, { kind: 'e-mail', address: 'first@example.org' }, 0);
    raise(trial, 'trip');
    await trial.dashboard.settle();
    const [told] = anna.receiver.bodies;
    expect(push.payloads()).toEqual([
      expect.objectContaining({
        call: told!.call,
        title: told!.title,
        url: expect.stringMatching(/^\/#alarm\/\d+$/) as string,
        contact: 'First',
      }),
    ]);
    // The service worker posts within its own origin.
    expect(push.payloads()[0]!.acknowledgeUrl).toMatch(/^\/acknowledge\//);
    expect(mail.mails[0]).toContain('Tripped');
    // Each delivery has an id of its own, since each is another message to another device.
    expect(new Set([told!.id, push.payloads()[0]!.id]).size).toBe(2);
  });

  it('is nobody for what is silenced, from the moment on in which it is', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const alarmId = raise(trial, 'filter-stopped');
    const view = alarmOf(trial, alarmId);
    trial.dashboard.calling.listener.onSilenced(view, trial.clock.nowMs());
    await minutes(trial, 20);
    expect(anna.receiver.bodies).toEqual([]);
    trial.dashboard.calling.listener.onUnsilenced(view, trial.clock.nowMs());
    await minutes(trial, 1);
    expect(anna.receiver.bodies).toHaveLength(1);
  });

  it('hears of several alarms of one call in one message, and of a worse one by itself', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const first = alarmOf(trial, raise(trial, 'rotation-slow'));
    const join = (name: AlarmName) => {
      const alarmId = raise(trial, name);
      const view = { ...alarmOf(trial, alarmId), calledWithAlarmId: first.alarmId };
      trial.dashboard.calling.listener.onRaised(view, trial.clock.nowMs());
      return alarmId;
    };
    const second = join('filter-stopped');
    await trial.dashboard.settle();
    const listing = anna.receiver.bodies.find((body) => body.title.includes('and 1 more'))!;
    expect(listing.message).toContain('Also: The filter stopped (seen).');
    // What joined after the message was sent is not acknowledged with it.
    const third = join('agitation-stopped');
    acknowledge(trial, listing);
    expect([first.alarmId, second, third].map((id) => alarmOf(trial, id).state)).toEqual([
      'acknowledged',
      'acknowledged',
      'unacknowledged',
    ]);
    expect(alarmOf(trial, second).acknowledgedBy).toBe('First (webhook)');
  });
});

describe('a network that fails', () => {
  it('makes three calls for twenty silent controllers, the last of which lists the others, and each reminder again', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    for (let bath = 0; bath < 20; bath++) raise(trial, 'controller-silent', { controllerId: `bath-${String(bath)}` });
    await trial.dashboard.settle();
    expect(anna.receiver.bodies).toHaveLength(3);
    expect(anna.receiver.bodies[2]!.title).toContain('and 17 more');
    acknowledge(trial, anna.receiver.bodies[2]);
    const open = trial.dashboard.snapshot().alarms.filter((alarm) => alarm.state === 'unacknowledged');
    expect(open).toHaveLength(2);
  });
});

describe('a bath that falls silent in its run', () => {
  it('rings at once though three idle ones fell silent before it, which wait for somebody who wants to know', async () => {
    const trial = await trialAt();
    const night = await contact(trial, 'By night');
    await contact(trial, 'Wants all, by day', { fromMinute: 8 * 60, toMinute: 19 * 60, wantsLowPriority: true });
    for (const controllerId of ['a', 'b', 'c']) raise(trial, 'controller-silent', { controllerId, priority: 'low' });
    await trial.pass(5);
    raise(trial, 'controller-silent');
    await trial.dashboard.settle();
    expect(night.receiver.bodies.map((body) => body.controller)).toEqual([CONTROLLER]);
  });
});

describe('what is over', () => {
  it('is called once and not again, and ends when it does not come back', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    raise(trial, 'controller-silent');
    await trial.dashboard.settle();
    await minutes(trial, 2);
    trial.dashboard.alarms.returnToNormal(CONTROLLER, 'controller-silent', trial.clock.nowMs());
    await minutes(trial, 60);
    expect(anna.receiver.bodies).toHaveLength(1);
    expect(rowsOf(trial.dashboard, 'SELECT next_round_at_ms AS next FROM calls')).toEqual([{ next: null }]);
  });

  it('rings on when it comes back within ten minutes', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    raise(trial, 'controller-silent');
    await minutes(trial, 2);
    trial.dashboard.alarms.returnToNormal(CONTROLLER, 'controller-silent', trial.clock.nowMs());
    await minutes(trial, 5);
    expect(anna.receiver.bodies).toHaveLength(1);
    raise(trial, 'controller-silent');
    await minutes(trial, 1);
    // The turn that fell into the pause is made up for, once.
    expect(anna.receiver.bodies).toHaveLength(2);
    await minutes(trial, 10);
    expect(anna.receiver.bodies).toHaveLength(4);
  });

  it('goes on ringing for a trip that stands', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    raise(trial, 'trip');
    await trial.dashboard.settle();
    await minutes(trial, 60);
    expect(anna.receiver.bodies).toHaveLength(13);
  });
});

describe('acknowledging from the call', () => {
  it('works once: looking changes nothing, the second press says so', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const alarmId = raise(trial, 'trip');
    await trial.dashboard.settle();
    const [body] = anna.receiver.bodies;
    expect(body!.acknowledgeUrl).toMatch(/^https:\/\/bath\.example\.org\/acknowledge\//);
    const { acknowledging } = trial.dashboard.calling;
    for (let look = 0; look < 3; look++)
      expect(acknowledging.look(tokenOf(body), trial.clock.nowMs())).toMatchObject({
        state: 'open',
        title: body!.title,
      });
    expect(alarmOf(trial, alarmId).state).toBe('unacknowledged');
    expect(acknowledge(trial, body).state).toBe('done');
    expect(alarmOf(trial, alarmId)).toMatchObject({ state: 'acknowledged', acknowledgedBy: 'First (webhook)' });
    expect(acknowledge(trial, body).state).toBe('used');
  });

  it('ends after a day, and with a token of nobody', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const alarmId = raise(trial, 'trip');
    await trial.dashboard.settle();
    await trial.restart(24 * 3600 + 1);
    await trial.pass(1);
    expect(acknowledge(trial, anna.receiver.bodies[0]).state).toBe('expired');
    const { acknowledging } = trial.dashboard.calling;
    for (const token of ['', '1-', 'x', `1-${'A'.repeat(32)}`, '9'.repeat(40)])
      expect(acknowledging.acknowledge(token, trial.clock.nowMs()).state).toBe('unknown');
    expect(alarmOf(trial, alarmId).state).toBe('unacknowledged');
    // The newest reminder's own link serves.
    expect(acknowledge(trial, anna.receiver.bodies.at(-1)).state).toBe('done');
  });

  it('counts as proof that this phone is reached, and silences the buzzer at the bath', async () => {
    const trial = await dashboardOnTrial({ more: { pageAddress: () => PAGE } });
    const anna = await contact(trial, 'First');
    trial.bath.say('live', liveMessage());
    await trial.dashboard.settle();
    expect(trial.dashboard.calling.lastConfirmation()).toBeUndefined();
    raise(trial, 'rotation-stalled');
    await trial.dashboard.settle();
    acknowledge(trial, anna.receiver.bodies[0]);
    await trial.dashboard.settle();
    expect(trial.dashboard.calling.lastConfirmation()).toEqual({ atMs: trial.clock.nowMs(), contactName: 'First', kind: 'alarm' }); // prettier-ignore
    expect(trial.dashboard.calling.contacts.views()[0]!.channels[0]!.lastConfirmedAtMs).toBe(trial.clock.nowMs());
    expect(trial.dashboard.snapshot().controllers[0]!.commands.map((command) => command.kind)).toEqual(['acknowledge']);
  });

  it('carries no link where the page has no address, and says where to acknowledge', async () => {
    const trial = await dashboardOnTrial({ connect: false });
    const anna = await contact(trial, 'First');
    raise(trial, 'trip');
    await trial.dashboard.settle();
    expect(anna.receiver.bodies[0]).not.toHaveProperty('acknowledgeUrl');
    expect(anna.receiver.bodies[0]!.message).toMatch(/no address of the page is set: acknowledge on the page, or at the bath\.$/); // prettier-ignore
  });
});

describe('a channel that fails', () => {
  it('is an alarm on the others, and returns when it delivers again', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const spare = await webhookReceiver();
    addWebhook(trial.dashboard, anna.contactId, spare.address);
    anna.receiver.status = 503;
    raise(trial, 'trip');
    await trial.dashboard.settle();
    await trial.pass(2);
    await trial.pass(1);
    const failure = spare.bodies.find((body) => body.alarm === 'notification-failed')!;
    expect(failure.message).toContain('First, webhook http://127.0.0.1:');
    expect(failure.message).toContain('answered 503');
    expect(failure.message).not.toContain('of-the-webhook');
    expect(anna.receiver.bodies.map((body) => body.alarm)).not.toContain('notification-failed');
    anna.receiver.status = 200;
    await trial.pass(5);
    const names = trial.dashboard.snapshot().alarms.map((alarm) => `${alarm.name} ${alarm.state}`);
    expect(names).toContain('notification-failed returned-unacknowledged');
  });

  it('because a call cannot be put together counts as one, and the page says so', async () => {
    const trial = await trialAt('no address at all');
    const anna = await contact(trial, 'First');
    raise(trial, 'trip');
    await trial.dashboard.settle();
    await trial.pass(2);
    await trial.pass(1);
    expect(anna.receiver.bodies).toEqual([]);
    expect(trial.dashboard.calling.contacts.views()[0]!.channels[0]!.lastFailure).toMatch(/could not be put together/);
    expect(trial.dashboard.snapshot().alarms.map((alarm) => alarm.name)).toContain('notification-failed');
  });

  it('is told also when an earlier one, which somebody has seen to, still fails', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const spare = await webhookReceiver();
    addWebhook(trial.dashboard, anna.contactId, spare.address);
    const third = await webhookReceiver();
    addWebhook(trial.dashboard, anna.contactId, third.address);
    const failures = (): string[] =>
      spare.bodies.filter((body) => body.alarm === 'notification-failed').map((body) => body.message);
    anna.receiver.status = 503;
    raise(trial, 'trip');
    await trial.dashboard.settle();
    await trial.pass(2);
    await trial.pass(1);
    expect(failures()).toHaveLength(1);
    for (const { alarmId } of trial.dashboard.snapshot().alarms)
      trial.dashboard.alarms.acknowledge(alarmId, 'page', trial.clock.nowMs());
    await minutes(trial, 70);
    third.status = 500;
    raise(trial, 'rotation-stalled');
    await minutes(trial, 3);
    expect(failures()).toHaveLength(2);
    expect(failures()[1]).toContain('answered 500');
  });

  it('is tried again under the same id, further and further apart', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    anna.receiver.status = 500;
    raise(trial, 'trip');
    const at: number[] = [];
    for (let second = 0; second <= 60; second++) {
      const { length } = anna.receiver.asked;
      await trial.pass(second === 0 ? 0 : 1);
      if (anna.receiver.asked.length > length) at.push(second);
    }
    expect(at).toEqual([0, 2, 7, 22, 52]);
    expect(new Set(anna.receiver.bodies.map((body) => body.id)).size).toBe(1);
  });

  it('of a push service that does not know the subscription is removed, and told to the others', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const push = await pushService();
    push.status = 410;
    trial.dashboard.calling.contacts.addChannel(
      anna.contactId,
      { kind: 'web-push', subscription: push.subscription },
      0,
    );
    raise(trial, 'trip');
    await trial.dashboard.settle();
    await trial.pass(1);
    expect(trial.dashboard.calling.contacts.views()[0]!.channels.map((channel) => channel.kind)).toEqual(['webhook']);
    const failure = anna.receiver.bodies.find((body) => body.alarm === 'notification-failed')!;
    expect(failure.message).toContain('subscribe again');
    await minutes(trial, 5);
    expect(push.asked).toHaveLength(1);
  });

  it('is not called twice for the same person when subscribed twice', async () => {
    const trial = await trialAt();
    const { contacts } = trial.dashboard.calling;
    const { contactId } = contacts.add({ name: 'First', place: 1, ...atAnyHour });
    const push = await pushService();
    const target = { kind: 'web-push', subscription: push.subscription } as const;
    expect(contacts.addChannel(contactId, target, 0).channelId).toBe(
      contacts.addChannel(contactId, target, 0).channelId,
    );
  });

  it('of nobody at all keeps the call until there is somebody', async () => {
    const trial = await trialAt();
    raise(trial, 'trip');
    await minutes(trial, 30);
    const late = await contact(trial, 'Late');
    await trial.dashboard.settle();
    expect(late.receiver.bodies).toHaveLength(1);
  });
});

describe('a restart', () => {
  it('goes on where the escalation was', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const ben = await contact(trial, 'Second');
    raise(trial, 'trip');
    await minutes(trial, 6);
    expect([anna.receiver.bodies.length, ben.receiver.bodies.length]).toEqual([2, 0]);
    await trial.restart(60);
    await minutes(trial, 4);
    expect([anna.receiver.bodies.length, ben.receiver.bodies.length]).toEqual([3, 1]);
    expect(new Set([...anna.receiver.bodies, ...ben.receiver.bodies].map((body) => body.call)).size).toBe(1);
    expect(acknowledge(trial, anna.receiver.bodies[0]).state).toBe('done');
  });

  it('sends the same link and id again for what was under way', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    anna.receiver.status = 500;
    raise(trial, 'trip');
    await trial.dashboard.settle();
    anna.receiver.status = 200;
    await trial.restart(60);
    await trial.pass(0);
    expect(anna.receiver.bodies).toHaveLength(2);
    expect(anna.receiver.bodies[1]).toEqual(anna.receiver.bodies[0]);
  });

  it('makes the old single webhook the first contact’s, and its address leaves the store', async () => {
    const receiver = await webhookReceiver();
    const folder = folderOnTrial();
    const clock = manualClock(EVENING_MS);
    const before = await createDashboard({ clock, dataFolder: folder });
    before.store.setSetting('webhook', JSON.stringify({ address: receiver.address, allowPrivateAddress: true }));
    await before.close();
    const after = await createDashboard({ clock, dataFolder: folder });
    expect(after.calling.contacts.views()).toMatchObject([
      { name: 'Owner', fromMinute: null, channels: [{ kind: 'webhook' }] },
    ]);
    expect(after.store.setting('webhook')).toBe('');
    await after.close();
    const once = await createDashboard({ clock, dataFolder: folder });
    expect(once.calling.contacts.views()).toHaveLength(1);
    once.alarms.raise({ controllerId: '', name: 'broker-lost', causeAtMs: EVENING_MS, detail: 'seen' }, EVENING_MS);
    await once.settle();
    expect(receiver.bodies).toHaveLength(1);
    await once.close();
  });
});

describe('secrets', () => {
  it('lie in a file that only the owner may read, and nowhere in the store', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    void anna;
    const file = join(trial.folder, CALLING_SECRETS_FILE);
    expect(statSync(file).mode & 0o777).toBe(0o600);
    expect(readFileSync(file, 'utf8')).toContain('of-the-webhook');
    trial.dashboard.store.database.pragma('wal_checkpoint(TRUNCATE)');
    expect(readFileSync(join(trial.folder, 'bathkeeper.sqlite')).includes('of-the-webhook')).toBe(false);
  });

  it('that cannot be read are set aside and told, and each channel says what to do', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    writeFileSync(join(trial.folder, CALLING_SECRETS_FILE), '{"damaged": "of-the-webhook');
    await trial.restart();
    const [notice] = trial.dashboard.snapshot().notices;
    expect(notice).toContain('set aside');
    expect(notice).not.toContain('of-the-webhook');
    raise(trial, 'trip');
    await trial.dashboard.settle();
    await trial.pass(2);
    expect(anna.receiver.bodies).toEqual([]);
    expect(trial.dashboard.calling.contacts.views()[0]!.channels[0]!.lastFailure).toContain(
      'Remove it and enter it again',
    );
    const names = trial.dashboard.snapshot().alarms.map((alarm) => alarm.name);
    expect(names).toContain('notification-failed');
  });

  it('of one mail server are never handed to another', async () => {
    const trial = await trialAt();
    const true1 = await mailReceiver();
    const server: MailRequest = { host: true1.host, port: true1.port, isImplicitTls: false, user: MAIL_USER, password: MAIL_PASSWORD, from: 'bath@example.org' }; // prettier-ignore
    expect((await trial.dashboard.calling.setMail(server)).delivered).toBe(true);
    const { password: _password, ...without } = server;
    expect((await trial.dashboard.calling.setMail(without)).delivered).toBe(true);
    const heard: string[] = [];
    const other = await mailReceiver({
      onAuth: (auth, _session, done) => {
        heard.push(auth.password ?? '');
        done(new Error('no'));
      },
    });
    expect((await trial.dashboard.calling.setMail({ ...without, port: other.port })).delivered).toBe(false);
    expect(heard.join('')).not.toContain(MAIL_PASSWORD);
    expect(trial.dashboard.calling.settings.mailView()).toMatchObject({ port: other.port, hasPassword: false });
  });
});

describe('a test call', () => {
  it('rings each minute until it is confirmed from the phone itself', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First', { fromMinute: 60, toMinute: 61 });
    const { testCalls } = trial.dashboard.calling;
    const { testCallId } = testCalls.start(anna.contactId, undefined, true, trial.clock.nowMs())!;
    await trial.dashboard.settle();
    expect(anna.receiver.bodies).toHaveLength(1);
    expect(anna.receiver.bodies[0]).toMatchObject({ kind: 'test', title: 'Bathkeeper: test call', priority: 'high' });
    expect(testCalls.view(testCallId)).toMatchObject({ tries: 1, deliveredAtMs: EVENING_MS, confirmedAtMs: null });
    await minutes(trial, 3);
    expect(anna.receiver.bodies).toHaveLength(4);
    expect(acknowledge(trial, anna.receiver.bodies[1])).toMatchObject({ state: 'done', title: 'Confirmed' });
    await minutes(trial, 5);
    expect(anna.receiver.bodies).toHaveLength(4);
    expect(testCalls.view(testCallId)).toMatchObject({ confirmedAtMs: trial.clock.nowMs() - 5 * MINUTE_MS, words: 'Confirmed on the phone.' }); // prettier-ignore
    expect(trial.dashboard.calling.lastConfirmation()).toMatchObject({ kind: 'test', contactName: 'First' });
  });

  it('ends by itself after an hour, and when it is stopped', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const { testCalls } = trial.dashboard.calling;
    const first = testCalls.start(anna.contactId, undefined, true, trial.clock.nowMs())!;
    await minutes(trial, 90);
    expect(anna.receiver.bodies).toHaveLength(60);
    expect(testCalls.view(first.testCallId)!.words).toBe('Ended without being confirmed.');
    const second = testCalls.start(anna.contactId, undefined, true, trial.clock.nowMs())!;
    await trial.dashboard.settle();
    expect(testCalls.stop(second.testCallId, trial.clock.nowMs())!.endedAtMs).toBe(trial.clock.nowMs());
    await minutes(trial, 5);
    expect(anna.receiver.bodies).toHaveLength(61);
  });

  it('of one channel rings that one only, and says why it did not get through', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const other = await webhookReceiver(500);
    const channelId = addWebhook(trial.dashboard, anna.contactId, other.address);
    const { testCalls } = trial.dashboard.calling;
    const { testCallId } = testCalls.start(anna.contactId, channelId, false, trial.clock.nowMs())!;
    await trial.dashboard.settle();
    expect([anna.receiver.asked.length, other.asked.length]).toEqual([0, 1]);
    expect(testCalls.view(testCallId)!.words).toMatch(/^Not delivered yet\. The receiver answered 500/);
    expect(testCalls.start(999, undefined, true, 0)).toBeUndefined();
    expect(testCalls.start(anna.contactId, 999, true, 0)).toBeUndefined();
  });
});

describe('good news', () => {
  const end = async (trial: Trial, code: number): Promise<void> => {
    trial.dashboard.book.saveRecipe(
      CONTROLLER,
      { recipeId: 1, partName: 'Fluted bell lampshade', areaDm2: 12, chargeAmpereHours: 70, averageThicknessMicrometres: 180, depositMassGrams: 83 } as never, // prettier-ignore
      [],
      EVENING_MS,
    );
    await tellEnd(trial, code);
  };
  const tellEnd = async (trial: Trial, code: number): Promise<void> => {
    trial.bath.say(
      'outbox',
      outbox(
        [],
        [
          eventRow({ sequence: 1, kind: EventKind.runStarted, a: 1, b: 1, uptime: 10 }),
          eventRow({ sequence: 2, kind: EventKind.runEnded, code, a: 252_000, b: 15_000, uptime: 95_000 }),
        ],
      ),
    );
    await trial.dashboard.settle();
  };

  it('is told to those who want it when the run has reached its charge, within their hours', async () => {
    const trial = await dashboardOnTrial({ more: { pageAddress: () => PAGE } });
    trial.dashboard.calling.settings.setEscalation({
      againAfterMinutes: 5,
      nextPersonAfterMinutes: 10,
      timeZone: 'UTC',
    });
    const quiet = await contact(trial, 'Wants none');
    const happy = await contact(trial, 'Wants it', { wantsGoodNews: true });
    const asleep = await contact(trial, 'Sleeps', { wantsGoodNews: true, fromMinute: 7 * 60, toMinute: 20 * 60 });
    await end(trial, Condition.chargeReached);
    expect(quiet.receiver.bodies).toEqual([]);
    expect(happy.receiver.bodies).toHaveLength(1);
    expect(happy.receiver.bodies[0]).toMatchObject({ kind: 'good-news', priority: 'low', title: 'Copper 60 L: run finished' }); // prettier-ignore
    expect(happy.receiver.bodies[0]!.message).toMatch(
      /^Fluted bell lampshade: 70\.0 Ah, about 180 µm on average \(at 100 % cathode efficiency\), 83 g of copper, in 2 h 38 min, until 19:51\./,
    );
    expect(asleep.receiver.bodies).toEqual([]);
    await trial.restart(11 * 3600);
    await trial.pass(1);
    expect(asleep.receiver.bodies.filter((body) => body.kind === 'good-news')).toHaveLength(1);
  });

  it('is queued with the end of the run or not at all, and told after a restart in between', async () => {
    const trial = await dashboardOnTrial({ more: { pageAddress: () => PAGE } });
    const happy = await contact(trial, 'Wants it', { wantsGoodNews: true });
    const ended = (): unknown[] =>
      rowsOf(trial.dashboard, `SELECT 1 FROM events WHERE kind = ${String(EventKind.runEnded)}`);
    const { database } = trial.dashboard.store;
    database.exec("CREATE TRIGGER full BEFORE INSERT ON calls BEGIN SELECT raise(ABORT, 'disk is full'); END");
    await end(trial, Condition.chargeReached);
    // Not acknowledged: the controller keeps it and tells it again.
    expect([ended(), happy.receiver.bodies]).toEqual([[], []]);
    database.exec('DROP TRIGGER full');
    happy.receiver.status = 503;
    await tellEnd(trial, Condition.chargeReached);
    expect(ended()).toHaveLength(1);
    happy.receiver.status = 200;
    await trial.restart(60);
    await trial.pass(10);
    expect(happy.receiver.bodies.at(-1)).toMatchObject({ kind: 'good-news', title: 'Copper 60 L: run finished' });
  });

  it('is none when the run was stopped', async () => {
    const trial = await dashboardOnTrial();
    const happy = await contact(trial, 'Wants it', { wantsGoodNews: true });
    await end(trial, 0);
    expect(happy.receiver.bodies).toEqual([]);
  });

  it('comes in the morning with the figures of the night, once, also when the dashboard started late', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First', { wantsMorningSummary: true });
    await minutes(trial, 1);
    const alarmId = raise(trial, 'filter-stopped');
    await minutes(trial, 4);
    trial.dashboard.alarms.acknowledge(alarmId, 'page', trial.clock.nowMs());
    trial.dashboard.alarms.returnToNormal(CONTROLLER, 'filter-stopped', trial.clock.nowMs());
    await trial.restart(10.5 * 3600);
    await minutes(trial, 2);
    expect(anna.receiver.bodies.filter((body) => body.kind === 'morning-summary')).toEqual([]);
    await trial.restart(3600);
    await minutes(trial, 2);
    const [summary] = anna.receiver.bodies.filter((body) => body.kind === 'morning-summary');
    expect(summary!.message).toContain('Copper 60 L. No run yet.');
    expect(summary!.message).toContain('1 alarm (0 high, 1 medium, 0 low). Longest: The filter stopped, 4 min 0 s.');
    expect(summary!.message).toContain('Acknowledged after 4 min 0 s (median).');
    await minutes(trial, 30);
    expect(anna.receiver.bodies.filter((body) => body.kind === 'morning-summary')).toHaveLength(1);
    await trial.restart(24 * 3600);
    await minutes(trial, 2);
    expect(anna.receiver.bodies.filter((body) => body.kind === 'morning-summary')).toHaveLength(2);
  });

  it('comes no more once its hour was taken away', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First', { wantsMorningSummary: true });
    const setHour = (morningSummaryAtMinute: number | null): void => {
      const { settings } = trial.dashboard.calling;
      settings.setEscalation({ ...settings.escalation(), morningSummaryAtMinute });
    };
    setHour(null);
    await trial.restart(11.5 * 3600);
    await minutes(trial, 2);
    expect(anna.receiver.bodies).toEqual([]);
    setHour(420);
    await minutes(trial, 20);
    expect(anna.receiver.bodies.filter((body) => body.kind === 'morning-summary')).toHaveLength(1);
  });

  it('says how long something took in the largest fitting units', () => {
    expect([15_120, 75, 4, 3600].map(durationWords)).toEqual(['4 h 12 min', '1 min 15 s', '4 s', '1 h 0 min']);
  });
});

describe('a call without the store', () => {
  it('rings everybody on duty over every channel, and says how many took it', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const broken = await contact(trial, 'Second');
    broken.receiver.status = 500;
    expect(await trial.dashboard.calling.callWithoutStore('The store cannot be written', 'Free space.')).toBe(1);
    expect(anna.receiver.bodies[0]).toMatchObject({ title: 'The store cannot be written', priority: 'high' });
    expect(rowsOf(trial.dashboard, 'SELECT * FROM calls')).toEqual([]);
  });

  it('lists what was called before and nobody has acknowledged, whose reminders need the store', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const [trip, filter] = [raise(trial, 'trip'), raise(trial, 'filter-stopped')];
    await trial.dashboard.settle();
    trial.dashboard.alarms.acknowledge(filter, 'page', trial.clock.nowMs());
    await trial.dashboard.calling.callWithoutStore('The store cannot be written', 'Free space.');
    expect(anna.receiver.bodies.at(-1)!.message).toBe(
      `Free space. Called before, and nobody has acknowledged: Copper 60 L: ${alarmOf(trial, trip).title}.`,
    );
    trial.dashboard.alarms.acknowledge(trip, 'page', trial.clock.nowMs());
    await trial.dashboard.calling.callWithoutStore('The store cannot be written', 'Free space.');
    expect(anna.receiver.bodies.at(-1)!.message).toBe('Free space.');
  });

  it('rings those whose hours it is not where nothing reaches anybody on duty', async () => {
    const trial = await trialAt();
    const day = await contact(trial, 'By day', { fromMinute: 8 * 60, toMinute: 19 * 60 });
    const night = await contact(trial, 'By night', { fromMinute: 19 * 60, toMinute: 8 * 60 });
    const ring = () => trial.dashboard.calling.callWithoutStore('The store cannot be written', 'Free space.');
    expect(await ring()).toBe(1);
    expect(day.receiver.bodies).toEqual([]);
    night.receiver.status = 500;
    expect(await ring()).toBe(1);
    expect(day.receiver.bodies).toHaveLength(1);
  });
});
