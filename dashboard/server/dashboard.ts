/*
 * The composition root: broker, ingest, store, book, watch and calls as one dashboard on a given clock. Started by main.ts in
 * real time, by the rehearsal in lockstep with a virtual bath. It owns the order of starting and stopping, and no rule.
 */
import { pino, type Logger } from 'pino';
import { type Duplex } from 'node:stream';
import { join } from 'node:path';
import { type AlarmView, type Snapshot } from '@bathkeeper/shared-core/messages';
import { openAlarmsAndCalls } from './alarms-and-calls.js';
import { type BathBook, openBathBook } from './baths/bath-book.js';
import { openPairing, type Pairing } from './baths/pairing.js';
import type { Broker } from './broker/broker.js';
import { type DashboardClock, heededClock } from './clock.js';
import { type CommandDesk, openCommandDesk } from './commands/command-desk.js';
import { openSignsOfLife } from './commands/signs-of-life.js';
import { openControllerLink } from './controller-link.js';
import { type Imports, openImports } from './export/imports.js';
import { clearSent } from './export/sent-files.js';
import { openFailures } from './failures.js';
import { CLOCK_TOLERANCE_MS } from './house/computer-clock.js';
import { type House, type HouseComputer, openHouse } from './house/house.js';
import type { Ingest } from './ingest/ingest.js';
import { openBackupFolder } from './keeping/backup-folder.js';
import { type Keeping, openKeeping } from './keeping/keeping.js';
import { openReading, type Reading } from './keeping/reading.js';
import { RECORDS_KEPT_DAYS } from './keeping/record-ageing.js';
import { type Logbook, openLogbook } from './logbook/logbook.js';
import { type DeletedRuns, openDeletedRuns } from './logbook/deleted-runs.js';
import { openRecipePlans, type RecipePlans } from './logbook/recipe-plans.js';
import { openBathAge } from './logbook/bath-age.js';
import { openRunCosts } from './logbook/run-costs.js';
import { openRunEntries, type RunEntries } from './logbook/run-entries.js';
import { openRunMeasuring } from './logbook/run-measures.js';
import type { Calling } from './notify/calling.js';
import { beginRegularWork } from './regular-work.js';
import { openControllerSecrets } from './settings/controller-secrets.js';
import { lockedFolder } from './settings/folder-lock.js';
import { openStore, type Store, STORE_FILE } from './store/store.js';
import type { AlarmList } from './watch/alarm-list.js';
import { driftShelf } from './watch/drift-watch.js';
import { openRefusedMessages } from './watch/refused-messages.js';
import { openWatchman } from './watch/watchman.js';
import { whatIsHeard } from './what-is-heard.js';

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
  /** Where the page's backups go; absent: the folder `backups` beside the store. */
  readonly backupsFolder?: string | undefined;
  /** What the house asks this computer of its disk, clock and nights; absent: it is not known. */
  readonly computer?: HouseComputer;
  /** For tests, whose push service is on this computer. Never in the program. */
  readonly isPushToPrivateAddressAllowed?: boolean;
}

export interface Dashboard extends Pairing {
  readonly clock: DashboardClock;
  readonly store: Store;
  readonly book: BathBook;
  readonly alarms: AlarmList;
  readonly calling: Calling;
  readonly house: House;
  readonly desk: CommandDesk;
  readonly logbook: Logbook;
  readonly recipePlans: RecipePlans;
  readonly runEntries: RunEntries;
  readonly deletedRuns: DeletedRuns;
  readonly imports: Imports;
  readonly reading: Reading;
  readonly keeping: Keeping;
  readonly broker: Broker;
  readonly ingest: Ingest;
  readonly log: Logger;
  /** The client end of a connection to the broker, within this process. */
  connectController(): Duplex;
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
  const { dataFolder } = options;
  let clockTurned = (): void => undefined;
  const clock = heededClock(options.clock, CLOCK_TOLERANCE_MS * options.clock.speed, () => {
    clockTurned();
  });
  const log = options.logger ?? pino({ level: 'silent' });
  const { failed, guarded } = openFailures(clock, log);
  const freeFolder = lockedFolder(dataFolder);
  const storeFile = join(dataFolder, STORE_FILE);
  const store = openStore(storeFile, (fromSchema, toSchema) => {
    log.warn(
      { fromSchema, toSchema },
      'the store is brought to the form of this version, a minute or more where it holds a year: nothing is watched until then. Let it go on; if it is cut off, the store is as before, and it begins anew at the next start',
    );
  });
  const reading = openReading(storeFile, failed);
  // Beside the other, so that nobody who looks at a chart waits until all of the store was read.
  const keepingThread = openReading(storeFile, failed);
  const secrets = openControllerSecrets(dataFolder);
  if (secrets.problem !== undefined) log.error(secrets.problem);
  const book = openBathBook(store, clock.nowMs(), (id) => secrets.of(id) !== undefined);
  const listeners = new Set<() => void>();
  const changed = (): void => {
    for (const listener of listeners) listener();
  };
  const pageAddress = options.pageAddress ?? ((): undefined => undefined);

  const { alarms, calling, callsWithoutStore, buzzer } = openAlarmsAndCalls({
    clock,
    store,
    dataFolder,
    book,
    pageAddress,
    desk: () => desk,
    changed,
    failed,
    isPushToPrivateAddressAllowed: options.isPushToPrivateAddressAllowed ?? false,
  });
  if (calling.problem !== undefined) log.error(calling.problem);
  const recipePlans = openRecipePlans(store);
  const measuring = openRunMeasuring(store, reading);
  const runEntries = openRunEntries(store);
  const deletedRuns = openDeletedRuns(store);
  guarded('what was left of a file that was sent could not be removed', () => {
    clearSent(store);
  })();
  const imports = openImports({ store, failed });
  const logbook = openLogbook({
    store,
    book,
    alarms,
    plans: recipePlans,
    measuring,
    entries: runEntries,
    costOf: openRunCosts(store),
    ageOf: openBathAge(store),
  });
  const watchman = openWatchman(book, alarms, clock.speed, driftShelf(store));
  const refused = openRefusedMessages(log, (who, why) => {
    guarded('a refusal could not be told', () => {
      watchman.refused(who, why, clock.nowMs());
    })();
    changed();
  });

  const link = await openControllerLink({
    clock,
    store,
    isPaired: (id) => book.has(id),
    passwordHash: (id) => book.bath(id)?.paired.passwordHash,
    listener: {
      ...whatIsHeard({ clock, book, watchman, buzzer, house: () => house, calling, changed }),
      refused,
      failed,
    },
  });
  const house = openHouse({
    clock,
    store,
    dataFolder,
    book,
    alarms,
    calling,
    callsWithoutStore,
    brokerProblem: link.problem,
    pageAddress,
    computer: options.computer ?? {},
    changed,
    failed,
  });
  clockTurned = house.watch.lookAtClock;
  const recordsKeptDays = options.recordsKeptDays ?? RECORDS_KEPT_DAYS;
  const keeping = openKeeping({
    clock,
    store,
    dataFolder,
    folder: openBackupFolder(options.backupsFolder ?? join(dataFolder, 'backups'), options.backupsFolder === undefined),
    recordsKeptDays,
    freeBytes: () => house.watch.disk()?.freeBytes,
    reading: keepingThread,
    alarms,
    changed,
    failed,
  });
  await link.ingest.whenConnected();

  const desk = openCommandDesk({
    book,
    clock,
    store,
    secretOf: secrets.of,
    publish: (topic, payload) => {
      link.ingest.publish(topic, payload);
    },
    changed,
  });
  const { sendSignOfLife } = options;
  const endRegularWork = beginRegularWork({
    clock,
    guarded,
    failed,
    store,
    recordsKeptDays,
    watchman,
    house,
    alarms,
    calling,
    measuring,
    deletedRuns,
    imports,
    sendSigns:
      sendSignOfLife === undefined
        ? (): void => undefined
        : openSignsOfLife({ clock, store, book, secretOf: secrets.of, send: sendSignOfLife, guarded }),
  });

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
    runEntries,
    deletedRuns,
    imports,
    reading,
    keeping,
    log,
    get broker() {
      return link.broker;
    },
    get ingest() {
      return link.ingest;
    },
    connectController: link.connectLocally,
    ...openPairing({ clock, book, alarms, secrets, broker: () => link.broker, changed }),
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
    settle: () =>
      link.settled(async () => {
        if (calling.underWay > 0) await calling.pump();
        if (house.underWay > 0) await house.pump();
        if (measuring.isUnderWay()) await measuring.keepNext(clock.nowMs()).catch(() => undefined);
        if (link.broker.loginsUnderWay > 0) await link.broker.loginsDone();
        return link.ingest.waiting === 0;
      }),
    restartBroker: link.restart,
    close: async () => {
      endRegularWork();
      house.close();
      calling.close();
      await link.close();
      await imports.close();
      await reading.close();
      await keepingThread.close();
      store.close();
      freeFolder();
    },
  };
}
