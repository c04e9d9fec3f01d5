/* A thread of the watch's campaign: plays the nights it is given, one after another, and answers each with its verdict. Started by watch-campaign.ts. */
import { parentPort } from 'node:worker_threads';
import { playWatchNight, type WatchAsked, type WatchVerdict } from './watch-night.js';

export type WatchAnswer = { readonly verdict: WatchVerdict } | { readonly asked: WatchAsked; readonly failure: string };

const port = parentPort;
if (port === null) throw new Error('a worker of the campaign runs as a thread of it, not by itself');

port.on('message', (asked: WatchAsked) => {
  let answer: WatchAnswer;
  try {
    answer = { verdict: playWatchNight(asked) };
  } catch (fault) {
    answer = { asked, failure: fault instanceof Error ? (fault.stack ?? fault.message) : String(fault) };
  }
  port.postMessage(answer);
});
