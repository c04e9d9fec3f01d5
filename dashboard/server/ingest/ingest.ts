/*
 * Takes what controllers publish: checks it, stores it in grouped commits, and only then acknowledges to the controller.
 * Hands fresh events and live messages on to the watch. A message that it cannot take is counted, told once per kind and set
 * aside; where it would block the controller's queue it is acknowledged all the same. It never throws for what a stranger sends.
 */
import mqtt, { type MqttClient } from 'mqtt';
import type { Duplex } from 'node:stream';
import {
  EventColumn,
  eventOfStored,
  LINK_VERSION,
  RecordColumn,
  recordOfStored,
  TOPIC_ROOT,
  topicOf,
} from '@bathkeeper/shared-core/messages';
import type { Broker } from '../broker/broker.js';
import { MESSAGE_BYTES_MAX } from '../broker/broker.js';
import type { DashboardClock } from '../clock.js';
import type { Row, SequenceRange, Store, TakenBatch } from '../store/store.js';
import { eventProblem, type LiveMessage, liveSchema, outboxSchema, recordProblem, statusSchema } from './schemas.js';

export interface IngestListener {
  live(controllerId: string, live: LiveMessage): void;
  online(controllerId: string, isOnline: boolean): void;
  events(controllerId: string, events: TakenBatch['freshEvents']): void;
  records(controllerId: string): void;
  refused(controllerId: string, why: string): void;
  /** The store did not take something. */
  failed(what: string, fault: unknown): void;
}

/** Refused messages without a number that are kept to look at, of each kind. */
const SET_ASIDE_OF_A_KIND_MAX = 50;

export interface Ingest {
  readonly counts: Readonly<Record<string, number>>;
  /** Messages taken and not yet on disk. */
  readonly waiting: number;
  /** Is the broker there? */
  readonly isConnected: boolean;
  publish(topic: string, payload: string): void;
  whenConnected(): Promise<void>;
  close(): Promise<void>;
}

interface Batch {
  readonly controllerId: string;
  readonly incarnation: number;
  readonly boot: number;
  readonly uptimeTenths: number;
  readonly receivedAtMs: number;
  readonly records: Row[];
  readonly events: Row[];
  readonly refusedRecords: SequenceRange[];
  readonly refusedEvents: SequenceRange[];
}

export function openIngest(options: {
  broker: Pick<Broker, 'ingestCredential'>;
  connect: () => Duplex;
  clock: DashboardClock;
  store: Store;
  isPaired: (controllerId: string) => boolean;
  listener: IngestListener;
}): Ingest {
  const { store, clock, listener } = options;
  const counts: Record<string, number> = {};
  const setAside = store.database.prepare(
    'INSERT INTO quarantine (controller_id, received_at_ms, why, payload) VALUES (?, CAST(? AS INTEGER), ?, ?)',
  );
  const trimAside = store.database.prepare(
    'DELETE FROM quarantine WHERE id <= (SELECT max(id) FROM quarantine) - 2000',
  );

  const client: MqttClient = new mqtt.MqttClient(() => options.connect(), {
    ...options.broker.ingestCredential,
    clientId: options.broker.ingestCredential.username,
    protocolVersion: 4,
    clean: true,
    keepalive: 0,
    reconnectPeriod: 200,
    connectTimeout: 10_000,
    resubscribe: false,
  });
  client.on('error', () => {
    // It reconnects by itself; what is missing in the meantime shows as silence.
  });
  let subscribed: () => void = () => undefined;
  let isSubscribed = new Promise<void>((done) => (subscribed = done));
  client.on('connect', () => {
    client.subscribe(
      {
        [`${TOPIC_ROOT}+/outbox`]: { qos: 1 },
        [`${TOPIC_ROOT}+/live`]: { qos: 0 },
        [`${TOPIC_ROOT}+/status`]: { qos: 1 },
      },
      () => {
        subscribed();
      },
    );
  });
  client.on('close', () => {
    isSubscribed = new Promise<void>((done) => (subscribed = done));
  });

  const refuse = (
    controllerId: string,
    kind: string,
    why: string,
    payload: Buffer | string,
    isNumbered = false,
  ): void => {
    counts[kind] = (counts[kind] ?? 0) + 1;
    // A flood of rubbish must not become a flood of writes: without a number, the first ones of a kind are enough to look at.
    if (isNumbered || counts[kind] <= SET_ASIDE_OF_A_KIND_MAX) {
      try {
        setAside.run(controllerId, clock.nowMs(), why, payload.toString().slice(0, 4096));
        if (counts[kind] % 500 === 0) trimAside.run();
      } catch (fault) {
        listener.failed('a refused message could not be set aside', fault);
      }
    }
    listener.refused(controllerId, `${kind}: ${why}`);
  };

  /** What was taken, and what follows from it, are on disk together or not at all: an alarm cannot get lost in between. */
  const taken = (batches: readonly Batch[]): { batch: Batch; result: TakenBatch }[] =>
    store.together(() =>
      batches.map((batch) => {
        const result = store.takeOutbox(batch);
        if (batch.records.length > 0) listener.records(batch.controllerId);
        if (result.freshEvents.length > 0) listener.events(batch.controllerId, result.freshEvents);
        return { batch, result };
      }),
    );
  let queue: Batch[] = [];
  let isFlushDue = false;
  const flush = (): void => {
    isFlushDue = false;
    // A controller may have been unpaired since its message came.
    const batches = queue.filter((batch) => options.isPaired(batch.controllerId));
    queue = [];
    let done: { batch: Batch; result: TakenBatch }[] = [];
    try {
      done = taken(batches);
    } catch {
      // One of them, or the disk: each by itself tells which. What fails is not acknowledged, so the controller keeps it.
      for (const batch of batches) {
        try {
          done.push(...taken([batch]));
        } catch (fault) {
          listener.failed('an outbox message could not be stored; its controller keeps it', fault);
        }
      }
    }
    // Only now is it on disk.
    const last = new Map<string, { batch: Batch; result: TakenBatch }>();
    for (const one of done) {
      last.set(`${one.batch.controllerId}/${String(one.batch.incarnation)}`, one);
      for (const row of one.result.disbelieved)
        refuse(one.batch.controllerId, 'impossible number', `first is ${String(row[0])}`, JSON.stringify(row));
    }
    for (const { batch, result } of last.values()) {
      const ack = { v: LINK_VERSION, i: batch.incarnation, r: result.recordsThrough, e: result.eventsThrough };
      client.publish(topicOf(batch.controllerId, 'ack'), JSON.stringify(ack), { qos: 1 });
    }
  };

  const takeOutbox = (controllerId: string, payload: Buffer, json: unknown): void => {
    const checked = outboxSchema.safeParse(json);
    if (!checked.success) {
      refuse(controllerId, versionOrShape(json), checked.error.issues[0]?.message ?? 'not an outbox message', payload);
      return;
    }
    const message = checked.data;
    const batch: Batch = {
      controllerId,
      incarnation: message.i,
      boot: message.b,
      uptimeTenths: message.u,
      receivedAtMs: clock.nowMs(),
      records: [],
      events: [],
      refusedRecords: [],
      refusedEvents: [],
    };
    const damaged = 'expected a record or event as the controller keeps it, with the right check sum: it comes again';
    for (const sent of message.r ?? []) {
      const row = typeof sent === 'string' ? recordOfStored(sent) : sent;
      if (row === undefined) {
        refuse(controllerId, 'bad record', damaged, JSON.stringify(sent), true);
        continue;
      }
      const problem = recordProblem(row);
      if (problem === undefined) batch.records.push(row as Row);
      else {
        refuse(controllerId, 'bad record', problem, JSON.stringify(row), true);
        const first = row[RecordColumn.first];
        const span = row[RecordColumn.span];
        // Where the row does not say how many seconds it covers, one is acknowledged; what is left comes again.
        if (isSequence(first)) {
          const seconds = typeof span === 'number' && Number.isInteger(span) && span >= 1 && span <= 65_535 ? span : 1;
          batch.refusedRecords.push({ first, last: first + seconds - 1 });
        }
      }
    }
    for (const sent of message.e ?? []) {
      const row = typeof sent === 'string' ? eventOfStored(sent) : sent;
      if (row === undefined) {
        refuse(controllerId, 'bad event', damaged, JSON.stringify(sent), true);
        continue;
      }
      const problem = eventProblem(row);
      if (problem === undefined) batch.events.push(row as Row);
      else {
        refuse(controllerId, 'bad event', problem, JSON.stringify(row), true);
        const sequence = row[EventColumn.sequence];
        if (isSequence(sequence)) batch.refusedEvents.push({ first: sequence, last: sequence });
      }
    }
    queue.push(batch);
    if (!isFlushDue) {
      isFlushDue = true;
      setImmediate(flush);
    }
  };

  const take = (topic: string, payload: Buffer): void => {
    const [controllerId = '', kind = ''] = topic.slice(TOPIC_ROOT.length).split('/');
    if (payload.length === 0) return;
    if (!options.isPaired(controllerId)) {
      refuse(controllerId.slice(0, 64), 'unknown controller', 'no controller of that name is paired', '');
      return;
    }
    if (payload.length > MESSAGE_BYTES_MAX) {
      refuse(controllerId, 'too large', `${String(payload.length)} bytes, at most ${String(MESSAGE_BYTES_MAX)}`, '');
      return;
    }
    let json: unknown;
    try {
      json = JSON.parse(payload.toString('utf8'));
    } catch {
      refuse(controllerId, 'not JSON', 'expected JSON', payload);
      return;
    }
    if (kind === 'outbox') takeOutbox(controllerId, payload, json);
    else if (kind === 'live') {
      const checked = liveSchema.safeParse(json);
      if (checked.success) listener.live(controllerId, checked.data);
      else
        refuse(controllerId, versionOrShape(json), checked.error.issues[0]?.message ?? 'not a live message', payload);
    } else {
      const checked = statusSchema.safeParse(json);
      if (checked.success) listener.online(controllerId, checked.data.o === 1);
      else
        refuse(controllerId, versionOrShape(json), checked.error.issues[0]?.message ?? 'not a status message', payload);
    }
  };
  client.on('message', (topic, payload) => {
    try {
      take(topic, payload);
    } catch (fault) {
      listener.failed('a message could not be judged', fault);
    }
  });

  return {
    counts,
    get waiting() {
      return queue.length + (isFlushDue ? 1 : 0);
    },
    get isConnected() {
      return client.connected;
    },
    publish: (topic, payload) => {
      client.publish(topic, payload, { qos: 1 });
    },
    whenConnected: async () => {
      if (!client.connected && client.disconnected) client.reconnect();
      await isSubscribed;
    },
    close: () => client.endAsync(true),
  };
}

function isSequence(value: unknown): value is number {
  return typeof value === 'number' && Number.isInteger(value) && value >= 1 && value <= 0xffffffff;
}

function versionOrShape(json: unknown): string {
  const version = typeof json === 'object' && json !== null ? (json as { v?: unknown }).v : undefined;
  return version === LINK_VERSION ? 'malformed' : 'unknown version';
}
