/*
 * Mosquitto behind a proxy on this machine, and what befalls a broker in half an hour: it is stopped in its tracks, killed and started again,
 * and the network between it and the controller is parted without a word. Used by the test that runs the bundle in real time.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { connect, createServer, type AddressInfo, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export interface TroubledBroker {
  /** Where the dashboard comes in: Mosquitto itself. */
  readonly brokerPort: number;
  /** Where the controller dials: the proxy. */
  readonly dialledPort: number;
  /** The process takes nothing and says nothing, until `goOn`. */
  freeze(): void;
  goOn(): void;
  /** Dies without a word, as after a power cut; nothing of its sessions is kept. */
  kill(): Promise<void>;
  start(): Promise<void>;
  /** Bytes neither come through nor are refused, until `join`. */
  part(): void;
  join(): void;
  close(): Promise<void>;
}

async function freePort(): Promise<number> {
  const server = createServer();
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  server.close();
  await once(server, 'close');
  return port;
}

/** Answers when something listens there. */
async function listening(port: number): Promise<void> {
  for (let tries = 0; tries < 200; tries++) {
    const socket = connect(port, '127.0.0.1');
    const isThere = await new Promise<boolean>((resolve) => {
      socket.once('connect', () => resolve(true));
      socket.once('error', () => resolve(false));
    });
    socket.destroy();
    if (isThere) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error(`Mosquitto does not listen on 127.0.0.1:${port} after 10 s. Start it by hand to see what it says.`);
}

export async function troubledBroker(mosquitto: string): Promise<TroubledBroker> {
  const folder = await mkdtemp(join(tmpdir(), 'bathkeeper-mosquitto-'));
  const brokerPort = await freePort();
  const settings = join(folder, 'mosquitto.conf');
  await writeFile(settings, `listener ${brokerPort} 127.0.0.1\nallow_anonymous true\npersistence false\n`);
  let process: ChildProcess | undefined;
  let isParted = false;
  const pairs = new Set<readonly [Socket, Socket]>();

  const proxy = createServer((near) => {
    const far = connect(brokerPort, '127.0.0.1');
    const pair = [near, far] as const;
    pairs.add(pair);
    const end = (): void => {
      pairs.delete(pair);
      near.destroy();
      far.destroy();
    };
    for (const [from, to] of [
      [near, far],
      [far, near],
    ] as const) {
      from.on('data', (bytes) => to.write(bytes));
      from.on('error', end);
      // A connection that ends behind a parted network is not heard of on the other side.
      from.on('close', () => {
        if (!isParted) end();
      });
      if (isParted) from.pause();
    }
  });
  proxy.listen(0, '127.0.0.1');
  await once(proxy, 'listening');

  const broker: TroubledBroker = {
    brokerPort,
    dialledPort: (proxy.address() as AddressInfo).port,
    freeze: () => process?.kill('SIGSTOP'),
    goOn: () => process?.kill('SIGCONT'),
    kill: async () => {
      const dying = process;
      process = undefined;
      if (!dying || dying.exitCode !== null) return;
      dying.kill('SIGKILL');
      await once(dying, 'exit');
    },
    start: async () => {
      process = spawn(mosquitto, ['-c', settings], { stdio: 'ignore' });
      await listening(brokerPort);
    },
    part: () => {
      isParted = true;
      for (const pair of pairs) for (const socket of pair) socket.pause();
    },
    join: () => {
      isParted = false;
      // What was parted does not come together again: both ends find out, and dial anew.
      for (const pair of pairs) for (const socket of pair) socket.destroy();
      pairs.clear();
    },
    close: async () => {
      broker.join();
      proxy.close();
      await broker.kill();
      await rm(folder, { recursive: true, force: true });
    },
  };
  await broker.start();
  return broker;
}
