/*
 * The virtual bath as a process of its own, started by the dashboard when no controller is paired:
 *   node firmware/dist/bench/main.js ['{"settings": ..., "seed": 1, ...}']
 * Without the argument the first message (fork's channel, or a line of JSON on standard input) brings it; that way
 * the password does not stand in the list of processes. Answers with messages (or lines): { ready, signOfLifePort,
 * nightSeconds }, { problem }. Takes { press: button } and { fault: name, seconds? }. Ends when its parent goes.
 */
import { createInterface } from 'node:readline';
import type { SimulatedButton } from '@bathkeeper/shared-core/messages';
import { bundleText } from './bundle-file.js';
import { simulatedBoardSettings } from './board-settings.js';
import { Demonstration } from './demonstration.js';
import { startRequest } from './start-request.js';

const buttons: readonly SimulatedButton[] = [
  'start',
  'stop',
  'reset',
  'emergency-stop',
  'emergency-release',
  'latch-reset',
];

let demonstration: Demonstration | undefined;

function tell(message: object): void {
  if (process.send === undefined) process.stdout.write(`${JSON.stringify(message)}\n`);
  else process.send(message);
}

function stop(exitCode: number): void {
  const running = demonstration;
  demonstration = undefined;
  void (running?.end() ?? Promise.resolve()).finally(() => process.exit(exitCode));
}

async function start(text: unknown): Promise<void> {
  const request = startRequest(text);
  if (Array.isArray(request)) {
    tell({ problem: `The virtual bath was not started: ${request.join(' ')}` });
    stop(2);
    return;
  }
  try {
    demonstration = new Demonstration({
      ...request,
      bundle: bundleText(),
      settings: request.settings ?? simulatedBoardSettings(),
    });
    const problem = demonstration.preroll();
    // A bath in which nothing happens would only pretend to be a night.
    if (problem !== undefined) throw new Error(problem);
    const signOfLifePort = await demonstration.run();
    tell({ ready: true, signOfLifePort, nightSeconds: demonstration.bath.nightSeconds });
  } catch (fault) {
    tell({ problem: fault instanceof Error ? fault.message : String(fault) });
    stop(1);
  }
}

function take(message: unknown): void {
  if (message === null || typeof message !== 'object') return;
  if (demonstration === undefined) {
    void start(message);
    return;
  }
  const { press, fault, seconds } = message as { press?: unknown; fault?: unknown; seconds?: unknown };
  const button = buttons.find((known) => known === press);
  if (button !== undefined) demonstration.press(button);
  else if (press !== undefined)
    tell({ problem: `There is no button ${JSON.stringify(press)}. Known: ${buttons.join(', ')}.` });
  if (typeof fault === 'string') {
    const problem = demonstration.injectFault(fault, typeof seconds === 'number' ? seconds : undefined);
    if (problem !== undefined) tell({ problem });
  }
}

function takeLine(line: string): void {
  try {
    take(JSON.parse(line));
  } catch {
    tell({ problem: `Not JSON: ${line.slice(0, 80)}` });
  }
}

for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => stop(0));
if (process.send === undefined) {
  createInterface({ input: process.stdin })
    .on('line', takeLine)
    .on('close', () => stop(0));
} else {
  process.on('message', take);
  process.on('disconnect', () => stop(0));
}
if (process.argv[2] !== undefined) takeLine(process.argv[2]);
