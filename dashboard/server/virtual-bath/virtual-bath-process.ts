/*
 * The virtual bath beside the dashboard: a child process that runs the very bundle that is flashed. Started by main.ts when no
 * controller is paired, told what to do by messages, and gone with its parent. It reaches the dashboard only over MQTT and UDP.
 */
import { type ChildProcess, fork } from 'node:child_process';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { SimulatedButton } from '@bathkeeper/shared-core/messages';

export interface VirtualBathProcess {
  /** Where it listens for the sign of life. */
  readonly signOfLifePort: number;
  press(button: SimulatedButton): void;
  stop(): void;
}

export interface VirtualBathRequest {
  readonly settings: object;
  readonly seed: number;
  readonly speed: number;
  readonly prerollSeconds: number;
  readonly recipeRow?: readonly number[];
  readonly faults: readonly string[];
  readonly signOfLifePort: number;
}

const program = join(
  dirname(fileURLToPath(import.meta.resolve('@bathkeeper/firmware/package.json'))),
  'dist/bench/main.js',
);

/** Resolves when it runs; rejects with its own words when it cannot. `warn` is told what goes wrong later. */
export function startVirtualBath(
  request: VirtualBathRequest,
  warn: (words: string) => void,
): Promise<VirtualBathProcess> {
  return new Promise((resolve, reject) => {
    const child: ChildProcess = fork(program, [], { stdio: ['ignore', 'inherit', 'inherit', 'ipc'] });
    child.on('message', (message: { ready?: boolean; signOfLifePort?: number; problem?: string }) => {
      if (message.problem !== undefined) {
        warn(`virtual bath: ${message.problem}`);
        reject(new Error(message.problem));
      }
      if (message.ready === true) {
        resolve({
          signOfLifePort: message.signOfLifePort ?? 0,
          press: (button) => child.send({ press: button }),
          stop: () => {
            child.kill();
          },
        });
      }
    });
    child.on('exit', (code) => {
      reject(new Error(`The virtual bath ended (${String(code)}) before it was ready.`));
      warn(`the virtual bath ended (${String(code)})`);
    });
    child.on('error', reject);
    child.send(request);
  });
}
