/* The link against a broker's end held by the test: when it dials, what it sends, what it takes, how it gives up. */
import '../loop/stand-in-board.js';
import mqttPacket, { type IPublishPacket, type Packet } from 'mqtt-packet';
import { beforeEach, describe, expect, it } from 'vitest';
import { Command } from '@bathkeeper/shared-core/control';
import { type DashboardLink, dashboardLink } from '../../../firmware/src/link/dashboard-link.js';
import { type Outbox, openOutbox } from '../../../firmware/src/link/outbox.js';
import { openKeptRow } from '../../../firmware/src/memory/kept-row.js';
import { checkedSettings } from '../../../firmware/src/settings.js';
import { StandInBoard } from '../loop/stand-in-board.js';

let board: StandInBoard;
let outbox: Outbox;
let link: DashboardLink;
let parser: ReturnType<typeof mqttPacket.parser>;
let packets: Packet[];

beforeEach(() => {
  board = new StandInBoard();
  const settings = checkedSettings(board.file, (fault) => {
    throw new Error(fault);
  });
  const kept = openKeptRow(board.memory, board.randomBits);
  outbox = openOutbox(board.memory, kept, settings.isSimulated);
  link = dashboardLink(board, settings, outbox, kept);
});

/** Packets that the firmware sent since the last look. */
function sentPackets(): Packet[] {
  packets = [];
  parser.parse(board.dialled!.takeSent());
  return packets;
}

function receive(packet: Packet, chunk = 7): void {
  const text = mqttPacket.generate(packet).toString('latin1');
  for (let at = 0; at < text.length; at += chunk) board.dialled!.events.received(text.substring(at, at + chunk));
}

function publish(kind: 'ack' | 'command', fields: object, messageId = 9): void {
  const topic = `bathkeeper/1/north-bench/${kind}`;
  receive({
    cmd: 'publish',
    topic,
    payload: JSON.stringify({ v: 1, ...fields }),
    qos: 1,
    messageId,
    dup: false,
    retain: false,
  });
}

function beatFor(milliseconds: number, isEnergised = false): void {
  for (const end = board.nowMs + milliseconds; board.nowMs < end;) {
    board.nowMs += 500;
    link.beat(isEnergised);
  }
}

const signOfLife = () => {
  board.heard('{"v":1,"t":1764000000}');
};

/** Signs of life for as long as asked, so that only back-off decides about dialling. */
function beatWithSignsFor(milliseconds: number, isEnergised: boolean): number[] {
  const dialledAt: number[] = [];
  for (const end = board.nowMs + milliseconds; board.nowMs < end;) {
    board.nowMs += 500;
    signOfLife();
    const before = board.dials;
    link.beat(isEnergised);
    if (board.dials > before) dialledAt.push(board.nowMs);
  }
  return dialledAt;
}

function goOnline(): void {
  signOfLife();
  link.beat(false);
  parser = mqttPacket.parser({ protocolVersion: 4 });
  parser.on('packet', (packet) => packets.push(packet));
  board.dialled!.events.opened();
  receive({ cmd: 'connack', returnCode: 0, sessionPresent: false });
}

const publishes = (from: Packet[], kind: string): Record<string, unknown>[] =>
  from
    .filter((packet): packet is IPublishPacket => packet.cmd === 'publish' && packet.topic.endsWith('/' + kind))
    .map((packet) => JSON.parse(packet.payload.toString()) as Record<string, unknown>);

/** What the board's random bits give. */
const INCARNATION = 424242;
const record = () => new Array<number>(17).fill(1);

/** Does a live message leave now? */
function isLiveSent(): boolean {
  sentPackets();
  link.publishLive('{"v":1}');
  return publishes(sentPackets(), 'live').length === 1;
}

describe('dialling', () => {
  it('never happens without a sign of life, and not on one that is older than 12 s', () => {
    beatFor(60000);
    signOfLife();
    board.nowMs += 12000;
    link.beat(false);
    expect(board.dials).toBe(0);
    signOfLife();
    board.nowMs += 11500;
    link.beat(false);
    expect(board.dials).toBe(1);
  });

  it.each(['', '{"v":1}', '{"v":2,"t":1}', '{"v":1,"t":"now"}', 'rubbish'])(
    'is not started by the datagram %j',
    (text) => {
      board.heard(text);
      link.beat(false);
      expect(board.dials).toBe(0);
    },
  );

  it('backs off 1, 2, 4 ... 60 s while refused', () => {
    board.isRefusing = true;
    const dialledAt = beatWithSignsFor(300000, false);
    const waits = dialledAt.slice(1).map((ms, i) => (ms - dialledAt[i]!) / 1000);
    expect(waits.slice(0, 8)).toEqual([1, 2, 4, 8, 16, 32, 60, 60]);
  });

  it('backs off 60, 300, 900 s after attempts that stalled while energised', () => {
    board.isRefusing = true;
    board.dialBlocksMs = 15000;
    const dialledAt = beatWithSignsFor(3600000, true);
    const waits = dialledAt.slice(1).map((ms, i) => Math.round((ms - dialledAt[i]! - 15000) / 1000));
    expect(waits.slice(0, 4)).toEqual([60, 300, 900, 900]);
  });

  it('starts afresh after a session stood', () => {
    board.isRefusing = true;
    beatWithSignsFor(60000, false);
    board.isRefusing = false;
    board.nowMs += 60000;
    goOnline();
    link.beat(false);
    board.dialled!.events.closed();
    expect(beatWithSignsFor(5000, false).length).toBe(1);
  });
});

describe('a session', () => {
  it('opens with CONNECT and last will, subscribes, and says online, retained', () => {
    goOnline();
    const sent = sentPackets();
    expect(sent.map((packet) => packet.cmd)).toEqual(['connect', 'subscribe', 'publish']);
    expect(sent[0]).toMatchObject({ will: { topic: 'bathkeeper/1/north-bench/status', retain: true, qos: 1 } });
    expect(sent[2]).toMatchObject({ retain: true, qos: 1, payload: Buffer.from('{"v":1,"o":1}') });
  });

  it('that the broker refuses is closed and tried again later', () => {
    signOfLife();
    link.beat(false);
    receive({ cmd: 'connack', returnCode: 5, sessionPresent: false });
    expect(board.dialled!.isEnded).toBe(true);
    expect(beatWithSignsFor(3000, false).length).toBe(1);
  });

  it('pings every 10 s and is given up after 25 s of silence', () => {
    goOnline();
    sentPackets();
    beatFor(24500);
    expect(sentPackets().filter((packet) => packet.cmd === 'pingreq').length).toBe(2);
    expect(board.dialled!.isEnded).toBe(false);
    beatFor(500);
    expect(board.dialled!.isEnded).toBe(true);
  });

  it('stays while the pings are answered', () => {
    goOnline();
    for (let second = 0; second < 120; second++) {
      beatFor(1000);
      receive({ cmd: 'pingresp' });
    }
    expect(board.dialled!.isEnded).toBe(false);
    expect(isLiveSent()).toBe(true);
  });

  it('gets no live message any more once nothing was heard for 12 s', () => {
    goOnline();
    board.nowMs += 11999;
    expect(isLiveSent()).toBe(true);
    board.nowMs += 1;
    expect(isLiveSent()).toBe(false);
  });

  it('is dropped when the other side sends an endless packet', () => {
    goOnline();
    board.dialled!.events.received('\x30\xff\x7f');
    expect(board.dialled!.isEnded).toBe(true);
  });

  it('ignores what a closed connection still has to say', () => {
    goOnline();
    const old = board.dialled!;
    old.events.closed();
    board.nowMs += 5000;
    goOnline();
    old.events.closed();
    old.events.received('\x30\xff\x7f');
    expect(board.dialled!.isEnded).toBe(false);
    expect(isLiveSent()).toBe(true);
  });

  it('is not hurt by rubbish', () => {
    goOnline();
    board.dialled!.events.received('\x00\x00\x30\x02\xff\xff\x10\x00');
    publish('command', { d: 'x' });
    publish('ack', { i: 'x', r: {}, e: null });
    expect(board.dialled!.isEnded).toBe(false);
  });
});

describe('sending', () => {
  it('waits for five records, sends them, and sends again only after 10 s without an acknowledgement', () => {
    goOnline();
    for (let i = 0; i < 4; i++) outbox.records.append(record());
    beatFor(1000);
    expect(publishes(sentPackets(), 'outbox')).toEqual([]);
    outbox.records.append(record());
    beatFor(9500);
    expect(publishes(sentPackets(), 'outbox').length).toBe(1);
    receive({ cmd: 'pingresp' });
    beatFor(1000);
    const again = publishes(sentPackets(), 'outbox');
    expect(again.length).toBe(1);
    expect((again[0]!['r'] as number[][]).map((row) => row[0])).toEqual([1, 2, 3, 4, 5]);
  });

  it('sends an event at once, with the records that wait', () => {
    goOnline();
    sentPackets();
    outbox.records.append(record());
    outbox.events.append([0, 1, 1, 2, 3, 4, 5, 6, 7]);
    beatFor(500);
    const [message] = publishes(sentPackets(), 'outbox');
    expect(message).toMatchObject({ v: 1, i: INCARNATION, b: 1, s: 0, e: [[1, 1, 2, 3, 4, 5, 6, 7]] });
    expect((message!['r'] as unknown[]).length).toBe(1);
  });

  it('empties a backlog as fast as it is acknowledged, eight a message', () => {
    for (let i = 0; i < 100; i++) outbox.records.append(record());
    goOnline();
    link.beat(false);
    let through = 0;
    for (let turn = 0; turn < 12; turn++) {
      const [message] = publishes(sentPackets(), 'outbox');
      const rows = message!['r'] as number[][];
      expect(rows.length).toBe(8);
      expect(rows[0]![0]).toBe(through + 1);
      through = rows[7]![0]!;
      publish('ack', { i: INCARNATION, r: through, e: 0 });
    }
    expect(outbox.records.waiting).toBe(4);
  });

  it('does not send again for a second acknowledgement of the same rows', () => {
    for (let i = 0; i < 30; i++) outbox.records.append(record());
    goOnline();
    link.beat(false);
    sentPackets();
    publish('ack', { i: INCARNATION, r: 8, e: 0 });
    expect(publishes(sentPackets(), 'outbox').length).toBe(1);
    publish('ack', { i: INCARNATION, r: 8, e: 0 });
    expect(publishes(sentPackets(), 'outbox')).toEqual([]);
  });

  it('answers every QoS 1 message on the way of MQTT', () => {
    goOnline();
    sentPackets();
    publish('ack', { i: 1, r: 0, e: 0 }, 77);
    expect(sentPackets()).toMatchObject([{ cmd: 'puback', messageId: 77 }]);
  });

  it('a message in flight when the connection died is sent again at once on the next', () => {
    goOnline();
    for (let i = 0; i < 5; i++) outbox.records.append(record());
    beatFor(500);
    board.dialled!.events.closed();
    beatFor(1500);
    goOnline();
    link.beat(false);
    expect(publishes(sentPackets(), 'outbox').length).toBe(1);
  });
});

describe('commands', () => {
  it('are handed out once each, in order, however often they come', () => {
    goOnline();
    for (const d of [11, 12, 11, 12]) publish('command', { d, k: Command.hold, b: 1, x: 1e6 });
    expect(link.commands.shift()).toMatchObject({ id: 11, command: Command.hold, answer: 0 });
    expect(link.commands.shift()).toMatchObject({ id: 12 });
    publish('command', { d: 12, k: Command.hold, b: 1, x: 1e6 });
    expect(link.commands.shift()).toBeUndefined();
  });

  it('at most four wait, and one that found no place is taken when it comes again', () => {
    goOnline();
    for (let d = 1; d <= 6; d++) publish('command', { d, k: Command.acknowledge, b: 1, x: 1e6 });
    for (let d = 1; d <= 4; d++) expect(link.commands.shift()?.id).toBe(d);
    expect(link.commands.shift()).toBeUndefined();
    publish('command', { d: 5, k: Command.acknowledge, b: 1, x: 1e6 });
    expect(link.commands.shift()?.id).toBe(5);
  });
});
