/* Who is let in at the broker and what a controller may touch: real MQTT clients and bare sockets on a loopback port. */
import { connect, type Socket } from 'node:net';
import fc from 'fast-check';
import mqtt, { type IClientOptions, type MqttClient } from 'mqtt';
import { afterEach, describe, expect, it } from 'vitest';
import { type Broker, openBroker } from '../../../dashboard/server/broker/broker.js';
import { largestPacketAhead } from '../../../dashboard/server/broker/packet-lengths.js';
import { drawnPasswordHash, passwordHash, passwordMatches } from '../../../dashboard/server/passwords.js';

const closings: (() => Promise<unknown> | void)[] = [];
afterEach(async () => {
  for (const close of closings.splice(0).reverse()) await close();
});

async function brokerOnLoopback(): Promise<{ broker: Broker; port: number; refusals: string[] }> {
  const refusals: string[] = [];
  const hashes: Record<string, string> = {
    'north-bench': await drawnPasswordHash('north'),
    'south-bench': await drawnPasswordHash('south'),
  };
  const broker = await openBroker({
    controllerPasswordHash: (id) => hashes[id],
    refused: (who, what) => refusals.push(`${who}: ${what}`),
  });
  closings.push(() => broker.close());
  return { broker, port: await broker.listen('127.0.0.1', 0, 0), refusals };
}

function client(port: number, options: IClientOptions): MqttClient {
  const made = mqtt.connect({
    host: '127.0.0.1',
    port,
    protocolVersion: 4,
    reconnectPeriod: 0,
    keepalive: 0,
    ...options,
  });
  made.on('error', () => undefined);
  closings.push(() => made.endAsync(true));
  return made;
}

const login = (user: string, password: string, clientId = user): IClientOptions => ({
  username: user,
  password,
  clientId,
});
const letIn = (made: MqttClient): Promise<boolean> =>
  new Promise((done) => {
    made.once('connect', () => {
      done(true);
    });
    made.once('close', () => {
      done(false);
    });
  });
const closed = (made: MqttClient | Socket): Promise<void> =>
  new Promise((done) => void made.once('close', () => done()));

describe('broker', () => {
  it.each([
    ['the right password', login('north-bench', 'north'), true],
    ['a wrong password', login('north-bench', 'nord'), false],
    ["another controller's password", login('north-bench', 'south'), false],
    ['a name that nobody paired', login('east-bench', 'north'), false],
    ["another controller's client id", login('north-bench', 'north', 'south-bench'), false],
    ["the ingest's name without its password", login('#ingest', 'guess'), false],
    ['no name at all', { clientId: 'stranger' }, false],
  ])('with %s a client is let in or not', async (_with, options, isLetIn) => {
    const { port, refusals } = await brokerOnLoopback();
    expect(await letIn(client(port, options))).toBe(isLetIn);
    expect(refusals).toHaveLength(isLetIn ? 0 : 1);
    expect(refusals.join()).not.toMatch(/nord|guess/);
  });

  it('lets a controller in again without the slow comparison, and refuses a wrong password all the same', async () => {
    const { port } = await brokerOnLoopback();
    const first = client(port, login('north-bench', 'north'));
    await letIn(first);
    await first.endAsync(true);
    expect(await letIn(client(port, login('north-bench', 'north')))).toBe(true);
    expect(await letIn(client(port, login('north-bench', 'nord')))).toBe(false);
  });

  it.each([
    'bathkeeper/1/south-bench/outbox',
    'bathkeeper/1/north-bench/ack',
    'bathkeeper/1/north-bench/command',
    'bathkeeper/1/south-bench/command',
    '$SYS/anything',
    'elsewhere',
  ])('drops a controller that publishes to %s', async (topic) => {
    const { port, refusals } = await brokerOnLoopback();
    const made = client(port, login('north-bench', 'north'));
    await letIn(made);
    const isClosed = closed(made);
    made.publish(topic, '{}', { qos: 1 });
    await isClosed;
    expect(refusals.join()).toContain('not its own');
  });

  it.each([
    ['bathkeeper/1/north-bench/ack', true],
    ['bathkeeper/1/north-bench/command', true],
    ['bathkeeper/1/south-bench/command', false],
    ['bathkeeper/1/north-bench/#', false],
    ['bathkeeper/1/+/live', false],
    ['#', false],
    ['$SYS/#', false],
  ])('answers a subscription to %s as its rights say', async (topic, isAllowed) => {
    const { port } = await brokerOnLoopback();
    const made = client(port, login('north-bench', 'north'));
    await letIn(made);
    const granted = await new Promise<number | undefined>((done) => {
      made.subscribe(topic, { qos: 1 }, (_fault, _asked, suback) => {
        done(suback?.granted[0] as number | undefined);
      });
    });
    expect(granted).toBe(isAllowed ? 1 : 128);
  });

  it('does not publish a last will on a topic that is not its own', async () => {
    const { broker, port, refusals } = await brokerOnLoopback();
    const heard: string[] = [];
    const ingest = client(port, { ...broker.ingestCredential, clientId: broker.ingestCredential.username });
    await letIn(ingest);
    ingest.on('message', (topic) => heard.push(topic));
    await ingest.subscribeAsync('bathkeeper/1/+/status', { qos: 1 });
    const forger = client(port, {
      ...login('north-bench', 'north'),
      will: { topic: 'bathkeeper/1/south-bench/status', payload: Buffer.from('{"v":1,"o":0}'), qos: 1, retain: false },
    });
    await letIn(forger);
    forger.stream.destroy();
    await closed(forger);
    const own = client(port, login('south-bench', 'south'));
    await letIn(own);
    await own.publishAsync('bathkeeper/1/south-bench/status', '{"v":1,"o":1}', { qos: 1 });
    await new Promise<void>((done) => void (heard.length > 0 ? done() : ingest.once('message', () => done())));
    expect(heard).toEqual(['bathkeeper/1/south-bench/status']);
    expect(refusals.join()).toContain('not its own');
  });

  it('closes a connection that announces a packet of megabytes, before it came', async () => {
    const { port, refusals } = await brokerOnLoopback();
    const made = client(port, login('north-bench', 'north'));
    await letIn(made);
    const isClosed = closed(made);
    made.stream.write(Buffer.from([0x30, 0xff, 0xff, 0xff, 0x7f]));
    await isClosed;
    expect(refusals.join()).toContain('was announced');
  });

  it('closes a connection that says a lot before it logs in', async () => {
    const { port, refusals } = await brokerOnLoopback();
    const socket = connect(port, '127.0.0.1');
    socket.on('error', () => undefined);
    const isClosed = closed(socket);
    socket.resume();
    // A login of 5 KB, which is a length that a packet may have.
    socket.write(Buffer.concat([Buffer.from([0x10, 0x88, 0x27]), Buffer.alloc(4900)]));
    await isClosed;
    expect(refusals.join()).toContain('before the login');
  });

  it('takes the next free port when its own is taken', async () => {
    const one = await brokerOnLoopback();
    const other = await openBroker({ controllerPasswordHash: () => undefined, refused: () => undefined });
    closings.push(() => other.close());
    expect(await other.listen('127.0.0.1', one.port, 20)).toBeGreaterThan(one.port);
  });
});

describe('packet lengths', () => {
  // MQTT 3.1.1 (OASIS Standard, 29 October 2014), table 2.4: the least and greatest value of each number of length bytes.
  it.each([
    [[0x00], 0],
    [[0x7f], 127],
    [[0x80, 0x01], 128],
    [[0xff, 0x7f], 16_383],
    [[0x80, 0x80, 0x01], 16_384],
    [[0xff, 0xff, 0x7f], 2_097_151],
    [[0x80, 0x80, 0x80, 0x01], 2_097_152],
    [[0xff, 0xff, 0xff, 0x7f], 268_435_455],
  ])('reads the bytes %j as %i', (bytes, length) => {
    expect(largestPacketAhead()(Uint8Array.from([0x30, ...bytes]))).toBe(length);
  });

  it('says that a fifth length byte is impossible', () => {
    expect(largestPacketAhead()(Uint8Array.from([0x30, 0x80, 0x80, 0x80, 0x80]))).toBe(Infinity);
  });

  it('finds the largest packet in whatever chunks a stream comes', () => {
    fc.assert(
      fc.property(
        fc.array(fc.nat(400), { minLength: 1, maxLength: 20 }),
        fc.array(fc.integer({ min: 1, max: 90 }), { minLength: 1 }),
        (lengths, chunks) => {
          const bytes = lengths.flatMap((length) => [
            0x30,
            ...(length < 128 ? [length] : [(length & 0x7f) | 0x80, length >> 7]),
            ...new Array<number>(length).fill(0xff),
          ]);
          const ahead = largestPacketAhead();
          let largest = 0;
          for (let at = 0, turn = 0; at < bytes.length; turn++) {
            const size = chunks[turn % chunks.length]!;
            largest = Math.max(largest, ahead(Uint8Array.from(bytes.slice(at, at + size))));
            at += size;
          }
          expect(largest).toBe(Math.max(...lengths));
        },
      ),
    );
  });
});

describe('passwords', () => {
  it.each([passwordHash, drawnPasswordHash])(
    'match only what was hashed, and never give two equal hashes',
    async (hash) => {
      const stored = await hash('correct horse');
      expect(stored).not.toContain('correct');
      expect(await hash('correct horse')).not.toBe(stored);
      expect(await passwordMatches('correct horse', stored)).toBe(true);
      expect(await passwordMatches('correct horsf', stored)).toBe(false);
      expect(await passwordMatches('', stored)).toBe(false);
    },
  );
});
