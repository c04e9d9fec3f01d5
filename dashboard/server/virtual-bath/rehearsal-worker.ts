/* The thread in which a rehearsal is played. Started by the desk with the night as its data; tells how far it is, and at the end what was played. */
import { parentPort, workerData } from 'node:worker_threads';
import { type NightAsked, type PlayedNight, rehearsedNight } from './rehearsed-night.js';

export type FromRehearsal = { readonly afterSeconds: number } | { readonly played: PlayedNight };

/** A share of the night: nobody sees less. */
const TOLD_SHARE = 0.01;

const asked = workerData as NightAsked;
let toldSeconds = 0;
const played = rehearsedNight(asked, (afterSeconds) => {
  if (afterSeconds - toldSeconds < TOLD_SHARE * asked.plannedSeconds) return;
  toldSeconds = afterSeconds;
  parentPort?.postMessage({ afterSeconds } satisfies FromRehearsal);
});
parentPort?.postMessage({ played } satisfies FromRehearsal);
