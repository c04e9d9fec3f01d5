/*
 * The bundle in the real interpreter, with its own timers and its own sockets, against a real broker on this machine: it hears the
 * sign of life, dials, logs in with its last will, tells its state, takes a recipe, sends its outbox until that is acknowledged, and
 * the broker gives out the will when the power goes. The bath around it is the prelude's.
 */
import { createHmac } from 'node:crypto';
import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import { createServer, type AddressInfo, type Socket } from 'node:net';
import { crc32 } from 'node:zlib';
import { Aedes, type AedesPublishPacket, type Client } from 'aedes';
import { describe, expect, it, onTestFinished } from 'vitest';
import { Command, EventKind } from '@bathkeeper/shared-core/control';
import { EventColumn, PASSWORD_PROVED, SIGN_OF_LIFE_PROVED, topicOf } from '@bathkeeper/shared-core/messages';
import { outboxRows } from '@bathkeeper/firmware/bench';
import { BOOT_FILE, buildFirmware } from '@bathkeeper/firmware/build';
import { ESPRUINO_BIN, prelude, runInInterpreter, SKIPPED_WITHOUT } from './interpreter-run.js';

const CONTROLLER = 'north-bench';
const SECRET = '7b'.repeat(32);
const proof = (text: string): string => createHmac('sha256', Buffer.from(SECRET, 'hex')).update(text).digest('hex');
const RECIPE_ROW = [7, 15.5, 4, 30, 60, 20, 2_400_000, 2, 60, 5, 3600, 6, 18, 28, 32];

/** The settings file's text: the check sum of the JSON in eight digits before it. */
function sealed(settings: object): string {
  const json = JSON.stringify(settings);
  return crc32(json).toString(16).padStart(8, '0') + json;
}

interface Published {
  readonly topic: string;
  readonly fields: Record<string, unknown>;
  readonly isRetained: boolean;
}

/** A broker on a free port; answers what controllers publish, and lets a test wait for a message. */
async function openBroker() {
  const broker = await Aedes.createBroker();
  const published: Published[] = [];
  const waiting = new Set<() => void>();
  const logins: { id: string; user: string; password: string }[] = [];
  broker.authenticate = (client: Client, user, password, done) => {
    logins.push({ id: client.id, user: String(user), password: String(password) });
    done(null, true);
  };
  broker.on('publish', (packet: AedesPublishPacket) => {
    // Commands are ours, and begin with a proof.
    if (!packet.topic.startsWith('bathkeeper/') || packet.topic.endsWith('/command')) return;
    const fields = JSON.parse(packet.payload.toString()) as Record<string, unknown>;
    published.push({ topic: packet.topic, fields, isRetained: packet.retain });
    for (const look of [...waiting]) look();
  });
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    broker.handle(socket);
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  onTestFinished(async () => {
    for (const socket of sockets) socket.destroy();
    server.close();
    await new Promise<void>((resolve) => broker.close(() => resolve()));
  });

  /** The first message that fits, past or to come. */
  const message = (
    topic: string,
    fits: (fields: Record<string, unknown>) => boolean = () => true,
  ): Promise<Published> =>
    new Promise((resolve) => {
      const look = (): void => {
        const found = published.find((one) => one.topic === topic && fits(one.fields));
        if (!found) return;
        waiting.delete(look);
        resolve(found);
      };
      waiting.add(look);
      look();
    });
  const publishText = (topic: string, text: string): void => {
    const payload = Buffer.from(text);
    broker.publish({ cmd: 'publish', topic, payload, qos: 1, retain: false, dup: false }, () => undefined);
  };
  const publish = (topic: string, fields: Record<string, unknown>): void => {
    publishText(topic, JSON.stringify(fields));
  };
  return { port: (server.address() as AddressInfo).port, logins, published, message, publish, publishText };
}

/** Sends signs of life to a port that was free a moment ago, until the test ends. */
async function giveSignsOfLife(): Promise<number> {
  const probe = createSocket('udp4');
  probe.bind(0, '127.0.0.1');
  await once(probe, 'listening');
  const { port } = probe.address();
  probe.close();
  const sender = createSocket('udp4');
  let seconds = 1_750_000_000;
  const beat = setInterval(() => {
    const text = JSON.stringify({ v: 1, d: CONTROLLER, t: ++seconds });
    sender.send(proof(SIGN_OF_LIFE_PROVED + text) + text, port, '127.0.0.1');
  }, 500);
  onTestFinished(() => {
    clearInterval(beat);
    sender.close();
  });
  return port;
}

describe.skipIf(!ESPRUINO_BIN)(`${SKIPPED_WITHOUT}the bundle in the real interpreter against a real broker`, () => {
  it('logs in, tells its state, takes a recipe, empties its outbox, and leaves its last will', async () => {
    const broker = await openBroker();
    const signOfLifePort = await giveSignsOfLife();
    const settings = {
      v: 1,
      controllerId: CONTROLLER,
      simulated: 1,
      wifi: { ssid: '', password: '' },
      link: { address: '127.0.0.1', port: broker.port, signOfLifePort },
      secret: SECRET,
      rig: { currentAmpsMax: 35, terminalVoltsMax: 8, bathCelsiusMax: 40, runSecondsMax: 50_400 },
      shunt: { microOhms: 1500, currentGain: 1, currentOffsetAmps: 0, measured: 1 },
      supply: { codeAtZero: 0, codesPerAmp: 100, measured: 1, baud: 9600 },
      probe: { offsetCelsius: 0, measured: 1, rom: '' },
      fitted: { leak: 0, smoke: 0, agitation: 0, filter: 0, level: 0, clock: 0, clips: [] },
    };
    const { bootPart, tokens } = await buildFirmware();
    const powerCut = new AbortController();
    const run = runInInterpreter({
      espruinoBin: ESPRUINO_BIN!,
      scripts: [
        await prelude({ clock: 'real', network: 'real' }),
        'world.removeWifi();',
        `world.files['bathkeeper.json'] = ${JSON.stringify(sealed(settings))};`,
        `world.files['${BOOT_FILE}'] = ${JSON.stringify(bootPart)};`,
        tokens,
      ],
      timeoutMs: 55_000,
      endsItself: true,
      powerCut: powerCut.signal,
    });
    onTestFinished(async () => {
      powerCut.abort();
      await run;
    });

    const online = await broker.message(topicOf(CONTROLLER, 'status'));
    expect(online).toMatchObject({ fields: { v: 1, o: 1 }, isRetained: true });
    expect(broker.logins[0]).toMatchObject({ user: CONTROLLER, password: proof(PASSWORD_PROVED) });

    const live = await broker.message(topicOf(CONTROLLER, 'live'));
    expect(live.fields).toMatchObject({ v: 1, s: 1, b: 1 });

    const first = await broker.message(
      topicOf(CONTROLLER, 'outbox'),
      (fields) => (fields['e'] as unknown[]).length > 0,
    );
    const booted = outboxRows(first.fields).events[0]!;
    expect(booted[EventColumn.kind]).toBe(EventKind.booted);
    const acknowledge = (fields: Record<string, unknown>): void => {
      const { records, events } = outboxRows(fields);
      broker.publish(topicOf(CONTROLLER, 'ack'), {
        v: 1,
        i: fields['i'],
        r: records.reduce((most, row) => Math.max(most, row[0]! + row[1]! - 1), 0),
        e: events.reduce((most, row) => Math.max(most, row[0]!), 0),
      });
    };
    acknowledge(first.fields);

    const command = topicOf(CONTROLLER, 'command');
    const text = JSON.stringify({
      v: 1,
      d: 41,
      n: 1_750_000_000_000,
      k: Command.recipe,
      i: live.fields['i'],
      b: live.fields['b'],
      x: Number(live.fields['u']) + 600,
      g: RECIPE_ROW,
    });
    // Somebody who does not know the secret comes first, and is told of and not obeyed.
    broker.publishText(command, proof(text) + text);
    broker.publishText(command, proof(`${command}\n${text}`) + text);
    // The first event was acknowledged, so the next message begins behind it.
    const answer = await broker.message(topicOf(CONTROLLER, 'outbox'), (fields) =>
      outboxRows(fields).events.some(
        (row) => row[EventColumn.kind] === EventKind.commandAnswered && row[EventColumn.a] === 41,
      ),
    );
    const answered = outboxRows(answer.fields).events;
    expect(answered.map((row) => row[EventColumn.kind])).toContain(EventKind.recipeTaken);
    expect(answered[0]![EventColumn.sequence]).toBeGreaterThan(booted[EventColumn.sequence]!);
    acknowledge(answer.fields);
    await broker.message(topicOf(CONTROLLER, 'outbox'), (fields) =>
      outboxRows(fields).events.some(
        (row) => row[EventColumn.kind] === EventKind.commandRefused && row[EventColumn.code] === 1,
      ),
    );

    powerCut.abort();
    const will = await broker.message(topicOf(CONTROLLER, 'status'), (fields) => fields['o'] === 0);
    expect(will.isRetained).toBe(true);
  }, 60_000);
});
