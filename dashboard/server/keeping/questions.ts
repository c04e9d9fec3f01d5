/*
 * What can be asked of the records without holding up who writes them. Each is answered from a connection that only reads, in the thread that
 * reading.ts starts. A question and its answer go between threads: plain values, no functions.
 */
import type Database from 'better-sqlite3';
import { seriesOf } from './series.js';

export const questions = {
  series: seriesOf,
} satisfies Record<string, (database: Database.Database, asked: never) => unknown>;

export type Questions = typeof questions;
export type QuestionName = keyof Questions;
export type Asked<Name extends QuestionName> = Parameters<Questions[Name]>[1];
export type Answer<Name extends QuestionName> = ReturnType<Questions[Name]>;
