import { beforeEach, describe, expect, it } from 'vitest';
import mqtt from 'mqtt-packet';
import { simulatedBoardSettings, StandInDashboard, type BathConnection } from '@bathkeeper/firmware/bench';
import { PASSWORD_PROVED, PROOF_DIGITS, RECORD_COLUMNS, RecordColumn, topicOf } from '@bathkeeper/shared-core/messages';
import { storedRecord } from '../link/stored-text.js';

const settings = simulatedBoardSettings();
const id = settings.controllerId;
let standIn: StandInDashboard;
let connection: BathConnection;
let heard: mqtt.Packet[];

function say(packet: mqtt.Packet): void {
  connection.write(mqtt.generate(packet));
}
function sayHello(password = standIn.proof(PASSWORD_PROVED)): void {
  const will = { topic: topicOf(id, 'status'), payload: Buffer.from('{"v":1,"o":0}'), qos: 1 as const, retain: true };
  say({
    cmd: 'connect',
    protocolId: 'MQTT',
    protocolVersion: 4,
    clean: true,
    clientId: id,
    keepalive: 15,
    username: id,
    password: Buffer.from(password),
    will,
  });
}
function publish(topic: string, message: object): void {
  say({ cmd: 'publish', topic, payload: JSON.stringify(message), qos: 1, messageId: 9, dup: false, retain: false });
}
function record(first: number): number[] {
  return Array.from({ length: RECORD_COLUMNS }, (_, at) =>
    at === RecordColumn.first ? first : at === RecordColumn.span ? 1 : 0,
  );
}

beforeEach(() => {
  standIn = new StandInDashboard(settings);
  const answer = standIn.connect('127.0.0.1', settings.link.port);
  if (typeof answer === 'string') throw new Error(answer);
  connection = answer;
  heard = [];
  const parser = mqtt.parser({ protocolVersion: 4 });
  parser.on('packet', (packet: mqtt.Packet) => heard.push(packet));
  connection.onBytes((bytes) => {
    parser.parse(Buffer.from(bytes));
  });
});

describe('the stand-in dashboard', () => {
  it('accepts a controller, acknowledges its outbox end to end and keeps the books', () => {
    sayHello();
    publish(topicOf(id, 'outbox'), {
      v: 1,
      i: 77,
      b: 1,
      u: 10,
      s: 1,
      r: [record(1), record(2)].map(storedRecord),
      e: [],
    });
    expect(heard.map(({ cmd }) => cmd)).toEqual(['connack', 'puback', 'publish']);
    const ack = heard[2] as mqtt.IPublishPacket;
    expect(ack.topic).toBe(topicOf(id, 'ack'));
    expect(JSON.parse(ack.payload.toString())).toEqual({ v: 1, i: 77, r: 2, e: 0 });
    expect(standIn.ledger!.records.delivered).toBe(2);
    expect(standIn.complaints).toEqual([]);
  });

  it('says nothing about the outbox when it shall not acknowledge', () => {
    standIn.acknowledges = false;
    sayHello();
    publish(topicOf(id, 'outbox'), { v: 1, i: 77, r: [storedRecord(record(1))], e: [] });
    expect(heard.map(({ cmd }) => cmd)).toEqual(['connack', 'puback']);
  });

  it('refuses a wrong password', () => {
    sayHello('guessed');
    expect(heard).toMatchObject([{ cmd: 'connack', returnCode: 5 }]);
    publish(topicOf(id, 'live'), { v: 1 });
    expect(standIn.liveCount).toBe(0);
    expect(standIn.complaints[0]).toContain('wrong user or password');
  });

  it('carries out the last will when the connection ends without DISCONNECT', () => {
    sayHello();
    publish(topicOf(id, 'status'), { v: 1, o: 1 });
    expect(standIn.isOnline).toBe(true);
    connection.close();
    expect(standIn.isOnline).toBe(false);
  });

  it('complains about what a broker would not take', () => {
    publish(topicOf(id, 'live'), { v: 1 });
    expect(standIn.complaints).toEqual(['publish before CONNECT']);
  });

  it.each([
    ['a topic that is not the controller’s', topicOf('south-bench', 'live'), { v: 1 }, 'not its own'],
    ['another version', topicOf(id, 'live'), { v: 2 }, 'version 2'],
  ])('complains about %s', (_what, topic, message, complaint) => {
    sayHello();
    publish(topic, message);
    expect(standIn.complaints).toMatchObject([expect.stringContaining(complaint)]);
  });

  it('sends a command only to a controller that listens and was heard', () => {
    sayHello();
    expect(standIn.sendRecipe([1])).toBe(false);
    say({ cmd: 'subscribe', messageId: 3, subscriptions: [{ topic: topicOf(id, 'command'), qos: 1 }] });
    standIn.signOfLife(60);
    publish(topicOf(id, 'live'), { v: 1, i: 77, b: 4, u: 1000 });
    expect(standIn.sendRecipe([1])).toBe(true);
    const { topic, payload } = heard.at(-1) as mqtt.IPublishPacket;
    const text = payload.toString().slice(PROOF_DIGITS);
    expect(payload.toString().slice(0, PROOF_DIGITS)).toBe(standIn.proof(`${topic}\n${text}`));
    const n = (standIn.startEpochSeconds + 60) * 1000;
    expect(JSON.parse(text)).toEqual({ v: 1, d: 1, n, k: 4, i: 77, b: 4, x: 1300, g: [1] });
    standIn.sendLower(4.2);
    const second = (heard.at(-1) as mqtt.IPublishPacket).payload.toString().slice(PROOF_DIGITS);
    expect(JSON.parse(second)).toEqual({ v: 1, d: 2, n: n + 1, k: 5, i: 77, b: 4, x: 1300, c: 420 });
  });

  it('complains when somebody else is dialled', () => {
    expect(standIn.connect('192.0.2.1', 1883)).toBe('refused');
    expect(standIn.complaints[0]).toContain('dialled 192.0.2.1');
  });
});
