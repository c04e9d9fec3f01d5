/*
 * A controller for tests of the server: connects to the embedded broker within the process and says what a test gives it,
 * in the wire's own rows. Called by the tests of ingest, watch and commands. It has no behaviour of its own.
 */
import { createHmac } from 'node:crypto';
import mqtt, { type MqttClient } from 'mqtt';
import {
  EVENT_COLUMNS,
  EventColumn,
  LiveKey,
  PROOF_DIGITS,
  RECORD_COLUMNS,
  RecordColumn,
  topicOf,
} from '@bathkeeper/shared-core/messages';
import type { TopicKind } from '@bathkeeper/shared-core/messages';
import { type Dashboard, mqttPassword } from '@bathkeeper/dashboard';

export const RIG = { currentAmpsMax: 35, terminalVoltsMax: 8, bathCelsiusMax: 40, runSecondsMax: 50_400 };
export const INCARNATION = 7;

type RecordFields = Partial<Record<keyof typeof RecordColumn, number>>;
type EventFields = Partial<Record<keyof typeof EventColumn, number>>;

/** A sound second of plating at 19 A; the fields given take the place of the usual ones. */
export function recordRow(fields: RecordFields): number[] {
  const span = fields.span ?? 1;
  const usual: RecordFields = {
    first: 1, span, boot: 1, uptime: 10 * ((fields.first ?? 1) + span - 1), run: 1, phase: 4, charge: 19_000 * (fields.first ?? 1),
    permittedSum: 1900 * span, electricCount: span, currentSum: 1900 * span, currentMin: 1890, currentMax: 1910,
    voltageSum: 2100 * span, temperatureCount: span, temperatureSum: 2400 * span, pulses: 0,
  }; // prettier-ignore
  const row = new Array<number>(RECORD_COLUMNS).fill(0);
  for (const [name, value] of Object.entries({ ...usual, ...fields }))
    row[RecordColumn[name as keyof typeof RecordColumn]] = value;
  return row;
}

export function eventRow(fields: EventFields): number[] {
  const row = new Array<number>(EVENT_COLUMNS).fill(0);
  for (const [name, value] of Object.entries({ sequence: 1, boot: 1, run: 1, ...fields }))
    row[EventColumn[name as keyof typeof EventColumn]] = value;
  return row;
}

export function outbox(records: readonly unknown[], events: readonly unknown[] = [], uptimeTenths = 100_000): object {
  return { v: 1, i: INCARNATION, b: 1, u: uptimeTenths, s: 0, r: records, e: events };
}

/** A live message of a sound run; the fields given take the place of the usual ones, `undefined` takes one away. */
export function liveMessage(
  fields: Partial<Record<keyof typeof LiveKey, number | undefined>> = {},
  uptimeTenths = 100_000,
): object {
  const usual: Record<keyof typeof LiveKey, number | undefined> = {
    phase: 4, current: 1900, voltage: 2100, temperature: 2400, permitted: 1900, charge: 3_600_000, run: 1, recipeId: 1,
    phaseSeconds: 100, liveSeconds: 3000, conditions: 0, permissivesMissing: 0, contactorClosed: 1, pulsePeriod: 10_000,
    pulseAge: 3, derate: 100, waiting: 0, conditionsHigh: 0, supplyKind: 1, rampState: 0, lowered: undefined,
  }; // prettier-ignore
  const message: Record<string, unknown> = { v: 1, i: INCARNATION, b: 1, u: uptimeTenths, s: 0 };
  for (const [name, value] of Object.entries({ ...usual, ...fields }))
    if (value !== undefined) message[LiveKey[name as keyof typeof LiveKey]] = value;
  return message;
}

export interface QuietBath {
  readonly acks: { i: number; r: number; e: number }[];
  /** Commands whose proof is right, without it. */
  readonly commands: Record<string, unknown>[];
  /** Everything that came on the command topic, as it came. */
  readonly commandPayloads: string[];
  say(kind: TopicKind, payload: object | string | Buffer): void;
  sayTo(topic: string, payload: string): void;
  readonly isConnected: boolean;
  leave(): Promise<void>;
}

/** Connects and subscribes as a controller does; resolves when the broker has taken both. */
export async function quietBath(dashboard: Dashboard, controllerId: string, secret: string): Promise<QuietBath> {
  const client: MqttClient = new mqtt.MqttClient(() => dashboard.connectController(), {
    username: controllerId,
    password: mqttPassword(secret),
    clientId: controllerId,
    protocolVersion: 4,
    keepalive: 0,
    reconnectPeriod: 0,
    will: { topic: topicOf(controllerId, 'status'), payload: Buffer.from('{"v":1,"o":0}'), qos: 1, retain: true },
  });
  client.on('error', () => undefined);
  const bath = {
    acks: [] as QuietBath['acks'],
    commands: [] as QuietBath['commands'],
    commandPayloads: [] as string[],
  };
  client.on('message', (topic, payload) => {
    if (topic.endsWith('/ack')) {
      bath.acks.push(JSON.parse(payload.toString()) as QuietBath['acks'][number]);
      return;
    }
    const text = payload.toString().slice(PROOF_DIGITS);
    bath.commandPayloads.push(payload.toString());
    const proof = createHmac('sha256', Buffer.from(secret, 'hex')).update(`${topic}\n${text}`).digest('hex');
    if (payload.toString().startsWith(proof)) bath.commands.push(JSON.parse(text) as Record<string, unknown>);
  });
  await new Promise<void>((done, failed) => {
    client.once('connect', () => {
      done();
    });
    client.once('close', () => {
      failed(new Error('the broker closed the connection'));
    });
  });
  await client.subscribeAsync([topicOf(controllerId, 'ack'), topicOf(controllerId, 'command')], { qos: 1 });
  const sayTo = (topic: string, payload: string | Buffer): void => {
    client.publish(topic, payload, { qos: topic.endsWith('/live') ? 0 : 1 });
  };
  return {
    ...bath,
    say: (kind, payload) => {
      sayTo(
        topicOf(controllerId, kind),
        typeof payload === 'string' || Buffer.isBuffer(payload) ? payload : JSON.stringify(payload),
      );
    },
    sayTo,
    get isConnected() {
      return client.connected;
    },
    leave: async () => {
      await client.endAsync(true);
    },
  };
}
