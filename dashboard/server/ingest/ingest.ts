/*
 * Takes what controllers publish: checks it, stores it in grouped commits, and only then acknowledges to the controller.
 * Hands fresh events and live messages on to the watch. A message that it cannot take is counted, told once per kind and set
 * aside; where it would block the controller's queue it is acknowledged all the same. It never throws for what a stranger sends.
 */
import mqtt, { type MqttClient } from 'mqtt';
import type { Duplex } from 'node:stream';
import { EventColumn, LINK_VERSION, RecordColumn, TOPIC_ROOT, topicOf } from '@bathkeeper/shared-core/messages';
import type { Broker } from '../broker/broker.js';
import { MESSAGE_BYTES_MAX } from '../broker/broker.js';
import type { DashboardClock } from '../clock.js';
import type { Row, Store, TakenBatch } from '../store/store.js';
import { eventProblem, type LiveMessage, liveSchema, outboxSchema, recordProblem, statusSchema } from './schemas.js';

export interface IngestListener {
  live(controllerId: string, live: LiveMessage): void;
  online(controllerId: string, isOnline: boolean): void;
  events(controllerId: string, events: TakenBatch['freshEvents']): void;
  records(controllerId: string): void;
  refused(controllerId: string, why: string): void;
}

export interface Ingest {
  readonly counts: Readonly<Record<string, number>>;
  /** Messages taken and not yet on disk. */
  readonly waiting: number;
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
  readonly refusedThrough: { recordsThrough: number; eventsThrough: number };
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

  const refuse = (controllerId: string, kind: string, why: string, payload: Buffer | string): void => {
    counts[kind] = (counts[kind] ?? 0) + 1;
    setAside.run(controllerId, clock.nowMs(), why, payload.toString().slice(0, 4096));
    if (counts[kind] % 500 === 0) trimAside.run();
    listener.refused(controllerId, `${kind}: ${why}`);
  };

  let queue: Batch[] = [];
  let isFlushDue = false;
  const flush = (): void => {
    isFlushDue = false;
    const batches = queue;
    queue = [];
    const taken = store.together(() => batches.map((batch) => ({ batch, result: store.takeOutbox(batch) })));
    // Only now is it on disk.
    const last = new Map<string, { batch: Batch; result: TakenBatch }>();
    for (const one of taken) last.set(`${one.batch.controllerId}/${String(one.batch.incarnation)}`, one);
    for (const { batch, result } of last.values()) {
      const ack = { v: LINK_VERSION, i: batch.incarnation, r: result.recordsThrough, e: result.eventsThrough };
      client.publish(topicOf(batch.controllerId, 'ack'), JSON.stringify(ack), { qos: 1 });
    }
    for (const { batch, result } of taken) {
      if (batch.records.length > 0) listener.records(batch.controllerId);
      if (result.freshEvents.length > 0) listener.events(batch.controllerId, result.freshEvents);
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
      refusedThrough: { recordsThrough: 0, eventsThrough: 0 },
    };
    for (const row of message.r ?? []) {
      const problem = recordProblem(row);
      if (problem === undefined) batch.records.push(row as Row);
      else {
        refuse(controllerId, 'bad record', problem, JSON.stringify(row));
        const last = Number(row[RecordColumn.first]) + Number(row[RecordColumn.span] ?? 1) - 1;
        if (Number.isSafeInteger(last))
          batch.refusedThrough.recordsThrough = Math.max(batch.refusedThrough.recordsThrough, last);
      }
    }
    for (const row of message.e ?? []) {
      const problem = eventProblem(row);
      if (problem === undefined) batch.events.push(row as Row);
      else {
        refuse(controllerId, 'bad event', problem, JSON.stringify(row));
        const sequence = Number(row[EventColumn.sequence]);
        if (Number.isSafeInteger(sequence))
          batch.refusedThrough.eventsThrough = Math.max(batch.refusedThrough.eventsThrough, sequence);
      }
    }
    queue.push(batch);
    if (!isFlushDue) {
      isFlushDue = true;
      setImmediate(flush);
    }
  };

  client.on('message', (topic, payload) => {
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
  });

  return {
    counts,
    get waiting() {
      return queue.length + (isFlushDue ? 1 : 0);
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

function versionOrShape(json: unknown): string {
  const version = typeof json === 'object' && json !== null ? (json as { v?: unknown }).v : undefined;
  return version === LINK_VERSION ? 'malformed' : 'unknown version';
}
