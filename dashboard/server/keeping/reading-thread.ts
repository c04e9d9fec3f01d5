/* The thread in which the records are read, with a connection of its own. Started by reading.ts with the store's file as its data; asked one question after the other. */
import Database from 'better-sqlite3';
import { parentPort, workerData } from 'node:worker_threads';
import { type QuestionName, questions } from './questions.js';

export interface ToReading {
  readonly name: QuestionName;
  readonly asked: unknown;
}
export type FromReading = { readonly answer: unknown } | { readonly fault: string };

const database = new Database((workerData as { readonly file: string }).file, { readonly: true, fileMustExist: true });
parentPort?.on('message', ({ name, asked }: ToReading) => {
  const answerOf = questions[name] as (database: Database.Database, asked: unknown) => unknown;
  try {
    parentPort?.postMessage({ answer: answerOf(database, asked) } satisfies FromReading);
  } catch (fault) {
    parentPort?.postMessage({ fault: (fault as Error).message } satisfies FromReading);
  }
});
