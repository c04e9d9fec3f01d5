/*
 * Asks the records in a thread of its own: a year takes its time, and meanwhile every sample is still taken and acknowledged. One question after
 * the other, in the order in which they came. Opened by the composition root, asked by the routes. A thread that ends by itself is started once
 * more for the question that it was at; then that question is refused, and the next one begins anew.
 */
import { Worker } from 'node:worker_threads';
import { compiledFile } from '../compiled-file.js';
import type { Answer, Asked, QuestionName } from './questions.js';
import type { FromReading, ToReading } from './reading-thread.js';

/** For one question. */
const THREADS_MAX = 2;

/** The records could not be read; the message says what to do. */
export class UnreadRecords extends Error {}

export interface Reading {
  /**
   * Rejects with UnreadRecords. Who has gone before their turn (`signal`) is not answered any more: somebody who pans asks ten times and wants the
   * last.
   */
  ask<Name extends QuestionName>(name: Name, asked: Asked<Name>, signal?: AbortSignal): Promise<Answer<Name>>;
  /** What waits is refused. Resolves when the thread has ended and its connection is closed. */
  close(): Promise<void>;
}

interface Waiting {
  readonly question: ToReading;
  readonly signal: AbortSignal | undefined;
  readonly answered: (answer: unknown) => void;
  readonly refused: (fault: UnreadRecords) => void;
  threadsEnded: number;
}

/** `failed` is told of a thread that ended, for the log. */
export function openReading(
  file: string,
  failed: (what: string, fault: unknown) => void,
  threadFile = compiledFile('keeping/reading-thread'),
): Reading {
  const waiting: Waiting[] = [];
  let underWay: Waiting | undefined;
  let thread: Worker | undefined;
  let isClosed = false;

  const ended = (fault: unknown): void => {
    thread = undefined;
    if (isClosed) return;
    failed('the thread that reads the records ended', fault);
    const was = underWay;
    underWay = undefined;
    if (was !== undefined && ++was.threadsEnded < THREADS_MAX) waiting.unshift(was);
    else
      was?.refused(
        new UnreadRecords(
          'What was logged could not be read: the part of the dashboard that reads it ended twice. The bath is watched and its records are stored all the same. Ask again; if it stays so, restart the dashboard and look into its log.',
        ),
      );
    askNext();
  };
  const started = (): Worker => {
    const fresh = new Worker(threadFile, { workerData: { file }, execArgv: [] });
    fresh.unref();
    let fault: unknown;
    fresh.on('message', heard);
    fresh.on('error', (thrown) => {
      fault = thrown;
    });
    fresh.on('exit', (code) => {
      if (thread === fresh) ended(fault ?? new Error(`it ended with code ${String(code)}`));
    });
    return fresh;
  };
  const heard = (message: FromReading): void => {
    const was = underWay;
    underWay = undefined;
    if ('answer' in message) was?.answered(message.answer);
    else
      was?.refused(
        new UnreadRecords(`What was logged could not be read (${message.fault}). Ask again; if it stays so, check the disk and restart the dashboard.`), // prettier-ignore
      );
    askNext();
  };
  const askNext = (): void => {
    if (underWay !== undefined) return;
    do underWay = waiting.shift();
    while (underWay?.signal?.aborted === true);
    if (underWay === undefined) return;
    thread ??= started();
    thread.postMessage(underWay.question);
  };
  const refuseAll = (): void => {
    for (const one of [...(underWay === undefined ? [] : [underWay]), ...waiting.splice(0)])
      one.refused(new UnreadRecords('The dashboard is being closed. Ask again when it is back.'));
    underWay = undefined;
  };

  return {
    ask: (name, asked, signal) =>
      new Promise((resolve, reject) => {
        if (isClosed) {
          reject(new UnreadRecords('The dashboard is being closed. Ask again when it is back.'));
          return;
        }
        waiting.push({
          question: { name, asked },
          signal,
          answered: (answer) => {
            resolve(answer as Answer<typeof name>);
          },
          refused: reject,
          threadsEnded: 0,
        });
        askNext();
      }),
    close: async () => {
      isClosed = true;
      refuseAll();
      await thread?.terminate();
    },
  };
}
