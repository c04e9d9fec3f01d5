/*
 * The house of the dashboard put together: it watches itself, calls when the store takes nothing, beats outward, and answers the leave-alone
 * check. Opened by the composition root, which tells it of ticks, connections and live messages. The rules are in the files beside it.
 */
import type { HeartbeatView, LeaveAloneView } from '@bathkeeper/shared-core/messages';
import type { BathBook } from '../baths/bath-book.js';
import type { DashboardClock } from '../clock.js';
import type { Calling } from '../notify/calling.js';
import type { Store } from '../store/store.js';
import type { AlarmCause } from '../watch/alarm-cause.js';
import type { AlarmList } from '../watch/alarm-list.js';
import type { CallsWithoutStore } from './calls-without-store.js';
import { computerEvidence } from './computer-evidence.js';
import type { ComputerQuestions } from './computer-questions.js';
import { type Heartbeat, openHeartbeat } from './heartbeat.js';
import { type HouseProbes, type HouseWatch, openHouseWatch } from './house-watch.js';
import { leaveAloneView } from './leave-alone.js';
import { openLinkRecords } from './link-record.js';

/** What the house asks this computer; absent ones are not known. */
export interface HouseComputer {
  readonly probes?: Partial<HouseProbes>;
  readonly questions?: ComputerQuestions;
}

export interface House {
  readonly heartbeat: Heartbeat;
  readonly watch: HouseWatch;
  /** The watch over the baths has ticked without a failure. */
  ticked(nowMs: number): void;
  connected(controllerId: string, nowMs: number): void;
  /** What the owner should know, each a whole sentence. */
  notices(): string[];
  /** The controller must be known. `device`: who asks (see contacts.channelsOfDevice). */
  leaveAlone(controllerId: string, device?: string): Promise<LeaveAloneView>;
  readonly underWay: number;
  pump(): Promise<void>;
  close(): void;
}

const noComputer: ComputerQuestions = {
  platform: process.platform,
  run: () => Promise.resolve(undefined),
  text: () => Promise.resolve(undefined),
  names: () => Promise.resolve([]),
};

export function openHouse(options: {
  clock: DashboardClock;
  store: Store;
  dataFolder: string;
  book: BathBook;
  alarms: AlarmList;
  calling: Pick<Calling, 'contacts' | 'lastConfirmation' | 'clockSet'>;
  callsWithoutStore: CallsWithoutStore;
  brokerProblem: () => string | undefined;
  pageAddress: () => string | undefined;
  computer: HouseComputer;
  changed: () => void;
  failed: (what: string, fault: unknown) => void;
}): House {
  const { clock, store, book, callsWithoutStore, computer, changed } = options;
  let lastTickMs = clock.nowMs();
  const links = openLinkRecords(store, clock.nowMs());
  const evidence = computerEvidence(computer.questions ?? noComputer);
  const watch = openHouseWatch({
    clock,
    store,
    book,
    alarms: options.alarms,
    brokerProblem: options.brokerProblem,
    lastTickMs: () => lastTickMs,
    probes: { upMs: clock.steadyMs, diskSpace: () => Promise.resolve(undefined), earliestMs: 0, ...computer.probes },
    clockSet: options.calling.clockSet,
    changed,
    failed: options.failed,
  });
  const heartbeat = openHeartbeat({ dataFolder: options.dataFolder, clock, watchProblem: watch.problem, changed });
  return {
    heartbeat,
    watch,
    ticked: (nowMs) => {
      lastTickMs = nowMs;
    },
    connected: links.connected,
    notices: () => [
      ...callsWithoutStore.notices(),
      ...(heartbeat.fileProblem === undefined ? [] : [heartbeat.fileProblem]),
      ...heartbeatNotices(heartbeat.view()),
    ],
    leaveAlone: async (controllerId, device) => {
      const found = await evidence(clock.nowMs());
      const nowMs = clock.nowMs();
      const { contacts } = options.calling;
      const channels = device === undefined ? [] : contacts.channelsOfDevice(device);
      const confirmedAtMs = channels.flatMap(({ last_confirmed_at_ms: atMs }) => (atMs === null ? [] : [atMs]));
      return leaveAloneView({
        nowMs,
        controller: book.view(controllerId, nowMs),
        controllerCount: book.all().length,
        thisDevice:
          channels.length === 0
            ? undefined
            : { lastConfirmedAtMs: confirmedAtMs.length === 0 ? null : Math.max(...confirmedAtMs) },
        lastConfirmation: options.calling.lastConfirmation(),
        contactCount: contacts.people().length,
        pageAddress: options.pageAddress(),
        link: links.of(controllerId, nowMs),
        disk: watch.disk(),
        computer: found,
        isClockDoubted: watch.isClockDoubted(),
        heartbeat: heartbeat.view(),
      });
    },
    get underWay() {
      return callsWithoutStore.underWay + heartbeat.underWay;
    },
    pump: async () => {
      await Promise.all([callsWithoutStore.pump(), heartbeat.pump()]);
    },
    close: () => {
      watch.close();
      heartbeat.close();
      callsWithoutStore.close();
    },
  };
}

/** Whoever watches from outside calls somebody by now, or was never reached. */
function heartbeatNotices({ lastFailure }: HeartbeatView): string[] {
  return lastFailure === null ? [] : [`The outward heartbeat stays away. ${lastFailure}`];
}

/** The alarm list, with a call from memory for each alarm, and for each end of a silence, that the store does not take. The failure goes on to who raised it, and is tried again there. */
export function calledWithoutStore(
  alarms: AlarmList,
  calls: CallsWithoutStore,
  store: Pick<Store, 'whenSettled'>,
): AlarmList {
  /** Called from memory since a tick failed. */
  let owed: readonly AlarmCause[] = [];
  return {
    ...alarms,
    tick: (nowMs) => {
      try {
        alarms.tick(nowMs);
      } catch (fault) {
        // A silence has ended by the clock, whether or not that can be written.
        owed = alarms.owed(nowMs);
        for (const cause of owed) calls.take(cause);
        throw fault;
      }
      for (const cause of owed) calls.stored(cause);
      owed = [];
    },
    raise: (cause, nowMs) => {
      let alarmId: number | undefined;
      try {
        alarmId = alarms.raise(cause, nowMs);
      } catch (fault) {
        calls.take(cause);
        throw fault;
      }
      // Raised within something greater (a controller's events, a drift), it is on disk with all of that or not at all.
      store.whenSettled((isKept) => {
        if (isKept) calls.stored(cause);
        // What failed together with something else's fault is tried alone in the same turn: only what is not kept then is called from memory.
        else
          queueMicrotask(() => {
            if (!isKnownToStand(alarms, cause)) calls.take(cause);
          });
      });
      return alarmId;
    },
  };
}

function isKnownToStand(alarms: AlarmList, { controllerId, name }: AlarmCause): boolean {
  try {
    return alarms.isStanding(controllerId, name);
  } catch {
    // A store that cannot even be read.
    return false;
  }
}
