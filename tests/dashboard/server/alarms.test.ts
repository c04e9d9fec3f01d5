/*
 * Alarms as the whole dashboard has them: trips that wait for their reset, silences over restarts, what the plant suppresses, causes and bursts,
 * and the page's routes for them over real HTTP on loopback.
 */
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import Database from 'better-sqlite3';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { Condition, EventKind, Phase } from '@bathkeeper/shared-core/control';
import type { AlarmName, AlarmView } from '@bathkeeper/shared-core/messages';
import { webApplication } from '../../../dashboard/server/http/application.js';
import { openDoor } from '../../../dashboard/server/http/door.js';
import { migrations } from '../../../dashboard/server/store/schema.js';
import { openStore } from '../../../dashboard/server/store/store.js';
import { CONTROLLER, dashboardOnTrial, folderOnTrial, rowsOf, type Trial } from './dashboard-on-trial.js';
import { eventRow, liveMessage, outbox } from './quiet-bath.js';

async function hear(trial: Trial, fields: Parameters<typeof liveMessage>[0] = {}): Promise<void> {
  trial.bath.say('live', liveMessage(fields));
  await trial.dashboard.settle();
}
async function tell(trial: Trial, ...events: Parameters<typeof eventRow>[0][]): Promise<void> {
  trial.bath.say('outbox', outbox([], events.map(eventRow)));
  await trial.dashboard.settle();
}
function raise(trial: Trial, name: AlarmName, more: { condition?: number; controllerId?: string } = {}): number {
  const nowMs = trial.clock.nowMs();
  const cause = { controllerId: CONTROLLER, name, causeAtMs: nowMs, detail: 'seen', ...more };
  return trial.dashboard.alarms.raise(cause, nowMs) ?? 0;
}
const shown = (trial: Trial, name: AlarmName): AlarmView | undefined =>
  trial.dashboard.snapshot().alarms.find((alarm) => alarm.name === name);
const journal = (trial: Trial, name: AlarmName): string[] =>
  trial.dashboard.alarms
    .journal({ name, count: 100 })
    .map(({ what, state, who }) => `${what} ${String(state)} by ${who}`)
    .reverse();
/** Calls that ring, each with the names that it tells of. */
const ringing = (trial: Trial): string[] =>
  rowsOf(
    trial.dashboard,
    `SELECT group_concat(a.name, ' + ') AS names FROM (SELECT * FROM notifications ORDER BY alarm_id) n
     JOIN calls c ON c.call_number = n.call_number JOIN alarms a ON a.alarm_id = n.alarm_id
     WHERE c.ended_at_ms IS NULL AND n.is_silenced = 0 AND a.acknowledged_at_ms IS NULL GROUP BY c.call_number ORDER BY c.call_number`,
  ).map((row) => String(row.names));

const inTrip = { phase: Phase.trip, contactorClosed: 0, permitted: 0, current: 0 };
const emergencyStop = 1 << (Condition.emergencyStop - 1);
const tripTold = [
  { sequence: 1, kind: EventKind.conditionRaised, code: Condition.emergencyStop, uptime: 100_000 },
  { sequence: 2, kind: EventKind.phaseEntered, code: Phase.trip, a: Phase.plate, uptime: 100_000 },
];

describe('a trip', () => {
  it('whose cause is gone and that somebody has acknowledged is latched until the controller leaves it', async () => {
    const trial = await dashboardOnTrial();
    await tell(trial, ...tripTold);
    await hear(trial, { ...inTrip, conditions: emergencyStop });
    expect(shown(trial, 'trip')).toMatchObject({ state: 'unacknowledged', isLatched: true, mayBeShelved: false });
    trial.dashboard.alarms.acknowledge(shown(trial, 'trip')!.alarmId, 'page', trial.clock.nowMs());
    await hear(trial, inTrip);
    expect(shown(trial, 'trip')).toMatchObject({ state: 'latched', isLatched: true });
    await hear(trial, { phase: Phase.ready, contactorClosed: 0 });
    expect(shown(trial, 'trip')).toMatchObject({ state: 'normal', resetAtMs: trial.clock.nowMs() });
    expect(shown(trial, 'trip')?.isLatched).toBeUndefined();
    expect(journal(trial, 'trip')).toEqual([
      'raised unacknowledged by bath',
      'acknowledged acknowledged by page',
      'returned latched by bath',
      'reset normal by bath',
    ]);
  });

  it('goes on calling after its cause is gone, until somebody acknowledges or resets it', async () => {
    const trial = await dashboardOnTrial();
    await tell(trial, ...tripTold);
    await hear(trial, inTrip);
    expect(shown(trial, 'trip')).toMatchObject({ state: 'returned-unacknowledged', isLatched: true });
    // Longer than what has returned is worth a call.
    await trial.pass(7200);
    expect(ringing(trial)).toContain('trip');
  });

  it('stays latched over a restart of the dashboard', async () => {
    const trial = await dashboardOnTrial();
    await tell(trial, ...tripTold);
    await hear(trial, inTrip);
    await trial.restart(60);
    expect(shown(trial, 'trip')).toMatchObject({ state: 'returned-unacknowledged', isLatched: true });
    expect(trial.dashboard.alarms.isStanding(CONTROLLER, 'trip')).toBe(true);
  });

  it('that was acknowledged calls anew for smoke, and for no emergency stop of whoever came', async () => {
    const trial = await dashboardOnTrial();
    const trip = raise(trial, 'trip', { condition: Condition.currentVeryHigh });
    trial.dashboard.alarms.acknowledge(trip, 'page', trial.clock.nowMs());
    expect(raise(trial, 'trip', { condition: Condition.emergencyStop })).toBe(0);
    expect(raise(trial, 'trip', { condition: Condition.smoke })).toBeGreaterThan(trip);
    expect(raise(trial, 'trip', { condition: Condition.smoke })).toBe(0);
    expect(ringing(trial)).toEqual(['trip']);
    trial.dashboard.alarms.resetAtBath(CONTROLLER, trial.clock.nowMs());
    expect(trial.dashboard.alarms.isStanding(CONTROLLER, 'trip')).toBe(false);
  });
});

describe('a cause that comes back after somebody has acknowledged it', () => {
  const back = (trial: Trial, name: AlarmName): void => {
    const nowMs = () => trial.clock.nowMs();
    const { alarms } = trial.dashboard;
    const id = raise(trial, name);
    alarms.acknowledge(id, 'page', nowMs());
    alarms.returnToNormal(CONTROLLER, name, nowMs());
  };
  const later = (trial: Trial, seconds: number): void => {
    trial.clock.advanceTo(trial.clock.nowMs() + seconds * 1000);
  };
  const gone = (trial: Trial, name: AlarmName): void => {
    trial.dashboard.alarms.returnToNormal(CONTROLLER, name, trial.clock.nowMs());
  };

  it('again and again is shown and written, and rings nobody while it never stays for two minutes', async () => {
    const trial = await dashboardOnTrial();
    back(trial, 'agitation-stopped');
    for (let times = 0; times < 10; times++) {
      later(trial, 60);
      raise(trial, 'agitation-stopped');
      expect(shown(trial, 'agitation-stopped')).toMatchObject({ state: 'acknowledged', acknowledgedBy: 'page' });
      later(trial, 100);
      gone(trial, 'agitation-stopped');
      expect(ringing(trial)).toEqual([]);
    }
    expect(journal(trial, 'agitation-stopped').filter((one) => one.startsWith('raised-again'))).toHaveLength(10);
  });

  it('rings when it stays for two minutes, under a number of its own and with what was told last', async () => {
    const trial = await dashboardOnTrial();
    back(trial, 'agitation-stopped');
    const before = shown(trial, 'agitation-stopped')!;
    later(trial, 60);
    const nowMs = trial.clock.nowMs();
    trial.dashboard.alarms.raise({ controllerId: CONTROLLER, name: 'agitation-stopped', causeAtMs: nowMs, detail: 'now for good' }, nowMs); // prettier-ignore
    later(trial, 118);
    expect(ringing(trial)).toEqual([]);
    later(trial, 2);
    expect(ringing(trial)).toEqual(['agitation-stopped']);
    const after = shown(trial, 'agitation-stopped')!;
    expect(after).toMatchObject({ state: 'unacknowledged', detail: 'now for good', causeAtMs: nowMs });
    expect(after.alarmId).toBeGreaterThan(before.alarmId);
  });

  it('rings after a restart of the dashboard no later', async () => {
    const trial = await dashboardOnTrial({ connect: false });
    back(trial, 'agitation-stopped');
    later(trial, 60);
    raise(trial, 'agitation-stopped');
    await trial.restart(118);
    expect(ringing(trial)).toEqual([]);
    later(trial, 2);
    expect(ringing(trial)).toEqual(['agitation-stopped']);
  });

  it.each<[string, AlarmName, number]>([
    ['a rotation that stops anew', 'rotation-stalled', 60],
    ['a hold', 'held', 60],
    ['what was gone for ten minutes', 'agitation-stopped', 600],
  ])('rings at once: %s', async (_what, name, seconds) => {
    const trial = await dashboardOnTrial();
    back(trial, name);
    later(trial, seconds);
    raise(trial, name);
    expect(ringing(trial)).toEqual([name]);
  });

  it('rings at once where it is graver, and an hour after somebody has seen it', async () => {
    const trial = await dashboardOnTrial();
    back(trial, 'agitation-stopped');
    const nowMs = trial.clock.nowMs();
    trial.dashboard.alarms.raise({ controllerId: CONTROLLER, name: 'agitation-stopped', causeAtMs: nowMs, detail: 'seen', priority: 'high' }, nowMs); // prettier-ignore
    expect(ringing(trial)).toEqual(['agitation-stopped']);
    const other = await dashboardOnTrial();
    back(other, 'contact-weak');
    for (let minutes = 0; minutes < 60; minutes += 9) {
      expect(ringing(other)).toEqual([]);
      later(other, 539);
      raise(other, 'contact-weak');
      later(other, 1);
      gone(other, 'contact-weak');
    }
    expect(ringing(other)).toEqual(['contact-weak']);
  });
});

describe('a shelved alarm', () => {
  const reason = 'the probe is being cleaned';
  const shelve = (trial: Trial, minutes: number) =>
    trial.dashboard.alarms.shelve(CONTROLLER, 'sensor-fault', { reason, minutes }, 'page', trial.clock.nowMs());

  it('lives on and calls nobody, and calls when its shelf ends while it stands unacknowledged', async () => {
    const trial = await dashboardOnTrial();
    shelve(trial, 10);
    raise(trial, 'sensor-fault');
    expect(shown(trial, 'sensor-fault')).toMatchObject({
      state: 'unacknowledged',
      silences: [{ kind: 'shelved', who: 'page', reason }],
    });
    await trial.pass(599);
    expect(ringing(trial)).toEqual([]);
    await trial.pass(1);
    expect(ringing(trial)).toEqual(['sensor-fault']);
    expect(shown(trial, 'sensor-fault')?.silences).toBeUndefined();
    expect(journal(trial, 'sensor-fault')).toEqual([
      'shelved null by page',
      'raised unacknowledged by bath',
      'shelf-ended unacknowledged by clock',
    ]);
  });

  it('calls when its shelf ended while the dashboard was down', async () => {
    const trial = await dashboardOnTrial();
    raise(trial, 'sensor-fault');
    shelve(trial, 10);
    expect(ringing(trial)).toEqual([]);
    await trial.restart(300);
    await trial.pass(1);
    expect(ringing(trial)).toEqual([]);
    expect(shown(trial, 'sensor-fault')?.silences).toHaveLength(1);
    await trial.restart(300);
    await trial.pass(1);
    expect(ringing(trial)).toEqual(['sensor-fault']);
  });

  it('that somebody acknowledged meanwhile, or that has returned, calls nobody at its end', async () => {
    const trial = await dashboardOnTrial();
    shelve(trial, 10);
    const acknowledged = raise(trial, 'sensor-fault');
    trial.dashboard.alarms.acknowledge(acknowledged, 'page', trial.clock.nowMs());
    await trial.pass(601);
    expect(ringing(trial)).toEqual([]);
    trial.dashboard.alarms.returnToNormal(CONTROLLER, 'sensor-fault', trial.clock.nowMs());
    shelve(trial, 10);
    raise(trial, 'sensor-fault');
    trial.dashboard.alarms.returnToNormal(CONTROLLER, 'sensor-fault', trial.clock.nowMs());
    await trial.pass(601);
    expect(ringing(trial)).toEqual([]);
  });

  it('is not silent where it is raised as high', async () => {
    const trial = await dashboardOnTrial();
    shelve(trial, 60);
    const nowMs = trial.clock.nowMs();
    const cause = { controllerId: CONTROLLER, name: 'sensor-fault', causeAtMs: nowMs, detail: 'seen' } as const;
    trial.dashboard.alarms.raise(cause, nowMs);
    expect(ringing(trial)).toEqual([]);
    trial.dashboard.alarms.raise({ ...cause, priority: 'high' }, nowMs);
    expect(ringing(trial)).toEqual(['sensor-fault']);
    expect(shown(trial, 'sensor-fault')).toMatchObject({ priority: 'high', mayBeShelved: false });
  });

  it('and its silence are written together, or not at all', async () => {
    const trial = await dashboardOnTrial();
    trial.dashboard.store.database.exec(
      `CREATE TRIGGER full BEFORE INSERT ON alarm_transitions BEGIN SELECT RAISE(ABORT, 'disk full'); END`,
    );
    expect(() => shelve(trial, 10)).toThrow('disk full');
    expect(trial.dashboard.alarms.silences(CONTROLLER, trial.clock.nowMs())).toEqual([]);
    expect(() => raise(trial, 'sensor-fault')).toThrow('disk full');
    expect(shown(trial, 'sensor-fault')).toBeUndefined();
  });
});

describe('what the plant suppresses', () => {
  const filterStopped = { conditionsHigh: 1 << (Condition.filterStopped - 33) };

  it('calls nobody after the run, and calls when a run begins with it', async () => {
    const trial = await dashboardOnTrial();
    await hear(trial, { phase: Phase.done, contactorClosed: 0 });
    raise(trial, 'filter-stopped');
    expect(shown(trial, 'filter-stopped')?.silences).toMatchObject([{ kind: 'suppressed-by-design' }]);
    expect(ringing(trial)).toEqual([]);
    await hear(trial, { phase: Phase.plate, ...filterStopped });
    await trial.pass(1);
    expect(ringing(trial)).toEqual(['filter-stopped']);
    expect(journal(trial, 'filter-stopped').map((words) => words.split(' ')[0])).toEqual([
      'raised',
      'suppressed',
      'unsuppressed',
    ]);
  });

  it('stays as it was while nobody knows the phase, also over a restart', async () => {
    const trial = await dashboardOnTrial();
    await hear(trial, { phase: Phase.done, contactorClosed: 0 });
    raise(trial, 'filter-stopped');
    await trial.restart(3600);
    await trial.pass(5);
    expect(shown(trial, 'filter-stopped')?.silences).toMatchObject([{ kind: 'suppressed-by-design' }]);
    expect(ringing(trial)).not.toContain('filter-stopped');
  });

  it('is followed for an alarm that came back as well', async () => {
    const trial = await dashboardOnTrial();
    await hear(trial, filterStopped);
    raise(trial, 'filter-stopped');
    trial.dashboard.alarms.returnToNormal(CONTROLLER, 'filter-stopped', trial.clock.nowMs());
    await trial.pass(1);
    raise(trial, 'filter-stopped');
    await hear(trial, { phase: Phase.done, contactorClosed: 0, ...filterStopped });
    await trial.pass(1);
    expect(shown(trial, 'filter-stopped')?.silences).toMatchObject([{ kind: 'suppressed-by-design' }]);
  });

  it('is nothing where the phase is unknown when the alarm comes', async () => {
    const trial = await dashboardOnTrial();
    raise(trial, 'filter-stopped');
    expect(ringing(trial)).toEqual(['filter-stopped']);
  });
});

describe('several alarms of one cause', () => {
  it('point at the first, and are one call with it', async () => {
    const trial = await dashboardOnTrial();
    const first = raise(trial, 'contact-weak');
    await trial.pass(5);
    raise(trial, 'held');
    raise(trial, 'current-off-permitted');
    raise(trial, 'filter-stopped');
    expect(shown(trial, 'contact-weak')).toMatchObject({ isFirstOut: true });
    expect(shown(trial, 'held')).toMatchObject({ causedByAlarmId: first, calledWithAlarmId: first });
    expect(shown(trial, 'current-off-permitted')).toMatchObject({ causedByAlarmId: first });
    expect(shown(trial, 'filter-stopped')?.causedByAlarmId).toBeUndefined();
    expect(ringing(trial)).toEqual(['contact-weak + held + current-off-permitted + filter-stopped']);
  });

  it('ring on when only the first was acknowledged', async () => {
    const trial = await dashboardOnTrial();
    const first = raise(trial, 'contact-weak');
    raise(trial, 'held');
    trial.dashboard.alarms.acknowledge(first, 'page', trial.clock.nowMs());
    expect(ringing(trial)).toEqual(['held']);
  });

  it('of the house explain a silent controller', async () => {
    const trial = await dashboardOnTrial();
    const broker = raise(trial, 'broker-lost', { controllerId: '' });
    await trial.pass(8);
    raise(trial, 'controller-silent');
    expect(shown(trial, 'controller-silent')?.causedByAlarmId).toBe(broker);
  });
});

it('a flood of more than ten in ten minutes becomes one call, which lists what still rings', async () => {
  const trial = await dashboardOnTrial();
  const names: AlarmName[] = [
    'rotation-stalled', 'clip-hot', 'supply-fault', 'contact-weak', 'bath-will-overheat', 'rotation-given-up', 'current-off-permitted',
    'command-refused', 'controller-silent', 'held', 'held-for-long', 'trip',
  ]; // prettier-ignore
  for (const name of names.slice(0, 10)) {
    raise(trial, name);
    await trial.pass(20);
  }
  expect(ringing(trial)).toHaveLength(10);
  raise(trial, names[10]!);
  expect(shown(trial, names[10]!)).toMatchObject({ isFloodCall: true });
  expect(ringing(trial)).toHaveLength(1);
  await trial.pass(20);
  raise(trial, names[11]!);
  expect(ringing(trial)).toEqual([names.join(' + ')]);
});

it('an alarm that becomes graver while it stands gives way to one that calls', async () => {
  const trial = await dashboardOnTrial();
  const nowMs = trial.clock.nowMs();
  const cause = { controllerId: CONTROLLER, name: 'temperature-drifting', causeAtMs: nowMs, detail: 'seen' } as const;
  trial.dashboard.alarms.raise({ ...cause, priority: 'low' }, nowMs);
  expect(ringing(trial)).toEqual([]);
  expect(trial.dashboard.alarms.raise({ ...cause, priority: 'low' }, nowMs)).toBeUndefined();
  trial.dashboard.alarms.raise({ ...cause, priority: 'medium' }, nowMs);
  expect(ringing(trial)).toEqual(['temperature-drifting']);
});

it('a store of the version before keeps its alarms and their transitions as a journal; none of them latches', () => {
  const file = join(folderOnTrial(), 'bathkeeper.sqlite');
  const old = new Database(file);
  for (const text of migrations.slice(0, 2)) old.exec(text);
  old.pragma('user_version = 2');
  old.exec(`INSERT INTO alarms VALUES (1, 'north-bench', 'trip', 'high', 't', 'd', 'c', 1, 2, 5, 'page', 6);
    INSERT INTO alarms VALUES (2, 'north-bench', 'held', 'high', 't', 'd', 'c', 1, 2, NULL, NULL, NULL);
    INSERT INTO alarm_transitions VALUES (1, 1, 2, 'unacknowledged', 'bath'), (2, 2, 2, 'unacknowledged', 'bath'),
      (3, 1, 3, 'returned-unacknowledged', 'bath'), (4, 1, 4, 'unacknowledged', 'bath'), (5, 1, 5, 'acknowledged', 'page'),
      (6, 1, 6, 'normal', 'bath');`);
  old.close();
  const { database } = openStore(file);
  expect(database.prepare('SELECT alarm_id, what, state, who FROM alarm_transitions ORDER BY id').raw().all()).toEqual([
    [1, 'raised', 'unacknowledged', 'bath'],
    [2, 'raised', 'unacknowledged', 'bath'],
    [1, 'returned', 'returned-unacknowledged', 'bath'],
    [1, 'raised-again', 'unacknowledged', 'bath'],
    [1, 'acknowledged', 'acknowledged', 'page'],
    [1, 'returned', 'normal', 'bath'],
  ]);
  expect(database.prepare('SELECT sum(latches) FROM alarms').pluck().get()).toBe(0);
  database.close();
});

const closings: (() => void)[] = [];
afterEach(() => {
  for (const close of closings.splice(0).reverse()) close();
});

describe("the page's routes", () => {
  interface Answer {
    readonly status: number;
    readonly body: unknown;
  }
  async function pageOnTrial(): Promise<{
    trial: Trial;
    ask: (method: string, path: string, body?: object, isLetIn?: boolean) => Promise<Answer>;
  }> {
    const trial = await dashboardOnTrial();
    const door = openDoor(trial.dashboard.store, trial.clock);
    const server = createServer(
      webApplication({
        dashboard: trial.dashboard,
        door,
        pageFolder: folderOnTrial(),
        notices: () => [],
        press: () => undefined,
        mqttPort: () => 1883,
        hostAddress: () => '192.0.2.1',
        pairedReal: () => undefined,
      }),
    );
    await new Promise<void>((done) => void server.listen(0, '127.0.0.1', done));
    closings.push(() => {
      server.closeAllConnections();
      server.close();
    });
    const entered = await door.firstStart(door.firstStartToken!, 'copper grows at night');
    if (typeof entered === 'string') throw new Error(entered);
    const { session } = entered;
    return {
      trial,
      ask: async (method, path, body, isLetIn = true) => {
        const response = await fetch(`http://127.0.0.1:${String((server.address() as AddressInfo).port)}/api${path}`, {
          method,
          headers: {
            ...(body === undefined ? {} : { 'content-type': 'application/json' }),
            ...(isLetIn ? { cookie: `bathkeeper_session=${session}` } : {}),
          },
          body: body === undefined ? null : JSON.stringify(body),
        });
        return { status: response.status, body: await response.json() };
      },
    };
  }
  const of = (name: string): string => `/controllers/${CONTROLLER}/alarms/${name}`;
  const request = { reason: 'the filter is being cleaned', minutes: 30 };

  it.each([
    ['POST', of('filter-stopped/shelve')],
    ['DELETE', of('filter-stopped/shelve')],
    ['POST', of('filter-stopped/out-of-service')],
    ['DELETE', of('filter-stopped/out-of-service')],
    ['GET', of('silences')],
    ['GET', of('figures')],
    ['GET', '/alarms/journal'],
    ['GET', '/alarms/1'],
  ])('keep %s %s shut to who was not let in', async (method, path) => {
    const { ask } = await pageOnTrial();
    expect((await ask(method, path, method === 'POST' ? request : undefined, false)).status).toBe(401);
  });

  it('shelve and unshelve, take out of service and put back, and list what is silent', async () => {
    const { ask, trial } = await pageOnTrial();
    const untilMs = trial.clock.nowMs() + 30 * 60_000;
    expect((await ask('POST', of('filter-stopped/shelve'), request)).body).toMatchObject({
      controllerId: CONTROLLER,
      name: 'filter-stopped',
      title: 'The filter stopped',
      silences: [{ kind: 'shelved', who: 'page', reason: request.reason, untilMs }],
    });
    await ask('POST', of('rotation-slow/out-of-service'), { reason: 'the sensor is away for repair' });
    expect((await ask('GET', of('silences'))).body).toMatchObject([
      { name: 'filter-stopped' },
      { name: 'rotation-slow', silences: [{ kind: 'out-of-service' }] },
    ]);
    expect((await ask('DELETE', of('filter-stopped/shelve'))).body).toMatchObject({ silences: [] });
    expect((await ask('DELETE', of('rotation-slow/out-of-service'))).body).toMatchObject({ silences: [] });
    expect((await ask('GET', of('silences'))).body).toEqual([]);
    expect((await ask('POST', '/controllers/-/alarms/disk-nearly-full/shelve', request)).body).toMatchObject({
      controllerId: '',
      silences: [{ kind: 'shelved' }],
    });
  });

  it.each([
    ['a trip', of('trip/shelve'), request, 422, /never silent/],
    ['thirteen hours', of('filter-stopped/shelve'), { ...request, minutes: 780 }, 422, /12 hours at most.*got 780/],
    ['no reason', of('filter-stopped/shelve'), { ...request, reason: ' ' }, 422, /reason is missing/],
    ['no end', of('filter-stopped/shelve'), { reason: 'x' }, 400, /minutes/],
    ['more than is asked', of('filter-stopped/shelve'), { ...request, who: 'somebody' }, 400, /who/],
    [
      'high priority out of service',
      of('clip-hot/out-of-service'),
      { reason: 'x' },
      422,
      /high priority is never silent/,
    ],
    ['an alarm that does not exist', of('phantom/shelve'), request, 404, /no alarm .*phantom.*filter-stopped/],
    [
      'a controller that is not paired',
      '/controllers/elsewhere/alarms/trip/shelve',
      request,
      404,
      /No controller .*elsewhere/,
    ],
  ])('refuse %s, and say why', async (_what, path, body, status, words) => {
    const { ask, trial } = await pageOnTrial();
    const answer = await ask('POST', path, body);
    expect(answer.status).toBe(status);
    expect(JSON.stringify(answer.body)).toMatch(words);
    expect(rowsOf(trial.dashboard, 'SELECT * FROM alarm_silences')).toEqual([]);
  });

  it('tell one alarm that is too old for the snapshot, and say when there is none', async () => {
    const { ask, trial } = await pageOnTrial();
    const overWith = (alarmId: number): void => {
      trial.dashboard.alarms.acknowledge(alarmId, 'page', trial.clock.nowMs());
      trial.dashboard.alarms.returnToNormal(CONTROLLER, 'held', trial.clock.nowMs());
    };
    const old = raise(trial, 'held');
    overWith(old);
    // The snapshot carries the fifty newest of those that are over; a cause that comes back within ten minutes would be the same alarm.
    for (let later = 0; later < 50; later++) {
      trial.clock.advanceTo(trial.clock.nowMs() + 11 * 60_000);
      overWith(raise(trial, 'held'));
    }
    expect(trial.dashboard.snapshot().alarms.map((alarm) => alarm.alarmId)).not.toContain(old);
    const answer = await ask('GET', `/alarms/${String(old)}`);
    expect(answer.status).toBe(200);
    expect(answer.body).toMatchObject({ alarmId: old, name: 'held', state: 'normal', acknowledgedBy: 'page' });
    for (const unknown of ['999', '-1', 'held', '1e3', '9'.repeat(30)]) {
      const refused = await ask('GET', `/alarms/${unknown}`);
      expect(refused.status).toBe(404);
      expect(refused.body).toMatchObject({ error: expect.stringContaining(`no alarm ${unknown}`) as string });
    }
  });

  it('tell the journal by alarm, by name and page by page, newest first', async () => {
    const { ask, trial } = await pageOnTrial();
    const first = raise(trial, 'held');
    raise(trial, 'filter-stopped');
    trial.dashboard.alarms.acknowledge(first, 'page', trial.clock.nowMs());
    const acts = async (query: string): Promise<unknown> =>
      ((await ask('GET', `/alarms/journal${query}`)).body as { name: string; what: string }[]).map(
        ({ name, what }) => `${name} ${what}`,
      );
    expect(await acts('')).toEqual(['held acknowledged', 'filter-stopped raised', 'held raised']);
    expect(await acts(`?alarm=${String(first)}`)).toEqual(['held acknowledged', 'held raised']);
    expect(await acts(`?controller=${CONTROLLER}&alarm=filter-stopped`)).toEqual(['filter-stopped raised']);
    expect(await acts('?count=1')).toEqual(['held acknowledged']);
    expect(await acts('?before=3&count=1')).toEqual(['filter-stopped raised']);
    expect((await ask('GET', '/alarms/journal?count=501')).body).toMatchObject({
      error: 'count: expected a whole number from 1 to 500, got "501".',
    });
    expect((await ask('GET', '/alarms/journal?before=soon')).status).toBe(400);
    expect((await ask('GET', '/alarms/journal?alarm=phantom')).status).toBe(404);
  });

  it('tell the figures of a night, of the last twelve hours where none is named', async () => {
    const { ask, trial } = await pageOnTrial();
    const fromMs = trial.clock.nowMs();
    const alarmId = raise(trial, 'filter-stopped');
    await trial.pass(90);
    trial.dashboard.alarms.acknowledge(alarmId, 'page', trial.clock.nowMs());
    trial.dashboard.alarms.returnToNormal(CONTROLLER, 'filter-stopped', trial.clock.nowMs());
    await trial.pass(30);
    const toMs = fromMs + 3_600_000;
    expect((await ask('GET', `${of('figures')}?from=${String(fromMs)}&to=${String(toMs)}`)).body).toMatchObject({
      raisedCount: 1,
      raisedPerHour: 1,
      longestStanding: { alarmId, seconds: 90 },
      secondsToAcknowledgeMedian: 90,
    });
    expect((await ask('GET', of('figures'))).body).toMatchObject({ raisedCount: 1, toMs: fromMs + 120_000 });
    expect((await ask('GET', `${of('figures')}?from=${String(toMs)}&to=${String(fromMs)}`)).status).toBe(400);
  });
});
