/*
 * The composition root: broker, ingest, store, book, watch and calls as one dashboard on a given clock. Started by main.ts in
 * real time, by the rehearsal in lockstep with a virtual bath. It owns the order of starting and stopping, and no rule.
 */
import { pino, type Logger } from 'pino';
import { type Duplex } from 'node:stream';
import { join } from 'node:path';
import { EventKind, type RigLimits } from '@bathkeeper/shared-core/control';
import { type AlarmView, EventColumn, type Snapshot } from '@bathkeeper/shared-core/messages';
import { type BathBook, openBathBook } from './baths/bath-book.js';
import { type Broker, openBroker } from './broker/broker.js';
import type { DashboardClock } from './clock.js';
import { openBuzzerDesk } from './commands/buzzer.js';
import { type CommandDesk, openCommandDesk } from './commands/command-desk.js';
import { mqttPassword, provedSignOfLife } from './commands/proof.js';
import { type CallsWithoutStore, openCallsWithoutStore } from './house/calls-without-store.js';
import { calledWithoutStore, type House, type HouseComputer, openHouse } from './house/house.js';
import { type Ingest, openIngest } from './ingest/ingest.js';
import { AGEING_STEP_MS, openRecordAgeing, RECORDS_KEPT_DAYS } from './keeping/record-ageing.js';
import { type Logbook, openLogbook } from './logbook/logbook.js';
import { openRecipePlans, type RecipePlans } from './logbook/recipe-plans.js';
import { openRunMeasuring } from './logbook/run-measures.js';
import { type Calling, openCalling } from './notify/calling.js';
import { drawnPasswordHash, drawnSecret } from './passwords.js';
import { openControllerSecrets } from './settings/controller-secrets.js';
import { lockedFolder } from './settings/folder-lock.js';
import { openStore, type Store } from './store/store.js';
import { openAlarmJournal } from './watch/alarm-journal.js';
import { type AlarmList, type AlarmListener, openAlarmList } from './watch/alarm-list.js';
import { driftShelf } from './watch/drift-watch.js';
import { openWatchman } from './watch/watchman.js';

export const SIGN_OF_LIFE_SECONDS = 5;
/** Of the settings in the store: the time that the newest sign of life told. */
const SIGN_SECONDS = 'signSeconds';
export const STORE_FILE = 'bathkeeper.sqlite';

export interface DashboardOptions {
  readonly clock: DashboardClock;
  /** Folder of the store. */
  readonly dataFolder: string;
  readonly logger?: Logger;
  /** The page's address for calls, once it is known. */
  readonly pageAddress?: () => string | undefined;
  /** Sends the sign of life for one controller on the network. */
  readonly sendSignOfLife?: (text: string, controllerId: string) => void;
  /** Raw records stay for so many days, their minutes for ever; absent: 90. */
  readonly recordsKeptDays?: number;
  /** What the house asks this computer of its disk, clock and nights; absent: it is not known. */
  readonly computer?: HouseComputer;
  /** For tests, whose push service is on this computer. Never in the program. */
  readonly isPushToPrivateAddressAllowed?: boolean;
}

export interface Dashboard {
  readonly clock: DashboardClock;
  readonly store: Store;
  readonly book: BathBook;
  readonly alarms: AlarmList;
  readonly calling: Calling;
  readonly house: House;
  readonly desk: CommandDesk;
  readonly logbook: Logbook;
  readonly recipePlans: RecipePlans;
  readonly broker: Broker;
  readonly ingest: Ingest;
  readonly log: Logger;
  /** The client end of a connection to the broker, within this process. */
  connectController(): Duplex;
  /**
   * Pairs a controller under its secret (64 hexadecimal digits; without one it is drawn, for a virtual bath) and answers that secret. One
   * that was paired before keeps its rig's limits, and is disconnected: it logs in with the new secret's password.
   */
  pair(controllerId: string, bathName: string, isSimulated: boolean, rig: RigLimits, secret?: string): Promise<string>;
  /** Forgets a controller and its secret; its nights stay. */
  unpair(controllerId: string): void;
  /** What an acknowledgement of this alarm sends to the bath. */
  silenceBuzzer(alarm: AlarmView): void;
  snapshot(notices?: readonly string[]): Snapshot;
  /** Told at every change that the page should see at once. */
  onChange(listener: () => void): () => void;
  /** Resolves when everything received so far went through broker, ingest, store, watch, and what is due to be called was answered. */
  settle(): Promise<void>;
  /** Every connection is closed and the broker starts again, as after an update. Resolves when the ingest is back. */
  restartBroker(): Promise<void>;
  close(): Promise<void>;
}

export async function createDashboard(options: DashboardOptions): Promise<Dashboard> {
  const { clock } = options;
  const log = options.logger ?? pino({ level: 'silent' });
  const freeFolder = lockedFolder(options.dataFolder);
  const store = openStore(join(options.dataFolder, STORE_FILE));
  const secrets = openControllerSecrets(options.dataFolder);
  if (secrets.problem !== undefined) log.error(secrets.problem);
  const book = openBathBook(store, clock.nowMs(), (id) => secrets.of(id) !== undefined);
  const listeners = new Set<() => void>();
  const changed = (): void => {
    for (const listener of listeners) listener();
  };

  const listener: AlarmListener = {
    onRaised: (alarm, nowMs) => {
      calling.listener.onRaised(alarm, nowMs);
    },
    onRaisedAgain: (alarm, nowMs) => {
      calling.listener.onRaisedAgain(alarm, nowMs);
    },
    onUnsilenced: (alarm, nowMs) => {
      calling.listener.onUnsilenced(alarm, nowMs);
    },
    onSilenced: (alarm, nowMs) => {
      calling.listener.onSilenced(alarm, nowMs);
    },
    onReturned: (alarm, nowMs) => {
      calling.listener.onReturned(alarm, nowMs);
    },
    onAcknowledged: (alarm, nowMs) => {
      calling.listener.onAcknowledged(alarm, nowMs);
    },
  };
  const bathName = (controllerId: string): string => {
    const bath = book.bath(controllerId)?.paired;
    return `${bath?.isSimulated === true ? 'SIMULATED ' : ''}${bath?.bathName ?? 'Bathkeeper'}`;
  };
  const callsWithoutStore: CallsWithoutStore = openCallsWithoutStore({
    clock,
    ring: (title, message) => calling.callWithoutStore(title, message),
    bathName,
    failed: (what, fault) => {
      failed(what, fault);
    },
  });
  const alarms: AlarmList = calledWithoutStore(
    openAlarmList(store, listener, (id, nowMs) => book.phaseHeard(id, nowMs)),
    callsWithoutStore,
    store,
  );
  const journal = openAlarmJournal(store);
  const recipePlans = openRecipePlans(store);
  const measuring = openRunMeasuring(store);
  const logbook = openLogbook({ store, book, alarms, plans: recipePlans, measuring });
  const pageAddress = options.pageAddress ?? ((): undefined => undefined);
  const calling: Calling = openCalling({
    store,
    clock,
    dataFolder: options.dataFolder,
    pageAddress,
    bathName,
    view: (controllerId) => (book.has(controllerId) ? book.view(controllerId, clock.nowMs()) : undefined),
    controllers: () => book.all().map((bath) => book.view(bath.paired.controllerId, clock.nowMs())),
    figures: journal.figures,
    acknowledgeAlarm: alarms.acknowledge,
    acknowledged: (views) => {
      buzzer.acknowledged(views, clock.nowMs());
      changed();
    },
    failing: (words, isNews) => {
      // Somebody may have seen to the channel that failed before: this one is news, and called anew.
      if (isNews) alarms.returnToNormal('', 'notification-failed', clock.nowMs());
      alarms.raise(
        { controllerId: '', name: 'notification-failed', causeAtMs: clock.nowMs(), detail: words },
        clock.nowMs(),
      );
    },
    delivering: () => {
      alarms.returnToNormal('', 'notification-failed', clock.nowMs());
    },
    changed,
    failed: (what, fault) => {
      failed(what, fault);
    },
    isPushToPrivateAddressAllowed: options.isPushToPrivateAddressAllowed ?? false,
  });
  if (calling.problem !== undefined) log.error(calling.problem);
  const buzzer = openBuzzerDesk({ book, alarms, desk: () => desk });
  const watchman = openWatchman(book, alarms, clock.speed, driftShelf(store));
  const refusedKinds = new Set<string>();
  const refused = (who: string, why: string): void => {
    const kind = `${who}: ${why.replace(/\d+/g, '#')}`;
    if (refusedKinds.size < 1000 && !refusedKinds.has(kind)) {
      refusedKinds.add(kind);
      log.warn({ who, why }, 'message refused (told once per kind)');
    }
    guarded('a refusal could not be told', () => {
      watchman.refused(who, why, clock.nowMs());
    })();
    changed();
  };

  const failures = new Set<string>();
  /** Told once a minute for each kind: a full disk fails at every message. */
  const failed = (what: string, fault: unknown): void => {
    if (failures.has(what)) return;
    failures.add(what);
    clock.after(60_000, () => failures.delete(what));
    log.error({ err: fault }, what);
  };
  const guarded = (what: string, run: () => void): (() => void) => {
    return () => {
      try {
        run();
      } catch (fault) {
        failed(what, fault);
      }
    };
  };

  let activity = 0;
  const watched = (end: Duplex): Duplex => {
    const write = end.write.bind(end) as (...args: unknown[]) => boolean;
    end.write = ((...args: unknown[]) => {
      activity++;
      return write(...args);
    }) as Duplex['write'];
    end.on('data', () => {
      activity++;
    });
    end.pause();
    return end;
  };

  const startBroker = (): Promise<Broker> =>
    openBroker({ controllerPasswordHash: (id) => book.bath(id)?.paired.passwordHash, refused });
  let broker = await startBroker();
  const startIngest = (): Ingest =>
    openIngest({
      broker,
      connect: () => watched(broker.connectLocally()),
      clock,
      store,
      isPaired: (id) => book.has(id),
      listener: {
        live: (controllerId, message) => {
          activity++;
          const live = book.heardLive(controllerId, message, clock.nowMs());
          watchman.live(controllerId, live, clock.nowMs());
          buzzer.heard(controllerId, clock.nowMs());
          house.watch.live(controllerId, message.i, message.b, message.u * 100, clock.nowMs());
        },
        online: (controllerId, isOnline) => {
          const bath = book.bath(controllerId);
          if (bath) bath.isOnline = isOnline;
          if (bath && isOnline) house.connected(controllerId, clock.nowMs());
          watchman.tick(clock.nowMs());
          changed();
        },
        events: (controllerId, events) => {
          activity++;
          const rows = events.map((event) => event.row);
          for (const [index, { row, takenAtMs, incarnation }] of events.entries()) {
            book.takeEvent(controllerId, row, takenAtMs, incarnation);
            watchman.event(controllerId, row, takenAtMs, clock.nowMs(), rows.slice(index + 1));
            if (row[EventColumn.kind] === EventKind.runEnded)
              calling.goodNews.runEnded(controllerId, row[EventColumn.code]!, clock.nowMs());
          }
          changed();
        },
        records: (controllerId) => {
          activity++;
          book.heard(controllerId, clock.nowMs());
        },
        refused,
        failed,
      },
    });
  let ingest = startIngest();
  const house = openHouse({
    clock,
    store,
    dataFolder: options.dataFolder,
    book,
    alarms,
    calling,
    callsWithoutStore,
    brokerProblem: () => {
      if (!ingest.isConnected) return 'this program has lost its own connection to it';
      return broker.isListening === false ? 'it listens to no controller any more' : undefined;
    },
    pageAddress,
    computer: options.computer ?? {},
    changed,
    failed,
  });
  await ingest.whenConnected();

  const desk = openCommandDesk({
    book,
    clock,
    store,
    secretOf: secrets.of,
    publish: (topic, payload) => {
      ingest.publish(topic, payload);
    },
    changed,
  });
  /**
   * A controller takes only a time newer than the newest: where this computer's clock was set back, the signs count on by seconds. Kept, since a small
   * computer without a clock chip may start with a clock behind its last signs, and each of them would be refused as replayed.
   */
  let signSeconds = Number(store.setting(SIGN_SECONDS) ?? 0);
  const sendSigns = (): void => {
    const { sendSignOfLife } = options;
    if (sendSignOfLife === undefined) return;
    signSeconds = Math.max(signSeconds + 1, Math.floor(clock.nowMs() / 1000));
    // A disk that is full stops no sign: the controllers would dial nobody, while this dashboard hears, judges and calls from memory.
    guarded('the time of the signs of life could not be stored', () => {
      store.setSetting(SIGN_SECONDS, String(signSeconds));
    })();
    for (const { paired } of book.all()) {
      const secret = secrets.of(paired.controllerId);
      if (secret !== undefined)
        sendSignOfLife(provedSignOfLife(secret, paired.controllerId, signSeconds), paired.controllerId);
    }
  };
  const stopTick = clock.every(
    1000,
    guarded('the watch could not be kept', () => {
      watchman.tick(clock.nowMs());
      house.ticked(clock.nowMs());
    }),
  );
  const stopSilences = clock.every(
    1000,
    guarded('what is silent could not be kept', () => {
      alarms.tick(clock.nowMs());
    }),
  );
  const stopMorning = clock.every(
    60_000,
    guarded('the morning summary could not be made', () => {
      calling.goodNews.tick(clock.nowMs());
    }),
  );
  const letRecordsGo = openRecordAgeing(store, options.recordsKeptDays ?? RECORDS_KEPT_DAYS);
  const stopAgeing = clock.every(
    AGEING_STEP_MS,
    guarded('old records could not be let go', () => {
      letRecordsGo(clock.nowMs());
    }),
  );
  const stopMeasuring = clock.every(
    60_000,
    guarded('what a run has come to could not be kept', () => {
      measuring.keepNext(clock.nowMs());
    }),
  );
  const stopSigns = clock.every(SIGN_OF_LIFE_SECONDS * 1000, guarded('signs of life could not be sent', sendSigns));

  return {
    clock,
    store,
    book,
    alarms,
    calling,
    house,
    desk,
    logbook,
    recipePlans,
    log,
    get broker() {
      return broker;
    },
    get ingest() {
      return ingest;
    },
    connectController: () => watched(broker.connectLocally()),
    pair: async (controllerId, bathName, isSimulated, rig, secret = drawnSecret()) => {
      const passwordHash = await drawnPasswordHash(mqttPassword(secret));
      const known = book.bath(controllerId)?.paired;
      const limits = known?.isSimulated === isSimulated ? book.rigLimits(controllerId) : rig;
      secrets.keep(controllerId, secret);
      book.pair({ controllerId, bathName, isSimulated, passwordHash }, limits, clock.nowMs());
      broker.disconnect(controllerId);
      changed();
      return secret;
    },
    unpair: (controllerId) => {
      alarms.bathTakenAway(controllerId, clock.nowMs());
      book.unpair(controllerId);
      secrets.forget(controllerId);
    },
    silenceBuzzer: (view) => {
      buzzer.acknowledged([view], clock.nowMs());
    },
    snapshot: (notices = []) => ({
      nowMs: clock.nowMs(),
      clockSpeed: clock.speed,
      controllers: book.all().map((bath) => book.view(bath.paired.controllerId, clock.nowMs())),
      alarms: alarms.views(clock.nowMs()),
      notices: [
        ...[secrets.problem, calling.problem].filter((one) => one !== undefined),
        ...house.notices(),
        ...notices,
      ],
    }),
    onChange: (listener) => {
      listeners.add(listener);
      return () => {
        listeners.delete(listener);
      };
    },
    settle: async () => {
      let quietTurns = 0;
      let seen = activity;
      while (quietTurns < 4) {
        await new Promise<void>((next) => setImmediate(next));
        if (calling.underWay > 0) await calling.pump();
        if (house.underWay > 0) await house.pump();
        if (broker.loginsUnderWay > 0) await broker.loginsDone();
        if (seen === activity && ingest.waiting === 0) quietTurns++;
        else quietTurns = 0;
        seen = activity;
      }
    },
    restartBroker: async () => {
      await broker.close();
      await ingest.close();
      broker = await startBroker();
      ingest = startIngest();
      await ingest.whenConnected();
    },
    close: async () => {
      stopTick();
      stopSilences();
      stopMeasuring();
      stopSigns();
      stopMorning();
      stopAgeing();
      house.close();
      calling.close();
      await ingest.close();
      await broker.close();
      store.close();
      freeFolder();
    },
  };
}
