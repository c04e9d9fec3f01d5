/*
 * The program on the store of a year, as `npm start` runs it, with its three controllers connected over MQTT and somebody let in. Used by the
 * year's benchmarks: all that is measured goes through the program's own doors.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { createServer } from 'node:net';
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import mqtt, { type MqttClient } from 'mqtt';
import { mqttPassword } from '@bathkeeper/dashboard';
import { topicOf } from '@bathkeeper/shared-core/messages';
import { recordRow } from '../dashboard/server/quiet-bath.js';
import type { LoadedYear } from './year-store.js';

const PROGRAM = fileURLToPath(new URL('../../../dashboard/dist/server/main.js', import.meta.url));
const PASSPHRASE = 'copper grows at night';

export interface YearProgram {
  readonly pid: number;
  /** Answers the parsed body; throws for anything but 200. */
  get(path: string): Promise<unknown>;
  post(path: string): Promise<unknown>;
  /** Likewise, of anything. */
  fetched(path: string, options?: RequestInit): Promise<Uint8Array>;
  end(): Promise<void>;
}

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((done) => void server.listen(0, '127.0.0.1', done));
  const { port } = server.address() as AddressInfo;
  await new Promise<void>((done) => void server.close(() => { done(); })); // prettier-ignore
  return port;
}

export async function startYearProgram(folder: string): Promise<YearProgram & { readonly mqttPort: number }> {
  const mqttPort = await freePort();
  const running: ChildProcess = spawn(
    process.execPath,
    [PROGRAM, '--host', '127.0.0.1', '--port', '0', '--mqtt-host', '127.0.0.1', '--mqtt-port', String(mqttPort), '--data', folder, '--no-virtual-bath'],
    { stdio: ['ignore', 'pipe', 'inherit'] },
  ); // prettier-ignore
  let said = '';
  const [, address, token] = await new Promise<RegExpExecArray>((resolve, reject) => {
    running.stdout!.on('data', (bytes: Buffer) => {
      said += bytes.toString();
      const found = /(http:\/\/127\.0\.0\.1:\d+)\/first-start\?token=(\S+)/.exec(said);
      if (found !== null) resolve(found);
    });
    running.once('exit', (code) => {
      reject(new Error(`the program ended with ${String(code)}: ${said}`));
    });
  });
  const entered = await fetch(`${address!}/api/first-start`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ token, passphrase: PASSPHRASE }),
  });
  const cookie = entered.headers.getSetCookie().map((one) => one.split(';')[0]).join('; '); // prettier-ignore
  const fetched = async (path: string, options: RequestInit = {}): Promise<Uint8Array> => {
    const response = await fetch(address! + path, { ...options, headers: { cookie, ...(options.headers as object) } });
    if (!response.ok) throw new Error(`${path}: ${String(response.status)} ${await response.text()}`);
    return new Uint8Array(await response.arrayBuffer());
  };
  const parsed = (bytes: Uint8Array): unknown => JSON.parse(Buffer.from(bytes).toString('utf8'));
  return {
    mqttPort,
    pid: running.pid!,
    get: async (path) => parsed(await fetched(path)),
    post: async (path) =>
      parsed(await fetched(path, { method: 'POST', body: '{}', headers: { 'content-type': 'application/json' } })),
    fetched,
    end: async () => {
      const ended = new Promise((done) => running.once('exit', done));
      running.kill('SIGTERM');
      await ended;
    },
  };
}

/** Writes one record a second, as a controller does, and notes how long each waits for its acknowledgement, milliseconds. */
export async function writingController(options: { port: number; controllerId: string; secret: string; year: Pick<LoadedYear, 'newest' | 'beginMs'>; incarnation: number; lateMs: number }): Promise<{ waits: number[]; stop(): Promise<void> }> {
  const { controllerId, year } = options;
  const client: MqttClient = await mqtt.connectAsync({ host: '127.0.0.1', port: options.port, username: controllerId, password: mqttPassword(options.secret), clientId: controllerId, protocolVersion: 4, reconnectPeriod: 0 });
  await client.subscribeAsync(topicOf(controllerId, 'ack'), { qos: 1 });
  const waits: number[] = [];
  const sentAt = new Map<number, number>();
  client.on('message', (_topic, payload) => {
    const through = (JSON.parse(payload.toString()) as { r: number }).r;
    for (const [first, at] of sentAt) if (first <= through) {
      waits.push(performance.now() - at);
      sentAt.delete(first);
    }
  });
  let first = year.newest;
  const send = (): void => {
    first++;
    const uptime = Math.round((Date.now() - year.beginMs) / 100);
    const row = recordRow({ first, uptime, run: 1_000_000, charge: 19_000 * (first - year.newest), currentMax: 1910 + (first % 7) });
    sentAt.set(first, performance.now());
    client.publish(topicOf(controllerId, 'outbox'), JSON.stringify({ v: 1, i: options.incarnation, b: 1, u: uptime, s: 0, r: [row], e: [] }), { qos: 1 });
  };
  const timer = setInterval(send, 1000);
  return {
    waits,
    stop: async () => {
      clearInterval(timer);
      const untilMs = performance.now() + options.lateMs;
      while (sentAt.size > 0 && performance.now() < untilMs) await new Promise((done) => setTimeout(done, 20));
      // What was never acknowledged has waited for as long as anybody looked.
      for (const at of sentAt.values()) waits.push(performance.now() - at);
      await client.endAsync(true);
    },
  };
} // prettier-ignore
