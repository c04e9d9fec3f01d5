/*
 * What can be asked of the store without holding up who writes it. Each is answered from a connection that only reads, in the thread that
 * reading.ts starts. A question and its answer go between threads: plain values, no functions.
 */
import type Database from 'better-sqlite3';
import { recordPages } from '../export/record-pages.js';
import { runSums } from '../logbook/run-sums.js';
import { backUp, type BackedUp } from './backup.js';
import { seriesOf } from './series.js';
import { storeFaults } from './store-check.js';

export const questions = {
  series: seriesOf,
  recordPages,
  runSums,
  storeFaults: ({ name }: Database.Database, _asked: object) => storeFaults(name),
  backUp: ({ name }: Database.Database, { to }: { to: string }): BackedUp | { problem: string } => {
    try {
      return backUp(name, to);
    } catch (fault) {
      return { problem: `No backup was made. ${(fault as Error).message}` };
    }
  },
} satisfies Record<string, (database: Database.Database, asked: never) => unknown>;

export type Questions = typeof questions;
export type QuestionName = keyof Questions;
export type Asked<Name extends QuestionName> = Parameters<Questions[Name]>[1];
export type Answer<Name extends QuestionName> = ReturnType<Questions[Name]>;
