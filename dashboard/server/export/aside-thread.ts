/* The thread in which one file is read and checked. Started by aside-in-thread.ts with the two files as its data; ends by itself. */
import { parentPort, workerData } from 'node:worker_threads';
import { type SetAside, setAside } from './set-aside.js';
import { UnreadableRun } from './unreadable-run.js';

export interface AsideAsked {
  readonly path: string;
  readonly aside: string;
}
export type AsideAnswer = { readonly read: SetAside } | { readonly unreadable: { place: string; fault: string } };

const { path, aside } = workerData as AsideAsked;
let answer: AsideAnswer;
try {
  answer = { read: await setAside(path, aside) };
} catch (thrown) {
  if (!(thrown instanceof UnreadableRun)) throw thrown;
  answer = { unreadable: { place: thrown.place, fault: thrown.fault } };
}
parentPort?.postMessage(answer);
