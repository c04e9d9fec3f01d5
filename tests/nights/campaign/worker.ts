/* A thread of the campaign: plays the nights it is given, one after another, and answers each with its verdict. Started by campaign.ts. */
import { parentPort, workerData } from 'node:worker_threads';
import { type Bundles, type NightAsked, playNight, type Verdict } from './play-night.js';

export type WorkerAnswer = { readonly verdict: Verdict } | { readonly seed: number; readonly failure: string };

const port = parentPort;
if (port === null) throw new Error('a worker of the campaign runs as a thread of it, not by itself');

port.on('message', (asked: NightAsked) => {
  let answer: WorkerAnswer;
  try {
    answer = { verdict: playNight(asked, (workerData as { bundles: Bundles }).bundles) };
  } catch (fault) {
    answer = { seed: asked.seed, failure: fault instanceof Error ? (fault.stack ?? fault.message) : String(fault) };
  }
  port.postMessage(answer);
});
