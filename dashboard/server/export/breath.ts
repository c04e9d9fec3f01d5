/*
 * The time in which everything else goes on between two steps of long work in the main thread. One turn of the event loop is not enough: a sample goes through broker, ingest and
 * store and back in a dozen turns, and with a step in each of them it waits for all of those steps. Used by export and import.
 */
import { setTimeout } from 'node:timers/promises';

/** About as long as a step. */
const BREATH_MS = 10;

export const breath = (): Promise<void> => setTimeout(BREATH_MS);
