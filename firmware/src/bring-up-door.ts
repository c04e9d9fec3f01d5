/*
 * The way into bring-up and back. `bringUp()` on the console lets the interpreter forget this program and load a second file from flash
 * in its place: so bring-up costs no memory in a night, and no control loop works against it. Opened once by main.ts. It never
 * gives way while current may flow, and energises nothing itself.
 */
import { EventKind, isLive } from '@bathkeeper/shared-core/control';
import type { ControlLoop } from './control-loop.js';

/** Names in flash: the second program, and what it did, for this one to tell. */
export const BRING_UP_FILE = 'bring-up.js';
export const DONE_FILE = 'bring-up.done';

/** One step of bring-up that was done: BringUpStep, a, b. */
export type DoneStep = [number, number, number];

/** Tells the dashboard what was done in bring-up. @onceAtBoot */
function tellWhatWasDone(loop: ControlLoop, storage: StorageModule): void {
  const done = storage.readJSON(DONE_FILE, true) as DoneStep[] | undefined;
  if (!done || !done.length) return;
  for (let i = 0; i < done.length; i++) loop.tell(EventKind.bringUpDone, done[i]![0], done[i]![1], done[i]![2]);
  storage.erase(DONE_FILE);
}

/**
 * Tells the dashboard what was done in bring-up, and puts `bringUp` on the console. It answers why it will not go, or what it does;
 * with `isOnlyAsked` it only says why it would not, or nothing: so `flash` finds out whether the board may be stopped. Without a loop
 * (a boot that only stands by) nothing keeps it back. `leaving` is called before either: a boot that ends this way ends by no fault.
 */
export function openBringUpDoor(loop: ControlLoop | undefined, leaving: () => void): void {
  const storage = require('Storage');
  if (loop) tellWhatWasDone(loop, storage);
  global['bringUp'] = function (isOnlyAsked: unknown): string {
    if (loop && (isLive(loop.state.phase) || loop.state.outputs.contactorEnabled || loop.inputs.contactorClosed)) {
      return 'Stop first: run on or contactor closed.';
    }
    leaving();
    if (isOnlyAsked) return '';
    if (!storage.read(BRING_UP_FILE, 0, 1)) return 'Not in flash: flash again.';
    load(BRING_UP_FILE);
    return 'Loading.';
  };
}
