/*
 * Plays a whole night in lockstep: the bundle on the virtual bath, a real broker, ingest, store, watch and calls, all on the bath's
 * clock. Used by `rehearse`, by the benchmarks and by tests. Nothing here waits for real time; same seed, same night.
 */
import { rmSync } from 'node:fs';
import {
  boardSettings,
  createDashboard,
  type Dashboard,
  type ManualClock,
  manualClock,
  PAIRED_RIG,
} from '@bathkeeper/dashboard';
import {
  type BathConnection,
  type BoardSettings,
  bundleText,
  type FaultName,
  type ScheduledFault,
  tendLatch,
  type TankOptions,
  VirtualBath,
} from '@bathkeeper/firmware/bench';
import { EventKind, Phase } from '@bathkeeper/shared-core/control';
import { openCallReceiver } from './call-receiver.js';
import { conditionName, phaseName } from './code-names.js';
import { nightFolder } from './night-folder.js';
import { nightRecipe } from './night-recipe.js';
import type { AlarmTimes, NightSummary } from './night-summary.js';
import { openingNear } from './opening-near.js';
import { outboxTap } from './outbox-tap.js';
import { addPerson } from '../dashboard/server/called-person.js';

/** 2026-01-10 20:00 UTC: any evening would do, but it must be the same one. */
const EVENING_MS = Date.UTC(2026, 0, 10, 20);
const CONTROLLER = 'north-bench';
/** A night of the rehearsal has seeded trouble from its own fault list only, and these defaults of duration. */
const DASHBOARD_DOWN_SECONDS = 60;
const DRAIN_SECONDS_MAX = 900;

export interface WholeNightOptions {
  readonly hours: number;
  readonly seed: number;
  readonly faults?: readonly ScheduledFault[];
  readonly bundle?: string;
  readonly tank?: Partial<TankOptions>;
  /** Called once a second of the night, for what a person would do. */
  readonly eachSecond?: (night: RunningNight) => void;
}

export interface RunningNight {
  readonly bath: VirtualBath;
  /** Undefined while it is killed. */
  readonly dashboard: Dashboard | undefined;
  readonly clock: ManualClock;
}

export interface PlayedNight {
  readonly summary: NightSummary;
  /** Everything that the board printed. */
  readonly consoleText: string;
  /** Rows of the store, for tests that compare nights. */
  readonly recordRows: readonly Record<string, unknown>[];
  readonly eventRows: readonly { kind: number; code: number; a: number; b: number; taken_at_ms: number }[];
}

export async function playWholeNight(options: WholeNightOptions): Promise<PlayedNight> {
  const startedMs = performance.now();
  const folder = nightFolder();
  const clock = manualClock(EVENING_MS);
  const receiver = await openCallReceiver(() => clock.nowMs());
  const tap = outboxTap();
  const problems: string[] = [];
  const faultLog: { name: FaultName; atSeconds: number }[] = [];
  let dashboard: Dashboard | undefined;
  let bath: VirtualBath | undefined;
  let isDashboardDownUntilSeconds = -1;

  const open = (): Promise<Dashboard> =>
    createDashboard({
      clock,
      dataFolder: folder,
      sendSignOfLife: (text) => {
        bath?.deliverSignOfLife(text);
      },
    });
  try {
    dashboard = await open();
    addPerson(dashboard, receiver.address);
    const secret = await dashboard.pair(CONTROLLER, 'Copper 60 L', true, PAIRED_RIG, '5e'.repeat(32));
    const settings = boardSettings(CONTROLLER, secret, '127.0.0.1', 1883, 41_883, true) as BoardSettings;
    bath = new VirtualBath({
      bundle: options.bundle ?? bundleText(),
      seed: options.seed,
      settings,
      tank: options.tank ?? {},
      faults: options.faults ?? [],
      network: {
        connect: () => (dashboard === undefined ? 'refused' : connection(dashboard, tap.open())),
      },
    });
    const dashboardFaults = (options.faults ?? [])
      .filter((fault) => fault.scope === 'dashboard')
      .sort((one, other) => one.atSeconds - other.atSeconds);

    const second = async (): Promise<void> => {
      bath!.advance(1);
      clock.advanceTo(EVENING_MS + Math.round(bath!.nightSeconds * 1000));
      while (dashboardFaults[0] !== undefined && dashboardFaults[0].atSeconds <= bath!.nightSeconds) {
        const fault = dashboardFaults.shift()!;
        faultLog.push({ name: fault.name, atSeconds: bath!.nightSeconds });
        if (fault.name === 'broker-restart') await dashboard?.restartBroker();
        else {
          await dashboard?.close();
          dashboard = undefined;
          isDashboardDownUntilSeconds = bath!.nightSeconds + (fault.durationSeconds ?? DASHBOARD_DOWN_SECONDS);
        }
      }
      if (dashboard === undefined && bath!.nightSeconds >= isDashboardDownUntilSeconds) dashboard = await open();
      await dashboard?.settle();
      options.eachSecond?.({ bath: bath!, dashboard, clock });
    };
    const until = async (what: string, holds: () => boolean, mostSeconds: number): Promise<void> => {
      for (let passed = 0; passed < mostSeconds; passed++) {
        if (holds()) return;
        await second();
      }
      if (!holds()) {
        const live = dashboard?.book.bath(CONTROLLER)?.live;
        throw new Error(
          `The night did not start: waited ${String(mostSeconds)} s for ${what}; last heard ${JSON.stringify(live)}. ` +
            `Console:\n${bath!.consoleText.slice(-1500)}`,
        );
      }
    };
    const live = () => dashboard?.book.bath(CONTROLLER)?.live;

    await until('the first live message', () => live() !== undefined, 90);
    const { recipe, view } = nightRecipe(options.hours, dashboard.book.nextRecipeId(), clock.nowMs());
    const sent = dashboard.desk.sendRecipe(CONTROLLER, recipe, view);
    if (typeof sent === 'string') throw new Error(sent);
    await until('the recipe to be taken', () => live()?.phase === Phase.ready, 30);
    const permissivesAreThere = (): boolean => {
      if (live()?.permissivesMissing.length === 0) return true;
      tendLatch(bath!);
      return false;
    };
    await until('every permissive', permissivesAreThere, 180);
    bath.press('start');
    await until('strike after the press', () => live()?.phase === Phase.strike, 20);

    while (bath.nightSeconds < options.hours * 3600) await second();
    const lastSeconds = bath.nightSeconds;
    const trueCharge = bath.truth.chargeMilliCoulombs;
    // What is still in the controller must come too; a dashboard that is down comes back for it.
    const drained = (): boolean => {
      const bathKnown = dashboard?.book.bath(CONTROLLER);
      return (
        bathKnown?.liveMessage !== undefined &&
        clock.nowMs() - (bathKnown.live?.takenAtMs ?? 0) < 3000 &&
        bathKnown.liveMessage.k < 10
      );
    };
    for (let passed = 0; passed < DRAIN_SECONDS_MAX && !drained(); passed++) await second();
    if (!drained()) problems.push('The outbox was not empty fifteen minutes after the end.');
    if (bath.exceptionCount > 0) problems.push(`The program threw ${String(bath.exceptionCount)} exceptions.`);

    const { store } = dashboard;
    const eventRows = store.database
      .prepare<[], PlayedNight['eventRows'][number]>(
        'SELECT kind, code, a, b, taken_at_ms FROM events ORDER BY incarnation, sequence',
      )
      .all();
    const recordRows = store.database
      .prepare<[], Record<string, number>>('SELECT * FROM records ORDER BY incarnation, first')
      .all();
    const toSeconds = (ms: number): number => (ms - EVENING_MS) / 1000;
    const faults = [...bath.faultLog, ...faultLog].sort((one, other) => one.atSeconds - other.atSeconds);
    const alarmRows = dashboard.alarms.views(dashboard.clock.nowMs()).reverse();
    const alarms: AlarmTimes[] = alarmRows.map((alarm) => {
      const call = receiver.calls.find((one) => one.alarm === alarm.name && one.atMs >= alarm.raisedAtMs);
      const raisedAtSeconds = toSeconds(alarm.raisedAtMs);
      const cause = [...faults]
        .reverse()
        .find((fault) => causes[fault.name]?.includes(alarm.name) && fault.atSeconds <= raisedAtSeconds);
      return {
        name: alarm.name,
        causeAtSeconds: cause?.atSeconds ?? toSeconds(alarm.causeAtMs),
        raisedAtSeconds,
        notifiedAtSeconds: call === undefined ? null : toSeconds(call.atMs),
      };
    });
    const lastLive = live()!;
    const atEnd = recordRows.filter((row) => toSeconds(row.taken_at_ms!) <= lastSeconds + 0.5).at(-1);
    return {
      summary: {
        seed: options.seed,
        hours: options.hours,
        wallSeconds: (performance.now() - startedMs) / 1000,
        trueChargeAmpereHours: trueCharge / 3.6e6,
        accountedChargeAmpereHours: (atEnd?.charge_millicoulombs ?? 0) / 3.6e6,
        largestCurrentAmps: bath.truth.largestCurrentAmps,
        records: recordBooks(
          recordRows,
          [...tap.ledgers.values()].map((ledger) => ledger.records.delivered),
        ),
        faults: faults.map(({ name, atSeconds }) => ({ name, atSeconds })),
        alarms,
        trips: trips(eventRows, bath, toSeconds),
        ended: endWords(lastLive.phase, eventRows),
        problems,
      },
      consoleText: bath.consoleText,
      recordRows,
      eventRows,
    };
  } finally {
    await dashboard?.close();
    await receiver.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Which alarms a fault explains: then the delay is counted from the fault itself, not from when somebody noticed. */
const causes: Partial<Record<FaultName, readonly string[]>> = {
  'rotation-stall': ['rotation-stalled'],
  'rotation-slow': ['rotation-stalled'],
  'rotation-watch-lost': ['trip', 'controller-silent'],
  overcurrent: ['current-off-permitted', 'held', 'trip'],
  'supply-weak': ['current-off-permitted'],
  'contact-loss': ['current-off-permitted', 'held'],
  'bath-heating': ['bath-temperature-out-of-band', 'held', 'trip'],
  'monitor-silent': ['trip'],
  'monitor-frozen': ['trip'],
  'monitor-brown-out': ['trip'],
  'probe-absent': ['sensor-fault', 'held'],
  'probe-power-on-value': ['sensor-fault', 'held'],
  'probe-zero-frame': ['sensor-fault', 'held'],
  'probe-damaged-frame': ['sensor-fault', 'held'],
  'emergency-stop': ['trip'],
  'contactor-drop': ['trip'],
  'power-cut': ['trip', 'controller-silent'],
  'control-loop-lost': ['trip', 'controller-silent'],
  'network-loss': ['controller-silent'],
  'host-vanish': ['controller-silent'],
};

function connection(dashboard: Dashboard, tap: (bytes: Uint8Array) => void): BathConnection {
  const end = dashboard.connectController();
  end.resume();
  return {
    write: (bytes) => {
      tap(bytes);
      if (!end.destroyed) end.write(Buffer.from(bytes));
    },
    close: () => {
      end.destroy();
    },
    onBytes: (receive) => {
      end.on('data', receive);
    },
    onClose: (closed) => {
      end.on('close', closed);
    },
  };
}

function recordBooks(rows: readonly Record<string, number>[], delivered: readonly number[]): NightSummary['records'] {
  let stored = 0;
  let doubled = 0;
  const highest = new Map<number, number>();
  for (const { incarnation, first, span } of rows as unknown as {
    incarnation: number;
    first: number;
    span: number;
  }[]) {
    const before = highest.get(incarnation) ?? 0;
    doubled += Math.max(0, Math.min(before, first + span - 1) - first + 1);
    highest.set(incarnation, Math.max(before, first + span - 1));
    stored += span;
  }
  const sent = Math.max(
    delivered.reduce((sum, count) => sum + count, 0),
    [...highest.values()].reduce((sum, count) => sum + count, 0),
  );
  return { sent, stored, lost: sent - (stored - doubled), doubled };
}

function trips(
  events: PlayedNight['eventRows'],
  bath: VirtualBath,
  toSeconds: (ms: number) => number,
): NightSummary['trips'] {
  return events
    .filter((event) => event.kind === EventKind.phaseEntered && event.code === Phase.trip)
    .map((event) => {
      const cause = events
        .filter((other) => other.kind === EventKind.conditionRaised && other.taken_at_ms <= event.taken_at_ms)
        .at(-1);
      const atSeconds = toSeconds(event.taken_at_ms);
      const opened = openingNear(bath.contactorLog, atSeconds);
      return {
        name: conditionName(cause?.code),
        atSeconds,
        contactorOpenAtSeconds: opened?.atSeconds ?? null,
      };
    });
}

function endWords(phase: Phase, events: PlayedNight['eventRows']): string {
  const ended = events.filter((event) => event.kind === EventKind.runEnded).at(-1);
  if (ended === undefined) return `It ended in phase ${phaseName(phase)}.`;
  return `The run ended: ${ended.code === 0 ? 'a stop was asked' : conditionName(ended.code)}.`;
}
