/*
 * The virtual bath as a process of its own, with the bundle that is flashed, over real TCP and UDP on this machine.
 * Needs what `npm run build` makes: the compiled bench and firmware/dist/bathkeeper.js.
 */
import { fork, type ChildProcess } from 'node:child_process';
import dgram from 'node:dgram';
import net from 'node:net';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, it } from 'vitest';
import { simulatedBoardSettings, StandInDashboard, type BoardSettings } from '@bathkeeper/firmware/bench';
import { EventColumn } from '@bathkeeper/shared-core/messages';
import { EventKind } from '@bathkeeper/shared-core/control';

const mainFile = fileURLToPath(new URL('../../../firmware/dist/bench/main.js', import.meta.url));
/** 12 dm2 at 1.6 A/dm2 for longer than any test. */
const recipeRow = [7, 12, 3.6, 600, 1800, 19.2, 980_000_000, 1.8, 3600, 3.6, 50_000, 6, 18, 28, 32];

interface Told {
  ready?: true;
  signOfLifePort?: number;
  nightSeconds?: number;
  problem?: string;
}

const cleanUps: (() => void)[] = [];
afterEach(() => {
  for (const cleanUp of cleanUps.splice(0)) cleanUp();
});

function startProcess(): { child: ChildProcess; told: () => Promise<Told>; exited: Promise<number | null> } {
  // Plain node on what was built, without the test runner's own conditions.
  const child = fork(mainFile, { execArgv: [], stdio: ['ignore', 'ignore', 'inherit', 'ipc'] });
  cleanUps.push(() => child.kill('SIGKILL'));
  return {
    child,
    told: () =>
      new Promise((heard, failed) => {
        child.once('message', (message) => {
          heard(message as Told);
        });
        child.once('exit', (code) => {
          failed(new Error(`the process ended with ${String(code)} and said nothing`));
        });
      }),
    exited: new Promise((ended) => {
      child.once('exit', ended);
    }),
  };
}

/** The stand-in behind a real TCP port. */
async function listen(settingsAt: (port: number) => BoardSettings): Promise<StandInDashboard> {
  const server = net.createServer((socket) => {
    const end = standIn.connect('127.0.0.1', standIn.settings.link.port);
    if (typeof end === 'string') return;
    end.onBytes((bytes) => socket.write(bytes));
    end.onClose(() => socket.end());
    socket.on('data', (bytes) => {
      end.write(bytes);
    });
    // A reset is told by the close that follows it.
    socket.on('error', () => undefined);
    socket.on('close', () => {
      end.close();
    });
    cleanUps.push(() => socket.destroy());
  });
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  cleanUps.push(() => server.close());
  const standIn = new StandInDashboard(settingsAt((server.address() as net.AddressInfo).port));
  return standIn;
}

/** Sends signs of life and looks after each whether it holds yet. */
async function until(holds: () => boolean, signOfLifePort: number, standIn: StandInDashboard): Promise<void> {
  const udp = dgram.createSocket('udp4');
  cleanUps.push(() => udp.close());
  // Later than any that was heard in the hours before.
  let nightSeconds = 100_000;
  await new Promise<void>((reached) => {
    const timer = setInterval(() => {
      udp.send(standIn.signOfLife(++nightSeconds), signOfLifePort, '127.0.0.1');
      if (!holds()) return;
      clearInterval(timer);
      reached();
    }, 50);
    cleanUps.push(() => {
      clearInterval(timer);
    });
  });
}

describe('the virtual bath as a process', () => {
  it('plays the hours before, then hands everything over in real time, takes presses, and ends with its parent', async () => {
    const standIn = await listen((port) => simulatedBoardSettings({ port }));
    const { child, told, exited } = startProcess();
    const answer = told();
    child.send({ settings: standIn.settings, seed: 3, speed: 50, prerollSeconds: 3600, recipeRow });
    const { ready, signOfLifePort, nightSeconds } = await answer;
    expect(ready).toBe(true);
    expect(nightSeconds).toBeGreaterThanOrEqual(3600);

    await until(() => (standIn.ledger?.records.delivered ?? 0) >= 3590, signOfLifePort!, standIn);
    expect(standIn.ledger!.records).toMatchObject({ missing: 0, overlapped: 0 });
    // It waited in FRAM for an hour: neighbours were merged.
    expect(standIn.ledger!.largestSpan).toBeGreaterThan(1);
    expect(standIn.isOnline).toBe(true);

    child.send({ press: 'stop' });
    const runEnded = () => standIn.ledger!.events.some((event) => event[EventColumn.kind] === EventKind.runEnded);
    await until(runEnded, signOfLifePort!, standIn);
    expect(standIn.complaints).toEqual([]);

    child.disconnect();
    expect(await exited).toBe(0);
  });

  it('says which step the evening did not reach, and ends, when the board refuses to start', async () => {
    const settings = simulatedBoardSettings();
    const { child, told, exited } = startProcess();
    const answer = told();
    child.send({
      settings: { ...settings, rig: { ...settings.rig, currentAmpsMax: 900 } },
      prerollSeconds: 600,
      recipeRow,
    });
    expect((await answer).problem).toContain('The night did not start: waited');
    expect(await exited).toBe(1);
  });

  it('says what is wrong with its request, all of it, and ends', async () => {
    const { child, told, exited } = startProcess();
    const answer = told();
    child.send({ speed: -1, faults: ['gremlins@1h'] });
    const { problem } = await answer;
    expect(problem).toContain('speed');
    expect(problem).toContain('gremlins');
    expect(await exited).toBe(2);
  });
});
