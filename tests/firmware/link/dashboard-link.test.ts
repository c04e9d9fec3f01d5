/* The link against a broker's end held by the test: when it dials, what it sends, what it takes, how it gives up. */
import '../loop/stand-in-board.js';
import fc from 'fast-check';
import mqttPacket, { type IPublishPacket, type Packet } from 'mqtt-packet';
import { beforeEach, describe, expect, it } from 'vitest';
import crypto, { createHmac } from 'node:crypto';
import { Command, EventKind, SupplyKind } from '@bathkeeper/shared-core/control';
import { eventOfStored, recordOfStored, STORED_RECORD_COLUMNS } from '@bathkeeper/shared-core/messages';
import { type DashboardLink, dashboardLink } from '../../../firmware/src/link/dashboard-link.js';
import { type Outbox, openOutbox } from '../../../firmware/src/link/outbox.js';
import { appendRow } from '../../../firmware/src/memory/chain.js';
import { openKeptRow } from '../../../firmware/src/memory/kept-row.js';
import { checkedSettings, sealedSettings } from '../../../firmware/src/settings.js';
import { StandInBoard, validSettings } from '../loop/stand-in-board.js';

let board: StandInBoard;
let outbox: Outbox;
let link: DashboardLink;
let parser: ReturnType<typeof mqttPacket.parser>;
let packets: Packet[];

/** What the link had to tell: kind, code, a, b. */
let told: number[][];
let nextCounter: number;
let heardSeconds: number;

const SECRET = 'a5'.repeat(32);
const TOPIC = 'bathkeeper/1/north-bench/command';
const proof = (text: string, secret = SECRET): string =>
  createHmac('sha256', Buffer.from(secret, 'hex')).update(text).digest('hex');

/** The firmware boots on this board. */
function boot(): void {
  const text = sealedSettings(JSON.stringify(board.file));
  const settings = checkedSettings(text, SupplyKind.analogue, () => undefined);
  const kept = openKeptRow(board.memory, board.randomBits);
  outbox = openOutbox(board.memory, kept, settings.isSimulated);
  told = [];
  link = dashboardLink(board, settings, outbox, kept, (...event) => told.push(event));
}

beforeEach(() => {
  board = new StandInBoard();
  nextCounter = 1_764_000_000_000;
  heardSeconds = 1_764_000_000;
  boot();
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

function publishText(kind: 'ack' | 'command', payload: string, messageId = 9): void {
  const topic = `bathkeeper/1/north-bench/${kind}`;
  receive({ cmd: 'publish', topic, payload, qos: 1, messageId, dup: false, retain: false }, 97);
}
const publish = (kind: 'ack' | 'command', fields: object, messageId = 9): void => {
  publishText(kind, JSON.stringify({ v: 1, ...fields }), messageId);
};

/** A command as the dashboard sends it: with the next counter, for this memory and boot, and its proof. */
function commandText(fields: object): string {
  const text = JSON.stringify({ v: 1, n: nextCounter++, i: INCARNATION, b: 1, x: 1e6, ...fields });
  return proof(`${TOPIC}\n${text}`) + text;
}
const command = (fields: object): void => {
  publishText('command', commandText(fields));
};

function beatFor(milliseconds: number, isEnergised = false): void {
  for (const end = board.nowMs + milliseconds; board.nowMs < end;) {
    board.nowMs += 500;
    link.beat(board.nowMs, isEnergised);
  }
}

function signText(fields: object = {}, secret = SECRET): string {
  const text = JSON.stringify({ v: 1, d: 'north-bench', t: ++heardSeconds, ...fields });
  return proof(`sign-of-life\n${text}`, secret) + text;
}
const signOfLife = (): void => {
  board.heard(signText());
};

/** Signs of life for as long as asked, so that only back-off decides about dialling. */
function beatWithSignsFor(milliseconds: number, isEnergised: boolean): number[] {
  const dialledAt: number[] = [];
  for (const end = board.nowMs + milliseconds; board.nowMs < end;) {
    board.nowMs += 500;
    signOfLife();
    const before = board.dials;
    link.beat(board.nowMs, isEnergised);
    if (board.dials > before) dialledAt.push(board.nowMs);
  }
  return dialledAt;
}

function goOnline(): void {
  signOfLife();
  link.beat(board.nowMs, false);
  parser = mqttPacket.parser({ protocolVersion: 4 });
  parser.on('packet', (packet) => packets.push(packet));
  board.dialled!.events.opened();
  receive({ cmd: 'connack', returnCode: 0, sessionPresent: false });
}

const publishes = (from: Packet[], kind: string): Record<string, unknown>[] =>
  from
    .filter((packet): packet is IPublishPacket => packet.cmd === 'publish' && packet.topic.endsWith('/' + kind))
    .map((packet) => JSON.parse(packet.payload.toString()) as Record<string, unknown>);

/** The interpreter's own SHA-256, where the firmware finds it. */
const interpreterCrypto = crypto as unknown as { SHA256: (text: string) => ArrayBuffer };
const acknowledgement: IPublishPacket = {
  cmd: 'publish',
  topic: 'bathkeeper/1/north-bench/ack',
  payload: JSON.stringify({ v: 1, i: 424242, r: 0, e: 0 }),
  qos: 1,
  dup: false,
  retain: false,
};

/** What the board's random bits give. */
const INCARNATION = 424242;
const record = () => new Array<number>(STORED_RECORD_COLUMNS).fill(1);

/** Does a live message leave now? */
function isLiveSent(): boolean {
  sentPackets();
  link.publishLive('{"v":1}');
  return publishes(sentPackets(), 'live').length === 1;
}

function signOf(fields: object, secret = SECRET): string {
  const text = JSON.stringify({ v: 1, d: 'north-bench', t: 1_764_000_001, ...fields });
  return proof(`sign-of-life\n${text}`, secret) + text;
}

describe('dialling', () => {
  it('needs no sign of life where it holds nothing up, and backs off all the same', () => {
    board.dialingBlocks = false;
    board.isRefusing = true;
    boot();
    for (let beat = 0; beat < 240; beat++) {
      board.nowMs += 500;
      link.beat(board.nowMs, true);
    }
    expect(board.dials).toBeGreaterThan(3);
    expect(board.dials).toBeLessThanOrEqual(8);
  });

  it('never happens without a sign of life, and not on one that is older than 12 s', () => {
    beatFor(60000);
    signOfLife();
    board.nowMs += 12000;
    link.beat(board.nowMs, false);
    expect(board.dials).toBe(0);
    signOfLife();
    board.nowMs += 11500;
    link.beat(board.nowMs, false);
    expect(board.dials).toBe(1);
  });

  it.each([
    '',
    'rubbish',
    '{"v":1,"d":"north-bench","t":1764000001}',
    signOf({ d: 'south-bench' }),
    signOf({ v: 2 }),
    signOf({ t: 'now' }),
    signOf({ t: 0 }),
    signOf({ t: undefined }),
    signOf({}, '5a'.repeat(32)),
    signOf({}).toUpperCase(),
  ])('is not started by the datagram %j', (text) => {
    board.heard(text);
    link.beat(board.nowMs, false);
    expect(board.dials).toBe(0);
  });

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
    link.beat(board.nowMs, false);
    board.dialled!.events.closed();
    expect(beatWithSignsFor(5000, false).length).toBe(1);
  });
});

describe('a session', () => {
  it('logs in with a password that follows from the secret', () => {
    goOnline();
    const [connect] = sentPackets();
    expect(connect).toMatchObject({ username: 'north-bench', password: Buffer.from(proof('mqtt password')) });
  });

  it('opens with CONNECT and last will, subscribes, and says online, retained', () => {
    goOnline();
    const sent = sentPackets();
    expect(sent.map((packet) => packet.cmd)).toEqual(['connect', 'subscribe', 'publish']);
    expect(sent[0]).toMatchObject({ will: { topic: 'bathkeeper/1/north-bench/status', retain: true, qos: 1 } });
    expect(sent[2]).toMatchObject({ retain: true, qos: 1, payload: Buffer.from('{"v":1,"o":1}') });
  });

  it('that the broker refuses is closed and tried again later', () => {
    signOfLife();
    link.beat(board.nowMs, false);
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

  it('takes many short messages that come at once, however long they are together', () => {
    goOnline();
    sentPackets();
    const packet = mqttPacket.generate({ ...acknowledgement, messageId: 7 }).toString('latin1');
    board.dialled!.events.received(packet.repeat(40));
    expect(board.dialled!.isEnded).toBe(false);
    expect(sentPackets().filter(({ cmd }) => cmd === 'puback')).toHaveLength(40);
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
    for (let i = 0; i < 4; i++) appendRow(outbox.records, record());
    beatFor(1000);
    expect(publishes(sentPackets(), 'outbox')).toEqual([]);
    appendRow(outbox.records, record());
    beatFor(9500);
    expect(publishes(sentPackets(), 'outbox').length).toBe(1);
    receive({ cmd: 'pingresp' });
    beatFor(1000);
    const again = publishes(sentPackets(), 'outbox');
    expect(again.length).toBe(1);
    expect((again[0]!['r'] as string[]).map((row) => recordOfStored(row)![0])).toEqual([1, 2, 3, 4, 5]);
  });

  it('sends an event at once, with the records that wait', () => {
    goOnline();
    sentPackets();
    appendRow(outbox.records, record());
    appendRow(outbox.events, [0, 1, 1, 2, 3, 4, 5, 6, 7]);
    beatFor(500);
    const [message] = publishes(sentPackets(), 'outbox');
    expect(message).toMatchObject({ v: 1, i: INCARNATION, b: 1, s: 0 });
    expect((message!['e'] as string[]).map(eventOfStored)).toEqual([[1, 1, 2, 3, 4, 5, 6, 7]]);
    expect((message!['r'] as unknown[]).length).toBe(1);
  });

  it('empties a backlog as fast as it is acknowledged, eight a message', () => {
    for (let i = 0; i < 100; i++) appendRow(outbox.records, record());
    goOnline();
    link.beat(board.nowMs, false);
    let through = 0;
    for (let turn = 0; turn < 12; turn++) {
      const [message] = publishes(sentPackets(), 'outbox');
      const rows = (message!['r'] as string[]).map((row) => recordOfStored(row)!);
      expect(rows.length).toBe(8);
      expect(rows[0]![0]).toBe(through + 1);
      through = rows[7]![0]!;
      publish('ack', { i: INCARNATION, r: through, e: 0 });
    }
    expect(outbox.records.waiting).toBe(4);
  });

  it('does not send again for a second acknowledgement of the same rows', () => {
    for (let i = 0; i < 30; i++) appendRow(outbox.records, record());
    goOnline();
    link.beat(board.nowMs, false);
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
    for (let i = 0; i < 5; i++) appendRow(outbox.records, record());
    beatFor(500);
    board.dialled!.events.closed();
    beatFor(1500);
    goOnline();
    link.beat(board.nowMs, false);
    expect(publishes(sentPackets(), 'outbox').length).toBe(1);
  });
});

describe('commands', () => {
  it('are handed out in order, each once', () => {
    goOnline();
    command({ d: 11, k: Command.hold });
    command({ d: 12, k: Command.lower, c: 250 });
    expect(link.commands.shift()).toMatchObject({ id: 11, command: Command.hold, answer: 0 });
    expect(link.commands.shift()).toMatchObject({ id: 12, command: Command.lower, lowerToAmps: 2.5 });
    expect(link.commands.shift()).toBeUndefined();
    expect(told).toEqual([]);
  });

  it('that come twice, or whose counter is not above the highest taken, are refused as replayed', () => {
    goOnline();
    const first = commandText({ d: 11, k: Command.stop });
    const second = commandText({ d: 12, k: Command.stop });
    publishText('command', second);
    publishText('command', second);
    publishText('command', first);
    expect(link.commands.map(({ id }) => id)).toEqual([12]);
    link.beat(board.nowMs, true);
    expect(told).toEqual([[EventKind.commandRefused, 2, 11, 2]]);
  });

  it('that were taken before a restart are refused after it, though they say the right boot', () => {
    goOnline();
    const taken = commandText({ d: 11, k: Command.stop, b: 2 });
    publishText('command', taken);
    boot();
    goOnline();
    publishText('command', taken);
    expect(link.commands).toEqual([]);
    link.beat(board.nowMs, false);
    expect(told).toEqual([[EventKind.commandRefused, 2, 11, 1]]);
  });

  it.each([
    ['without a proof', JSON.stringify({ v: 1, d: 5, n: 9e12, k: 1, i: 424242, b: 1, x: 1e6 })],
    ['with nothing behind the proof', proof(`${TOPIC}\n`)],
    ['empty', ''],
    [
      'proved under another secret',
      ((text) => proof(`${TOPIC}\n${text}`, '5a'.repeat(32)) + text)('{"v":1,"d":5,"n":9e12,"k":1}'),
    ],
    ['proved for another controller', ((text) => proof(`bathkeeper/1/x/command\n${text}`) + text)('{"v":1,"d":5}')],
    ['proved as a sign of life', ((text) => proof(`sign-of-life\n${text}`) + text)('{"v":1,"d":5,"n":9e12,"k":1}')],
  ])('%s are refused as forged', (_how, payload) => {
    goOnline();
    publishText('command', payload);
    expect(link.commands).toEqual([]);
    link.beat(board.nowMs, true);
    expect(told).toEqual([[EventKind.commandRefused, 1, 0, 1]]);
  });

  it.each([{ i: 7 }, { b: 77 }, { x: -1 }])(
    'with %o are out of date: only answered, told, and never taken later',
    (change) => {
      goOnline();
      const late = commandText({ d: 9, k: Command.stop, ...change });
      publishText('command', late);
      expect(link.commands.shift()).toMatchObject({ id: 9, answer: 2 });
      publishText('command', late);
      expect(link.commands).toEqual([]);
      link.beat(board.nowMs, true);
      expect(told).toEqual([[EventKind.commandRefused, 2, 9, 2]]);
    },
  );

  it('are never taken by a controller that was not paired, whatever secret they are made with', () => {
    const { secret: _, ...unpaired } = validSettings();
    board.file = unpaired;
    boot();
    for (const secret of ['', '00', '00'.repeat(32), SECRET]) board.heard(signText({}, secret));
    link.beat(board.nowMs, false);
    expect(board.dials).toBe(0);
    board.nowMs += 1e7;
    expect(link.dashboardSilentSeconds()).toBe(0);
    expect(link.dashboardTimeSeconds()).toBe(0);
  });

  it('that are refused are told at most once a minute, with their number', () => {
    goOnline();
    for (let second = 0; second < 150; second++) {
      receive({ cmd: 'pingresp' });
      publishText('command', 'forged');
      beatFor(1000, true);
    }
    expect(told.map(([, , , count]) => count)).toEqual([1, 60, 60]);
  });

  it('at most four wait, and one that found no place is taken when it comes again', () => {
    goOnline();
    for (let d = 1; d <= 4; d++) command({ d, k: Command.acknowledge });
    const fifth = commandText({ d: 5, k: Command.acknowledge });
    publishText('command', fifth);
    for (let d = 1; d <= 4; d++) expect(link.commands.shift()?.id).toBe(d);
    expect(link.commands.shift()).toBeUndefined();
    publishText('command', fifth);
    expect(link.commands.shift()?.id).toBe(5);
  });

  it('are carried out even when the memory does not take their counter', () => {
    goOnline();
    board.memory.write = () => {
      throw new Error('no acknowledge');
    };
    command({ d: 5, k: Command.stop });
    expect(link.commands).toMatchObject([{ id: 5, answer: 0 }]);
  });
});

describe('signs of life', () => {
  it('hand on the dashboard’s time, which goes on between them', () => {
    expect(link.dashboardTimeSeconds()).toBe(0);
    board.heard(signText({ t: 1_764_000_500 }));
    board.nowMs += 2500;
    expect(link.dashboardTimeSeconds()).toBe(1_764_000_502.5);
  });

  it('say how long the dashboard has been silent, since the boot when none was heard', () => {
    board.nowMs = 7000;
    expect(link.dashboardSilentSeconds()).toBe(7);
    signOfLife();
    expect(link.dashboardSilentSeconds()).toBe(0);
    board.nowMs += 61_999;
    expect(link.dashboardSilentSeconds()).toBe(61);
  });

  it('that come on two ways count once; an older one is refused and changes nothing', () => {
    const old = signText();
    const newer = signText();
    board.heard(newer);
    board.nowMs += 5000;
    board.heard(newer);
    expect(link.dashboardSilentSeconds()).toBe(5);
    link.beat(board.nowMs, false);
    expect(told).toEqual([]);
    board.nowMs += 1000;
    board.heard(old);
    expect(link.dashboardSilentSeconds()).toBe(6);
    link.beat(board.nowMs, false);
    expect(told).toEqual([[EventKind.commandRefused, 2, 0, 1]]);
  });

  it('are looked at once a second at most, whatever a flood of forged ones costs', () => {
    let digests = 0;
    const { SHA256 } = interpreterCrypto;
    interpreterCrypto.SHA256 = (text: string) => {
      digests++;
      return SHA256(text);
    };
    try {
      boot();
      const forged = signText({}, '5a'.repeat(32));
      digests = 0;
      for (let i = 0; i < 5000; i++) {
        board.nowMs += 1;
        board.heard(forged);
      }
      expect(digests).toBeLessThanOrEqual(2 * 6);
      // A right one is heard as soon as its second has come.
      board.nowMs += 1000;
      board.heard(signText());
      expect(link.dashboardSilentSeconds()).toBe(0);
    } finally {
      interpreterCrypto.SHA256 = SHA256;
    }
  });

  it('that name this controller without a proof are told; those for another are passed over', () => {
    board.heard(signText({ d: 'south-bench' }));
    board.heard('rubbish');
    link.beat(board.nowMs, false);
    expect(told).toEqual([]);
    board.heard(signText({}, '5a'.repeat(32)));
    link.beat(board.nowMs, false);
    expect(told).toEqual([[EventKind.commandRefused, 1, 0, 1]]);
    expect(board.dials).toBe(0);
  });
});

describe('whatever a stranger sends', () => {
  /** A good message with something done to it: cut, bits turned over, bytes put in or taken out; or no message at all. */
  const spoiled = (good: string): fc.Arbitrary<string> =>
    fc.oneof(
      fc.uint8Array({ maxLength: 700 }).map((bytes) => Buffer.from(bytes).toString('latin1')),
      fc.nat({ max: good.length - 1 }).map((length) => good.substring(0, length)),
      fc.tuple(fc.nat({ max: good.length - 1 }), fc.integer({ min: 1, max: 255 })).map(([at, change]) => {
        const changed = String.fromCharCode(good.charCodeAt(at) ^ change);
        return good.substring(0, at) + changed + good.substring(at + 1);
      }),
      fc
        .tuple(fc.nat({ max: good.length }), fc.string({ minLength: 1, maxLength: 40, unit: 'binary-ascii' }))
        .map(([at, more]) => good.substring(0, at) + more + good.substring(at)),
      fc.json().map((text) => 'a'.repeat(64) + text),
    );

  it('is never taken for a command or a sign of life, and never makes the link throw', () => {
    goOnline();
    const stop = commandText({ d: 5, k: Command.stop });
    const sign = signText();
    fc.assert(
      fc.property(spoiled(stop), spoiled(sign), (command, datagram) => {
        const heardBefore = link.dashboardTimeSeconds();
        publishText('command', command);
        publishText('ack', command);
        board.heard(datagram);
        link.beat(board.nowMs, true);
        expect(link.commands).toEqual([]);
        expect(link.dashboardTimeSeconds()).toBe(heardBefore);
      }),
      { seed: 20_260_110, numRuns: 400 },
    );
    publishText('command', stop);
    expect(link.commands.length).toBe(1);
  });

  it('as bytes of the connection itself never makes the link throw or act', () => {
    fc.assert(
      fc.property(fc.array(fc.uint8Array({ minLength: 1, maxLength: 60 }), { maxLength: 20 }), (chunks) => {
        board = new StandInBoard();
        boot();
        goOnline();
        for (const chunk of chunks) board.dialled!.events.received(Buffer.from(chunk).toString('latin1'));
        link.beat(board.nowMs, true);
        expect(link.commands).toEqual([]);
      }),
      { seed: 20_260_111, numRuns: 300 },
    );
  });
});
