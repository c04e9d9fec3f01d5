/*
 * The way between controllers and this dashboard: broker and ingest, started, closed and started anew together. Opened by the composition root;
 * it hands on what came and judges none of it.
 */
import type { Duplex } from 'node:stream';
import { type Activity, openActivity } from './broker/activity.js';
import { type Broker, openBroker } from './broker/broker.js';
import type { DashboardClock } from './clock.js';
import { type Ingest, type IngestListener, openIngest } from './ingest/ingest.js';
import type { Store } from './store/store.js';

export interface ControllerLink {
  readonly broker: Broker;
  readonly ingest: Ingest;
  /** Why no controller is heard, as the end of a sentence; undefined: it works. */
  problem(): string | undefined;
  /** The client end of a connection to the broker, within this process. */
  connectLocally(): Duplex;
  settled: Activity['settled'];
  /** Every connection is closed and the broker starts again. Resolves when the ingest is back. */
  restart(): Promise<void>;
  close(): Promise<void>;
}

export async function openControllerLink(options: {
  clock: DashboardClock;
  store: Store;
  isPaired: (controllerId: string) => boolean;
  passwordHash: (controllerId: string) => string | undefined;
  listener: IngestListener;
}): Promise<ControllerLink> {
  const { clock, store, isPaired, listener } = options;
  const activity = openActivity();
  const counted: IngestListener = {
    ...listener,
    live: (...heard) => {
      activity.noted();
      listener.live(...heard);
    },
    events: (...heard) => {
      activity.noted();
      listener.events(...heard);
    },
    records: (...heard) => {
      activity.noted();
      listener.records(...heard);
    },
  };
  const startBroker = (): Promise<Broker> =>
    openBroker({ controllerPasswordHash: options.passwordHash, refused: listener.refused });
  let broker = await startBroker();
  const connectLocally = (): Duplex => activity.watched(broker.connectLocally());
  const startIngest = (): Ingest =>
    openIngest({ broker, connect: connectLocally, clock, store, isPaired, listener: counted });
  let ingest = startIngest();
  return {
    get broker() {
      return broker;
    },
    get ingest() {
      return ingest;
    },
    problem: () => {
      if (!ingest.isConnected) return 'this program has lost its own connection to it';
      return broker.isListening === false ? 'it listens to no controller any more' : undefined;
    },
    connectLocally,
    settled: activity.settled,
    restart: async () => {
      await broker.close();
      await ingest.close();
      broker = await startBroker();
      ingest = startIngest();
      await ingest.whenConnected();
    },
    close: async () => {
      await ingest.close();
      await broker.close();
    },
  };
}
