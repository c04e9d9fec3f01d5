/*
 * The house of a whole dashboard: what happens when its store takes nothing, its broker is gone, its disk fills, its clock is set or it slept; the
 * heartbeat that stays away, and the leave-alone check over the page's own routes. Real store, broker and receivers; the clock is moved by hand.
 */
import { createServer, type RequestListener, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { statSync } from 'node:fs';
import { Writable } from 'node:stream';
import { createDashboard, type Dashboard, type ManualClock, manualClock } from '@bathkeeper/dashboard';
import { Condition, EventKind, Phase } from '@bathkeeper/shared-core/control';
import { type AlarmName, BringUpStep, type LeaveAloneView } from '@bathkeeper/shared-core/messages';
import { pino } from 'pino';
import { afterEach, describe, expect, it } from 'vitest';
import type { Evidence } from '../../../dashboard/server/house/computer-questions.js';
import { BYTES_PER_CONTROLLER_AND_DAY, type DiskSpace } from '../../../dashboard/server/house/disk-space.js';
import { type LeaveAloneFindings, leaveAloneView } from '../../../dashboard/server/house/leave-alone.js';
import { openLinkRecords } from '../../../dashboard/server/house/link-record.js';
import { webApplication } from '../../../dashboard/server/http/application.js';
import { openDoor } from '../../../dashboard/server/http/door.js';
import { openStore } from '../../../dashboard/server/store/store.js';
import { CONTROLLER, EVENING_MS, folderOnTrial, rowsOf, SECRET } from './dashboard-on-trial.js';
import { eventRow, INCARNATION, liveMessage, outbox, type QuietBath, quietBath, recordRow, RIG } from './quiet-bath.js';
import { addPerson } from './called-person.js';

const SECOND = 1000;
const MINUTE = 60 * SECOND;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

const closings: (() => Promise<void> | void)[] = [];
afterEach(async () => {
  for (const close of closings.splice(0).reverse()) await close();
});

interface HouseOnTrial {
  dashboard: Dashboard;
  bath: QuietBath;
  readonly folder: string;
  /** Timers; the time of day is `shiftMs` beside it. */
  clock: ManualClock;
  /** Somebody sets the clock. */
  shiftMs: number;
  /** The computer has slept this long, its steady count with it. */
  sleptMs: number;
  disk: DiskSpace | undefined;
  earliestMs: number;
  readonly log: string[];
  pass(seconds: number): Promise<void>;
  restart(seconds: number): Promise<void>;
}

async function houseOnTrial(): Promise<HouseOnTrial> {
  const log: string[] = [];
  const sink = new Writable({
    write: (bytes: Buffer, _encoding, done) => {
      log.push(String(bytes));
      done();
    },
  });
  const folder = folderOnTrial();
  const house: HouseOnTrial = {
    dashboard: undefined as unknown as Dashboard,
    bath: undefined as unknown as QuietBath,
    folder,
    clock: manualClock(EVENING_MS),
    shiftMs: 0,
    sleptMs: 0,
    disk: { freeBytes: 20e9, totalBytes: 32e9 },
    earliestMs: 0,
    log,
    pass: async (seconds) => {
      // In steps, so that what is asked of the disk is answered on the way.
      for (let left = seconds; left > 0; left -= 5) {
        house.clock.advanceTo(house.clock.nowMs() + Math.min(5, left) * SECOND);
        await house.dashboard.settle();
      }
    },
    restart: async (seconds) => {
      const nowMs = house.clock.nowMs() + seconds * SECOND;
      await house.dashboard.close();
      house.clock = manualClock(nowMs);
      await open();
      house.bath = await quietBath(house.dashboard, CONTROLLER, SECRET);
    },
  };
  const open = async (): Promise<void> => {
    const { clock } = house;
    house.dashboard = await createDashboard({
      clock: { ...clock, nowMs: () => clock.nowMs() + house.shiftMs + house.sleptMs },
      dataFolder: folder,
      logger: pino({ level: 'trace' }, sink),
      computer: {
        probes: {
          upMs: () => clock.steadyMs() + house.sleptMs,
          diskSpace: () => Promise.resolve(house.disk),
          get earliestMs() {
            return house.earliestMs;
          },
        },
      },
    });
  };
  await open();
  await house.dashboard.pair(CONTROLLER, 'Copper 60 L', false, RIG, SECRET);
  house.bath = await quietBath(house.dashboard, CONTROLLER, SECRET);
  closings.push(() => house.dashboard.close());
  return house;
}

type Told = { name: string; state: string; detail: string; priority: string };
function alarmsOf(house: HouseOnTrial, controllerId = ''): Told[] {
  return house.dashboard.alarms
    .views(house.clock.nowMs())
    .filter((alarm) => alarm.controllerId === controllerId)
    .map(({ name, state, detail, priority }) => ({ name, state, detail, priority }));
}

/** Somebody's phone, behind a webhook; what it was told. */
async function phone(house: HouseOnTrial): Promise<{ title: string; message: string }[]> {
  const told: { title: string; message: string }[] = [];
  const address = await receiver((body) => told.push(JSON.parse(body) as { title: string; message: string }));
  addPerson(house.dashboard, address);
  await house.dashboard.settle();
  return told;
}
async function receiver(take: (body: string) => void): Promise<string> {
  const server: Server = createServer((request, response) => {
    let text = '';
    request.on('data', (bytes: Buffer) => (text += String(bytes)));
    request.on('end', () => {
      take(text);
      response.writeHead(204).end();
    });
  });
  await new Promise<void>((done) => void server.listen(0, '127.0.0.1', done));
  closings.push(() => {
    server.closeAllConnections();
    server.close();
  });
  return `http://127.0.0.1:${String((server.address() as AddressInfo).port)}/hook-of-the-owner`;
}

describe('a store that takes nothing', () => {
  const refuseWrites = (house: HouseOnTrial): void => void house.dashboard.store.database.pragma('query_only = ON');
  const takeWrites = (house: HouseOnTrial): void => void house.dashboard.store.database.pragma('query_only = OFF');

  it('calls from memory within half a minute, says so on the page, and is in the journal once it takes something again', async () => {
    const house = await houseOnTrial();
    const told = await phone(house);
    refuseWrites(house);
    await house.pass(30);
    expect(told.map((call) => call.title)).toEqual(['Bathkeeper: The store cannot be written']);
    expect(told[0]!.message).toMatch(
      /^[A-Z].*\. Seen: a row of one number is refused: .*readonly.*cannot be acknowledged/,
    );
    expect(house.dashboard.snapshot().notices.join()).toContain('The store cannot be written: not in the store');
    expect(house.dashboard.house.watch.problem()).toContain('The store cannot be written');
    expect(alarmsOf(house)).toEqual([]);
    takeWrites(house);
    await house.pass(60);
    expect(alarmsOf(house)).toEqual([
      {
        name: 'store-not-writable',
        state: 'returned-unacknowledged',
        priority: 'low',
        detail: expect.stringMatching(/^for .* over now; calls went out from memory$/) as string,
      },
    ]);
    expect(house.dashboard.snapshot().notices).toEqual([]);
    await house.pass(180);
    expect(told, 'nobody is called a second time for what is over').toHaveLength(1);
    expect(house.dashboard.house.watch.problem()).toBeUndefined();
  });

  it('rings again from memory after ten minutes also where the clock is set back meanwhile', async () => {
    const house = await houseOnTrial();
    const told = await phone(house);
    refuseWrites(house);
    await house.pass(30);
    const ofTheStore = () => told.filter((call) => /store cannot be written/i.test(call.title + call.message.replace('The dashboard cannot write its store', ''))); // prettier-ignore
    expect(ofTheStore()).toHaveLength(1);
    house.shiftMs = -2 * HOUR;
    await house.pass(11 * 60);
    expect(ofTheStore()).toHaveLength(2);
  });

  it('loses no trip: the phone rings from memory at once, and the alarm is in the store as soon as that is possible', async () => {
    const house = await houseOnTrial();
    const told = await phone(house);
    house.bath.say('live', liveMessage());
    await house.pass(5);
    refuseWrites(house);
    const trip = eventRow({
      sequence: 1,
      kind: EventKind.conditionRaised,
      code: Condition.emergencyStop,
      uptime: 100_000,
    });
    const say = (phaseSeconds: number): void => {
      house.bath.say('outbox', outbox([], [trip], 100_000 + phaseSeconds * 10));
      house.bath.say('live', liveMessage({ phase: Phase.trip, phaseSeconds, current: 0, permitted: 0, contactorClosed: 0 }, 100_000 + phaseSeconds * 10)); // prettier-ignore
    };
    for (let second = 0; second < 15; second += 5) {
      say(second);
      await house.pass(5);
    }
    expect(told.filter((call) => call.title.startsWith('Copper 60 L: Tripped'))).toHaveLength(1);
    expect(house.bath.acks, 'what is not on disk is not acknowledged to the controller').toEqual([]);
    takeWrites(house);
    say(15);
    await house.pass(5);
    expect(house.bath.acks.at(-1)).toMatchObject({ e: 1 });
    expect(alarmsOf(house, CONTROLLER)).toEqual([expect.objectContaining({ name: 'trip', state: 'unacknowledged' })]);
  });

  it('calls from memory for an alarm whose shelf ends meanwhile, and once more from the store when that can be written', async () => {
    const house = await houseOnTrial();
    const told = await phone(house);
    const nowMs = house.clock.nowMs();
    const { alarms } = house.dashboard;
    const shelve = (name: AlarmName, minutes: number) =>
      alarms.shelve(CONTROLLER, name, { reason: 'the filter is being cleaned', minutes }, 'page', nowMs);
    for (const name of ['filter-stopped', 'agitation-stopped'] as const) {
      shelve(name, name === 'filter-stopped' ? 1 : 60);
      alarms.raise({ controllerId: CONTROLLER, name, causeAtMs: nowMs, detail: 'seen' }, nowMs);
    }
    await house.pass(30);
    expect(told).toEqual([]);
    refuseWrites(house);
    await house.pass(60);
    const ofTheBath = (): string[] => told.map((call) => call.title).filter((title) => title.startsWith('Copper'));
    expect(ofTheBath()).toEqual(['Copper 60 L: The filter stopped']);
    expect(told.at(-1)!.message).toContain('in its memory only');
    takeWrites(house);
    await house.pass(60);
    expect(ofTheBath()).toHaveLength(2);
    expect(house.dashboard.snapshot().notices).toEqual([]);
    expect(alarms.silences(CONTROLLER, house.clock.nowMs()).map((one) => one.name)).toEqual(['agitation-stopped']);
  });

  it('calls for a bath that falls silent in its run, though an idle one fell silent before it', async () => {
    const house = await houseOnTrial();
    const told = await phone(house);
    house.bath.say('live', liveMessage({ phase: Phase.idle, current: 0, permitted: 0, contactorClosed: 0 }));
    const second = 'south-bench';
    const secret = 'd1'.repeat(32);
    await house.dashboard.pair(second, 'Copper 200 L', false, RIG, secret);
    const running = await quietBath(house.dashboard, second, secret);
    running.say('live', liveMessage());
    await house.pass(5);
    refuseWrites(house);
    await house.pass(60);
    expect(told.map((call) => `${call.title} ${call.message}`).join('; ')).toContain('Copper 200 L: The controller is not heard'); // prettier-ignore
    await running.leave();
  });

  it('calls for a trip of a bath that was held, though that hold cannot be ended in the store', async () => {
    const house = await houseOnTrial();
    const told = await phone(house);
    const seen = { phase: Phase.hold, current: 190, permitted: 190, phaseSeconds: 10 };
    house.bath.say('live', liveMessage(seen));
    await house.pass(5);
    expect(alarmsOf(house, CONTROLLER)).toEqual([expect.objectContaining({ name: 'held', state: 'unacknowledged' })]);
    refuseWrites(house);
    for (let second = 1; second < 15; second += 2) {
      house.bath.say('live', liveMessage({ phase: Phase.trip, phaseSeconds: second, current: 0, permitted: 0, contactorClosed: 0 })); // prettier-ignore
      await house.pass(2);
    }
    expect(told.filter((call) => call.title.startsWith('Copper 60 L: Tripped'))).toHaveLength(1);
  });

  it('loses no trip where only the end of the transaction fails, as on a full disk, and rings once for it however often it is told', async () => {
    const house = await houseOnTrial();
    const told = await phone(house);
    house.bath.say('live', liveMessage());
    await house.pass(5);
    // A debt that is asked for at the commit: each row of an alarm is taken, and none is kept.
    house.dashboard.store.database.exec(`
      PRAGMA foreign_keys = ON;
      CREATE TABLE owners (id INTEGER PRIMARY KEY);
      CREATE TABLE debts (id INTEGER REFERENCES owners (id) DEFERRABLE INITIALLY DEFERRED);
      CREATE TRIGGER owed AFTER INSERT ON alarms BEGIN INSERT INTO debts VALUES (1); END;`);
    const trip = eventRow({
      sequence: 1,
      kind: EventKind.conditionRaised,
      code: Condition.emergencyStop,
      uptime: 100_000,
    });
    for (let second = 0; second < 30; second += 5) {
      house.bath.say('outbox', outbox([], [trip], 100_000 + second * 10));
      await house.pass(1);
      if (second === 0)
        expect(
          told.map((call) => call.title),
          'from the event alone',
        ).toEqual([expect.stringMatching(/^Copper 60 L: Tripped/)]);
      house.bath.say('live', liveMessage({ phase: Phase.trip, phaseSeconds: second, current: 0, permitted: 0, contactorClosed: 0 }, 100_000 + second * 10)); // prettier-ignore
      await house.pass(4);
    }
    expect(told).toHaveLength(1);
    expect(alarmsOf(house, CONTROLLER)).toEqual([]);
    house.dashboard.store.database.exec('DROP TRIGGER owed');
    house.bath.say('outbox', outbox([], [trip], 100_350));
    await house.pass(5);
    expect(alarmsOf(house, CONTROLLER)).toEqual([expect.objectContaining({ name: 'trip', state: 'unacknowledged' })]);
    expect(house.dashboard.snapshot().notices).toEqual([]);
  });

  it('holds the outward heartbeat back, and says so on the page', async () => {
    const house = await houseOnTrial();
    let beats = 0;
    const address = await receiver(() => beats++);
    house.dashboard.house.heartbeat.set({ address, everyMinutes: 1, allowPrivateAddress: true });
    await house.pass(130);
    expect(beats).toBe(3);
    refuseWrites(house);
    await house.pass(600);
    expect(beats).toBe(3);
    expect(house.dashboard.house.heartbeat.view().lastFailure).toContain('The store cannot be written');
    expect(house.dashboard.snapshot().notices).toContainEqual(
      expect.stringMatching(/^The outward heartbeat stays away\. Held back, since the watch does not run\. The store/),
    );
    takeWrites(house);
    await house.pass(15);
    expect(beats).toBe(4);
    expect(house.dashboard.snapshot().notices.join()).not.toContain('heartbeat');
  });
});

describe('the broker', () => {
  it('that is gone is an alarm after ten seconds, holds the heartbeat back, and its return ends it', async () => {
    const house = await houseOnTrial();
    const told = await phone(house);
    await house.dashboard.broker.close();
    await house.pass(30);
    expect(alarmsOf(house)).toEqual([
      expect.objectContaining({ name: 'broker-lost', state: 'unacknowledged', priority: 'high' }),
    ]);
    expect(told.map((call) => call.title)).toEqual(['Bathkeeper: The broker is lost: no controller can be heard']);
    expect(house.dashboard.house.watch.problem()).toContain('The broker is lost');
    await house.dashboard.restartBroker();
    await house.pass(30);
    expect(alarmsOf(house)).toEqual([
      expect.objectContaining({ name: 'broker-lost', state: 'returned-unacknowledged' }),
    ]);
  });

  it('that no longer listens is lost to the controllers', async () => {
    const house = await houseOnTrial();
    await house.dashboard.broker.listen('127.0.0.1', 0, 0);
    expect(house.dashboard.broker.isListening).toBe(true);
    await house.pass(30);
    expect(alarmsOf(house)).toEqual([]);
  });
});

describe('the disk', () => {
  it('that is nearly full is an alarm with both numbers, over once there is room with a tenth to spare', async () => {
    const house = await houseOnTrial();
    house.disk = { freeBytes: 400e6, totalBytes: 32e9 };
    await house.pass(120);
    expect(alarmsOf(house)).toEqual([
      {
        name: 'disk-nearly-full',
        state: 'unacknowledged',
        priority: 'medium',
        detail: '400 MB of 32.0 GB are free; expected at least 512 MB',
      },
    ]);
    house.disk = { freeBytes: 550e6, totalBytes: 32e9 };
    await house.pass(120);
    expect(alarmsOf(house)[0]!.state, 'within the deadband').toBe('unacknowledged');
    house.disk = { freeBytes: 600e6, totalBytes: 32e9 };
    await house.pass(120);
    expect(alarmsOf(house)[0]!.state).toBe('returned-unacknowledged');
  });

  it('that does not say is no alarm, and not known to the leave-alone check', async () => {
    const house = await houseOnTrial();
    house.disk = undefined;
    await house.pass(180);
    expect(alarmsOf(house)).toEqual([]);
    const view = await house.dashboard.house.leaveAlone(CONTROLLER);
    expect(view.items.find((item) => item.name === 'disk')!.state).toBe('unknown');
  });
});

describe('the clock', () => {
  it.each([
    ['forward', 3 * HOUR, 'it was set forward by 3 h'],
    ['back', -HOUR, 'it was set back by 1 h'],
  ])('that is set %s is told for ten minutes, and doubted as long', async (_way, shiftMs, words) => {
    const house = await houseOnTrial();
    await house.pass(20);
    house.shiftMs = shiftMs;
    await house.pass(15);
    expect(alarmsOf(house)).toEqual([
      expect.objectContaining({ name: 'clock-wrong', state: 'unacknowledged', detail: expect.stringContaining(words) as string }), // prettier-ignore
    ]);
    expect(house.dashboard.house.watch.isClockDoubted()).toBe(true);
    await house.pass(700);
    expect(alarmsOf(house).map(({ name, state }) => [name, state])).toEqual([
      ['clock-wrong', 'returned-unacknowledged'],
    ]);
    expect(house.dashboard.house.watch.isClockDoubted()).toBe(false);
  });

  it.each(['while the dashboard runs', 'while it is down'])(
    'that is set back by two hours %s delays no reminder of a call',
    async (when) => {
      const house = await houseOnTrial();
      const told = await phone(house);
      house.dashboard.alarms.raise(
        { controllerId: CONTROLLER, name: 'trip', causeAtMs: house.clock.nowMs(), detail: 'as seen' },
        house.clock.nowMs(),
      );
      const tripCalls = (): number => told.filter((call) => call.title.startsWith('Copper 60 L: Tripped')).length;
      await house.pass(60);
      expect(tripCalls()).toBe(1);
      house.shiftMs = -2 * HOUR;
      if (when === 'while it is down') await house.restart(5);
      await house.pass(6 * 60);
      expect(tripCalls()).toBe(2);
      await house.pass(10 * 60);
      expect(tripCalls()).toBe(4);
    },
  );

  it('that is set forward by three hours rings nobody whose turn has not come, and calls no controller silent that is heard', async () => {
    const house = await houseOnTrial();
    const told = await phone(house);
    const next: { title: string }[] = [];
    const address = await receiver((body) => next.push(JSON.parse(body) as { title: string }));
    addPerson(house.dashboard, address, { name: 'Second' });
    const heard = async (seconds: number): Promise<void> => {
      for (let second = 0; second < seconds; second += 5) {
        house.bath.say('live', liveMessage({ phase: Phase.trip, current: 0, permitted: 0, contactorClosed: 0 }));
        await house.pass(5);
      }
    };
    await heard(10);
    const tripCalls = (calls: readonly { title: string }[]): number =>
      calls.filter((call) => call.title.startsWith('Copper 60 L: Tripped')).length;
    expect(tripCalls(told)).toBe(1);
    house.shiftMs = 3 * HOUR;
    await heard(4 * 60);
    expect([tripCalls(told), tripCalls(next)]).toEqual([1, 0]);
    await heard(90);
    expect([tripCalls(told), tripCalls(next)]).toEqual([2, 0]);
    await heard(5 * 60);
    expect([tripCalls(told), tripCalls(next)]).toEqual([3, 1]);
    expect(alarmsOf(house, CONTROLLER).map(({ name }) => name)).toEqual(['trip']);
  });

  it('that is set back by two hours hides neither a silent controller nor a current that is off, and keeps no heartbeat away', async () => {
    const house = await houseOnTrial();
    let beats = 0;
    const address = await receiver(() => beats++);
    house.dashboard.house.heartbeat.set({ address, everyMinutes: 1, allowPrivateAddress: true });
    const say = async (seconds: number, current: number): Promise<void> => {
      for (let second = 0; second < seconds; second += 5) {
        house.bath.say('live', liveMessage({ current }));
        await house.pass(5);
      }
    };
    await say(60, 1900);
    house.shiftMs = -2 * HOUR;
    await say(60, 1900);
    expect(alarmsOf(house, CONTROLLER)).toEqual([]);
    const before = beats;
    await say(120, 1700);
    expect(alarmsOf(house, CONTROLLER)).toEqual([expect.objectContaining({ name: 'current-off-permitted' })]);
    expect(beats).toBe(before + 2);
    await house.pass(30);
    expect(alarmsOf(house, CONTROLLER)[0]).toMatchObject({ name: 'controller-silent', state: 'unacknowledged' });
  });

  it('that is set back while a controller is silent does not take its silence for a voice', async () => {
    const house = await houseOnTrial();
    house.bath.say('live', liveMessage());
    await house.pass(5);
    house.shiftMs = -2 * HOUR;
    await house.pass(30);
    expect(alarmsOf(house, CONTROLLER)).toEqual([
      expect.objectContaining({ name: 'controller-silent', state: 'unacknowledged' }),
    ]);
    const nowMs = house.clock.nowMs() + house.shiftMs;
    expect(house.dashboard.book.view(CONTROLLER, nowMs).isOnline).toBe(false);
  });

  it('that is corrected by half a minute is nothing', async () => {
    const house = await houseOnTrial();
    await house.pass(20);
    house.shiftMs = 30 * SECOND;
    await house.pass(60);
    expect(alarmsOf(house)).toEqual([]);
  });

  it('that is earlier than the program stays wrong until it is set', async () => {
    const house = await houseOnTrial();
    house.earliestMs = EVENING_MS + 300 * DAY;
    await house.restart(1);
    await house.pass(20 * 60);
    expect(alarmsOf(house)).toEqual([
      expect.objectContaining({ name: 'clock-wrong', state: 'unacknowledged', detail: 'it shows 2026-01-10T20:00Z, before this program was built' }), // prettier-ignore
    ]);
    house.shiftMs = 301 * DAY;
    await house.pass(30 * 60);
    expect(alarmsOf(house)[0]!.state).toBe('returned-unacknowledged');
  });

  it('that shows less than before the start is told', async () => {
    const house = await houseOnTrial();
    await house.pass(3600);
    await house.restart(-1800);
    await house.pass(15);
    expect(alarmsOf(house)).toEqual([
      expect.objectContaining({ name: 'clock-wrong', detail: 'it shows 30 min less than it did before this start' }),
    ]);
  });

  const uptime = (seconds: number): number => 100_000 + seconds * 10;
  it('is told by a controller that ran on while the dashboard was off: it counted an hour, the clock shows three', async () => {
    const house = await houseOnTrial();
    house.bath.say('outbox', outbox([recordRow({ first: 1 })], [], uptime(0)));
    await house.pass(10);
    await house.restart(3 * 3600);
    house.bath.say('outbox', outbox([recordRow({ first: 2 })], [], uptime(3610)));
    house.bath.say('live', liveMessage({}, uptime(3610)));
    await house.pass(5);
    house.bath.say('live', liveMessage({}, uptime(3615)));
    await house.pass(15);
    expect(alarmsOf(house)).toEqual([
      expect.objectContaining({ name: 'clock-wrong', detail: 'it shows 2 h more than north-bench has counted since before this start' }), // prettier-ignore
    ]);
  });

  it('is believed when the controller agrees, when its count stands, and when it restarted as well', async () => {
    for (const later of [
      { u: uptime(3 * 3600 + 10), then: uptime(3 * 3600 + 15), b: 1 },
      { u: uptime(0), then: uptime(0), b: 1 },
      { u: 50, then: 100, b: 2 },
    ]) {
      const house = await houseOnTrial();
      house.bath.say('outbox', outbox([recordRow({ first: 1 })], [], uptime(0)));
      await house.pass(10);
      await house.restart(3 * 3600);
      house.bath.say('live', { ...liveMessage({}, later.u), b: later.b });
      await house.pass(5);
      house.bath.say('live', { ...liveMessage({}, later.then), b: later.b });
      await house.pass(15);
      expect(alarmsOf(house)).toEqual([]);
    }
  });
});

describe('a watch that stood still', () => {
  it('calls when a run was live, and says for how long nobody watched', async () => {
    const house = await houseOnTrial();
    const told = await phone(house);
    house.bath.say('live', liveMessage());
    await house.pass(5);
    house.sleptMs = 6 * HOUR;
    await house.pass(15);
    const [alarm] = alarmsOf(house).filter((one) => one.name === 'watch-stood-still');
    expect(alarm).toMatchObject({ state: 'unacknowledged', priority: 'high' });
    expect(alarm!.detail).toMatch(/^for 6 h until now; this computer slept/);
    expect(alarmsOf(house).some((one) => one.name === 'clock-wrong')).toBe(false);
    expect(told.some((call) => call.title.includes('The watch stood still'))).toBe(true);
    await house.pass(700);
    expect(alarmsOf(house)[0]!.state).toBe('returned-unacknowledged');
  });

  it('wakes nobody when nothing ran', async () => {
    const house = await houseOnTrial();
    const told = await phone(house);
    await house.pass(20);
    house.sleptMs = 6 * HOUR;
    await house.pass(20);
    expect(alarmsOf(house).map(({ name, priority }) => [name, priority])).toEqual([['watch-stood-still', 'low']]);
    expect(told).toEqual([]);
  });
});

describe('the routes of the house', () => {
  async function pageOn(house: HouseOnTrial) {
    const door = openDoor(house.dashboard.store, house.clock);
    const app = webApplication({
      dashboard: house.dashboard,
      door,
      pageFolder: house.folder,
      notices: () => [],
      press: () => undefined,
      mqttPort: () => 1883,
      hostAddress: () => '192.0.2.1',
      pairedReal: () => undefined,
    });
    const server = createServer(app as RequestListener);
    await new Promise<void>((done) => void server.listen(0, '127.0.0.1', done));
    closings.push(() => {
      server.closeAllConnections();
      server.close();
    });
    const address = `http://127.0.0.1:${String((server.address() as AddressInfo).port)}`;
    let cookie = '';
    const ask = async (method: string, path: string, body?: unknown) => {
      const response = await fetch(address + path, {
        method,
        headers: { 'content-type': 'application/json', cookie },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      });
      cookie = (response.headers.get('set-cookie') ?? cookie).split(';')[0]!;
      return { status: response.status, text: await response.text() };
    };
    const enter = () =>
      ask('POST', '/api/first-start', { token: door.firstStartToken, passphrase: 'copper grows at night' });
    return { ask, enter };
  }

  it('are shut to who was not let in', async () => {
    const { ask } = await pageOn(await houseOnTrial());
    for (const [method, path] of [['GET', '/api/heartbeat'], ['PUT', '/api/heartbeat'], ['GET', `/api/controllers/${CONTROLLER}/leave-alone`]] as const)
      expect((await ask(method, path, method === 'PUT' ? {} : undefined)).status).toBe(401);
  }); // prettier-ignore

  it('take a heartbeat’s address and never show it again, neither in answers nor in the log', async () => {
    const house = await houseOnTrial();
    const { ask, enter } = await pageOn(house);
    await enter();
    let beats = 0;
    const address = await receiver(() => beats++);
    const put = await ask('PUT', '/api/heartbeat', { address, everyMinutes: 5, allowPrivateAddress: true });
    expect(JSON.parse(put.text)).toMatchObject({ isSet: true, everyMinutes: 5 });
    await house.pass(5);
    expect(beats).toBe(1);
    house.dashboard.house.heartbeat.set({ address: address.replace('127.0.0.1', 'no-such-name.invalid'), everyMinutes: 5, allowPrivateAddress: true }); // prettier-ignore
    await house.pass(5);
    const got = await ask('GET', '/api/heartbeat');
    const leave = await ask('GET', `/api/controllers/${CONTROLLER}/leave-alone`);
    const state = await ask('GET', '/api/state');
    for (const text of [
      put.text,
      got.text,
      leave.text,
      state.text,
      house.log.join(''),
      JSON.stringify(rowsOf(house.dashboard, 'SELECT * FROM settings')),
    ])
      // prettier-ignore
      expect(text).not.toContain('hook-of-the-owner');
  });

  it('refuse what is no heartbeat, every fault at once', async () => {
    const { ask, enter } = await pageOn(await houseOnTrial());
    await enter();
    const wrong = await ask('PUT', '/api/heartbeat', { address: 5, everyMinutes: 0 });
    expect(wrong.status).toBe(400);
    expect((JSON.parse(wrong.text) as { problems: string[] }).problems).toHaveLength(3);
    const scheme = await ask('PUT', '/api/heartbeat', { address: 'ftp://example.org/', everyMinutes: 5, allowPrivateAddress: false }); // prettier-ignore
    expect([scheme.status, scheme.text]).toEqual([
      422,
      expect.stringContaining('begins with ftp:, expected http: or https:'),
    ]);
    expect((await ask('GET', '/api/controllers/nobody/leave-alone')).status).toBe(404);
  });

  it('answer the leave-alone check of a bath that was just paired: everything that is missing, with a reason', async () => {
    const { ask, enter } = await pageOn(await houseOnTrial());
    await enter();
    const view = JSON.parse((await ask('GET', `/api/controllers/${CONTROLLER}/leave-alone`)).text) as LeaveAloneView;
    expect(view.items.map(({ name, state }) => [name, state])).toEqual([
      ['call-confirmed', 'missing'],
      ['page-address', 'missing'],
      ['link-quality', 'missing'],
      ['rig-limits', 'unknown'],
      ['calibration-age', 'unknown'],
      ['disk', 'good'],
      ['sleep', 'unknown'],
      ['automatic-update', 'unknown'],
      ['starts-after-power-cut', 'unknown'],
      ['clock', 'unknown'],
      ['outward-heartbeat', 'missing'],
      ['finish-time', 'missing'],
    ]);
    for (const { state, words } of view.items)
      if (state !== 'good') expect(words, 'what was found, and what to do').toMatch(/^[A-Z].*[.:,?] .*\w/);
    expect(view.plannedFinishAtMs).toBeNull();
  });

  it('know of limits and calibrations that the controller told', async () => {
    const house = await houseOnTrial();
    const steps = [BringUpStep.limitsSet, BringUpStep.currentCalibrated, BringUpStep.temperatureCalibrated];
    house.bath.say('outbox', outbox([], steps.map((code, index) => eventRow({ sequence: index + 1, kind: EventKind.bringUpDone, code, uptime: 100_000 })))); // prettier-ignore
    house.bath.say('live', liveMessage());
    await house.pass(5);
    const state = async (name: string) =>
      (await house.dashboard.house.leaveAlone(CONTROLLER)).items.find((item) => item.name === name)!.state;
    expect([await state('rig-limits'), await state('calibration-age')]).toEqual(['good', 'good']);
  });
});

describe('the leave-alone check', () => {
  const fine: Evidence = { state: 'good', words: 'Fine.' };
  const nowMs = EVENING_MS;
  const wellFound: LeaveAloneFindings = {
    nowMs,
    controller: {
      controllerId: CONTROLLER, bathName: 'Copper 60 L', isSimulated: false, isOnline: true, lastHeardAtMs: nowMs, waitingRecipe: null,
      live: { phase: Phase.plate } as never, run: { plannedFinishAtMs: nowMs + 9 * HOUR } as never, commands: [],
      recordsWaitingAtController: 0, mustBePairedAgain: false,
      told: { interruptions: [], secondMeansOpened: null, bringUp: [
        { step: BringUpStep.limitsSet, atMs: nowMs - 90 * DAY, a: 0, b: 0 },
        { step: BringUpStep.currentCalibrated, atMs: nowMs - 90 * DAY, a: 0, b: 0 },
        { step: BringUpStep.temperatureCalibrated, atMs: nowMs - 80 * DAY, a: 0, b: 0 },
      ] },
    },
    controllerCount: 1,
    thisDevice: undefined,
    lastConfirmation: { atMs: nowMs - 2 * HOUR, contactName: 'the workshop' },
    contactCount: 1,
    pageAddress: 'http://192.168.1.20:4180/',
    link: { secondsExpected: 21_600, secondsStored: 21_600, reconnects: 0, watchedMs: 6 * HOUR },
    disk: { freeBytes: 20e9, totalBytes: 32e9 },
    computer: { sleep: fine, automaticUpdate: fine, startsAfterPowerCut: fine, clock: fine },
    isClockDoubted: false,
    heartbeat: { isSet: true, shownAddress: 'https://example.org/…', everyMinutes: 5, lastAnsweredAtMs: nowMs - MINUTE, lastFailure: null },
  }; // prettier-ignore
  const { controller } = wellFound;
  const told = (found: Partial<LeaveAloneFindings>, name: string) =>
    leaveAloneView({ ...wellFound, ...found }).items.find((item) => item.name === name)!;

  it('finds nothing missing where nothing is', () => {
    const view = leaveAloneView(wellFound);
    expect(view.items.filter((item) => item.state !== 'good')).toEqual([]);
    expect(view.plannedFinishAtMs).toBe(nowMs + 9 * HOUR);
  });

  it.each<[string, LeaveAloneView['items'][number]['name'], 'missing' | 'unknown' | 'good', RegExp, Partial<LeaveAloneFindings>]>([
    ['no link in a call', 'page-address', 'missing', /have no link/, { pageAddress: undefined }],
    ['a link to this computer alone', 'page-address', 'missing', /no phone can open/, { pageAddress: 'http://127.0.0.1:4180/' }],
    ['a link to this computer by its name', 'page-address', 'missing', /no phone can open/, { pageAddress: 'https://localhost:4443/' }],
    ['a link to a name', 'page-address', 'good', /try it on the phone/, { pageAddress: 'https://127-bath.example.org/' }],
    ['nobody to call', 'call-confirmed', 'missing', /Nobody can be called/, { contactCount: 0 }],
    ['no call ever confirmed', 'call-confirmed', 'missing', /never|No call was ever confirmed/, { lastConfirmation: undefined }],
    ['a call confirmed a day ago', 'call-confirmed', 'good', /24 h ago/, { lastConfirmation: { atMs: nowMs - DAY, contactName: 'x' } }],
    ['a call confirmed longer ago', 'call-confirmed', 'missing', /longer than a day/, { lastConfirmation: { atMs: nowMs - DAY - 1, contactName: 'x' } }],
    ['a call that another phone confirmed', 'call-confirmed', 'missing', /No call was ever confirmed on this phone/, { thisDevice: { lastConfirmedAtMs: null } }],
    ['a call that this phone confirmed', 'call-confirmed', 'good', /on this phone 3 h ago/, { thisDevice: { lastConfirmedAtMs: nowMs - 3 * HOUR }, lastConfirmation: undefined }],
    ['a call that this phone confirmed longer ago', 'call-confirmed', 'missing', /on this phone .*longer than a day/, { thisDevice: { lastConfirmedAtMs: nowMs - DAY - 1 } }],
    ['a device that is not called', 'call-confirmed', 'good', /the workshop .*This device itself is not called/, {}],
    ['a controller that is not heard', 'link-quality', 'missing', /not heard now/, { controller: { ...controller, isOnline: false } }],
    ['no record yet', 'link-quality', 'unknown', /No record/, { link: { ...wellFound.link, secondsExpected: 0, secondsStored: 0 } }],
    ['one record in a hundred missing', 'link-quality', 'good', /216 s of the last 6 h/, { link: { ...wellFound.link, secondsStored: 21_384 } }],
    ['more missing', 'link-quality', 'missing', /217 s/, { link: { ...wellFound.link, secondsStored: 21_383 } }],
    ['a link that comes and goes', 'link-quality', 'missing', /4 times/, { link: { ...wellFound.link, reconnects: 4 } }],
    ['records that wait', 'link-quality', 'missing', /300 records wait/, { controller: { ...controller, recordsWaitingAtController: 300 } }],
    ['limits never told', 'rig-limits', 'unknown', /never told/, { controller: { ...controller, told: undefined as never } }],
    ['an old calibration', 'calibration-age', 'missing', /current 184 days ago.*longer than half a year/, { controller: { ...controller, told: { ...controller.told!, bringUp: controller.told!.bringUp.map((one) => one.step === BringUpStep.currentCalibrated ? { ...one, atMs: nowMs - 184 * DAY } : one) } } }],
    ['a calibration never told', 'calibration-age', 'unknown', /temperature was calibrated/, { controller: { ...controller, told: { ...controller.told!, bringUp: controller.told!.bringUp.slice(0, 2) } } }],
    ['a full disk', 'disk', 'missing', /100 MB of 32\.0 GB are free, expected at least 512 MB/, { disk: { freeBytes: 100e6, totalBytes: 32e9 } }],
    ['a clock that was set', 'clock', 'missing', /see the alarm/, { isClockDoubted: true }],
    ['a computer that sleeps', 'sleep', 'missing', /It sleeps/, { computer: { ...wellFound.computer, sleep: { state: 'missing', words: 'It sleeps.' } } }],
    ['no heartbeat', 'outward-heartbeat', 'missing', /nobody outside notices/, { heartbeat: { ...wellFound.heartbeat, isSet: false } }],
    ['a heartbeat that fails', 'outward-heartbeat', 'missing', /No answer/, { heartbeat: { ...wellFound.heartbeat, lastFailure: 'No answer within 10 s.' } }],
    ['a heartbeat not answered yet', 'outward-heartbeat', 'unknown', /not been answered yet/, { heartbeat: { ...wellFound.heartbeat, lastAnsweredAtMs: null } }],
    ['a held run', 'finish-time', 'missing', /nobody can tell/, { controller: { ...controller, run: { plannedFinishAtMs: null } as never } }],
    ['a recipe that waits', 'finish-time', 'good', /about 9 h/, { controller: { ...controller, live: { phase: Phase.ready } as never, waitingRecipe: { plannedSeconds: 9 * 3600 } as never } }],
    ['no run', 'finish-time', 'missing', /nothing to leave alone/, { controller: { ...controller, live: null } }],
  ])('%s', (_what, name, state, words, found) => {
    const item = told(found, name);
    expect([item.state, item.words]).toEqual([state, expect.stringMatching(words)]);
  }); // prettier-ignore

  it('asks no calibration of a simulated bath', () => {
    const simulated = { controller: { ...controller, isSimulated: true, told: { ...controller.told!, bringUp: [] } } };
    expect([told(simulated, 'rig-limits').state, told(simulated, 'calibration-age').state]).toEqual(['good', 'good']);
  });
});

describe('the record of a link', () => {
  it('counts seconds that are missing, of the newest memory of the controller, and connections after the first', () => {
    const store = openStore(':memory:');
    const take = (incarnation: number, rows: number[][], receivedAtMs: number): void => {
      store.takeOutbox({ controllerId: CONTROLLER, incarnation, boot: 1, uptimeTenths: 100_000, receivedAtMs, records: rows, events: [] }); // prettier-ignore
    };
    const links = openLinkRecords(store, EVENING_MS);
    expect(links.of(CONTROLLER, EVENING_MS)).toEqual({
      secondsExpected: 0,
      secondsStored: 0,
      reconnects: 0,
      watchedMs: 0,
    });
    take(1, [recordRow({ first: 1 }), recordRow({ first: 500 })], EVENING_MS - DAY);
    take(INCARNATION, [recordRow({ first: 1, span: 10 }), recordRow({ first: 21, span: 10 })], EVENING_MS);
    for (let minute = 0; minute < 3; minute++) links.connected(CONTROLLER, EVENING_MS + minute * MINUTE);
    expect(links.of(CONTROLLER, EVENING_MS + HOUR)).toEqual({ secondsExpected: 30, secondsStored: 20, reconnects: 2, watchedMs: HOUR }); // prettier-ignore
    expect(links.of(CONTROLLER, EVENING_MS + 2 * DAY)).toMatchObject({ reconnects: 0, watchedMs: DAY });
    store.close();
  });

  it('counts a gap at the beginning of the six hours as missing, and a merged record that reaches into them as there', () => {
    const store = openStore(':memory:');
    const take = (...rows: number[][]): void => {
      store.takeOutbox({ controllerId: CONTROLLER, incarnation: INCARNATION, boot: 1, uptimeTenths: 600_000, receivedAtMs: EVENING_MS, records: rows, events: [] }); // prettier-ignore
    };
    const links = openLinkRecords(store, EVENING_MS);
    const seconds = (): number[] => {
      const { secondsExpected, secondsStored } = links.of(CONTROLLER, EVENING_MS);
      return [secondsExpected, secondsStored];
    };
    // Numbers up to 24,000: the six hours begin after 2,400.
    take(recordRow({ first: 1, span: 2000 }), recordRow({ first: 23_001, span: 1000 }));
    expect(seconds()).toEqual([21_600, 1000]);
    // Up to 24,400: they begin after 2,800, and nothing is known of a second between 2,000 and 23,001.
    take(recordRow({ first: 24_001, span: 400 }));
    expect(seconds()).toEqual([21_600, 1400]);
    store.close();
    const other = openStore(':memory:');
    other.takeOutbox({ controllerId: CONTROLLER, incarnation: INCARNATION, boot: 1, uptimeTenths: 600_000, receivedAtMs: EVENING_MS, events: [],
      records: [recordRow({ first: 1, span: 3000 }), recordRow({ first: 3001, span: 21_000 })] }); // prettier-ignore
    expect(openLinkRecords(other, EVENING_MS).of(CONTROLLER, EVENING_MS)).toMatchObject({ secondsExpected: 21_600, secondsStored: 21_600 }); // prettier-ignore
    other.close();
  });

  it('rests on a day of records that takes no more room than the disk watch assumes', () => {
    const file = join(folderOnTrial(), 'a-day.sqlite');
    const store = openStore(file);
    const bare = statSync(file).size;
    const count = 8640;
    for (let first = 1; first <= count; first += 60)
      store.takeOutbox({
        controllerId: CONTROLLER, incarnation: INCARNATION, boot: 1, uptimeTenths: 10 * (first + 60), receivedAtMs: EVENING_MS + first * SECOND, events: [],
        records: Array.from({ length: 60 }, (_, index) => recordRow({ first: first + index })),
      }); // prettier-ignore
    store.database.pragma('wal_checkpoint(TRUNCATE)');
    const bytesADay = ((statSync(file).size - bare) / count) * 86_400;
    store.close();
    expect(bytesADay).toBeLessThan(BYTES_PER_CONTROLLER_AND_DAY);
    expect(bytesADay).toBeGreaterThan(BYTES_PER_CONTROLLER_AND_DAY / 3);
  });
});
