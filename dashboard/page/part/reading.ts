/*
 * Reading a model in a worker of its own: how far it is, its end, or its being cancelled. Files that are dropped together are read one
 * after the other. Called by the room; what is there already is never touched.
 */
import { signal } from '@preact/signals';
import { LoadedModel } from './loaded-model.js';
import type { Asked, Stage, Told } from './model-worker/asked.js';

export interface Reading {
  readonly name: string;
  readonly stage: Stage;
  readonly share: number;
}

/** What is being read at present; null: nothing is. */
export const reading = signal<Reading | null>(null);
/** Why the last file was not taken, with its name; null where it was, or none was given yet. */
export const unread = signal<{ readonly name: string; readonly message: string } | null>(null);

interface Wanted {
  readonly name: string;
  readonly asked: Asked;
  readonly take: (model: LoadedModel) => void;
}

const waiting: Wanted[] = [];
let atWork: Worker | undefined;

/** Reads a file when its turn comes; `take` is called with the model if it can be read. */
export function readFile(file: File, take: (model: LoadedModel) => void): void {
  want({ name: file.name, asked: { kind: 'read', file }, take });
}

export function makeBell(take: (model: LoadedModel) => void): void {
  want({ name: 'the demonstration bell', asked: { kind: 'make-bell' }, take });
}

/** Ends what is being read, and forgets what waits. */
export function cancelReading(): void {
  waiting.length = 0;
  atWork?.terminate();
  finished();
}

function want(wanted: Wanted): void {
  waiting.push(wanted);
  if (atWork === undefined) next();
}

function finished(): void {
  atWork = undefined;
  reading.value = null;
  next();
}

function next(): void {
  const wanted = waiting.shift();
  if (wanted === undefined) return;
  const { name, asked, take } = wanted;
  const worker = new Worker(new URL('./model-worker/model-worker.ts', import.meta.url), { type: 'module' });
  atWork = worker;
  reading.value = { name, stage: 'reading', share: 0 };
  unread.value = null;
  const refuse = (message: string): void => {
    unread.value = { name, message };
    worker.terminate();
    finished();
  };
  worker.onmessage = (event: MessageEvent<Told>) => {
    const told = event.data;
    if (told.kind === 'progress') reading.value = { name, stage: told.stage, share: told.share };
    else if (told.kind === 'refused') refuse(told.message);
    else if (told.kind === 'measured') {
      take(new LoadedModel(told.report, worker));
      finished();
    }
  };
  worker.onerror = () => {
    refuse(
      'The reading broke off: this device ran out of memory, or the dashboard was updated meanwhile. Load this page anew and try again; if that does not help, export the model with fewer triangles.',
    );
  };
  worker.postMessage(asked);
}
