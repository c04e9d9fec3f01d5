/*
 * What ended the boots before this one, from the kept row: a fault is told at the next boot, and a board that three times in a row did
 * not live through a minute stays de-energised, without network, with the console reachable. Used by main.ts and the keeper.
 */
import { KeptColumn, type KeptRow } from './memory/kept-row.js';
import type { Board } from './ports.js';

/** EventKind.restartedAfterFault, code. */
export const BootEnd = { none: 0, stepThrew: 1, noStep: 2, callbackThrew: 3, bootLoop: 4, unknown: 5 } as const;
export type BootEnd = (typeof BootEnd)[keyof typeof BootEnd];

const SHORT_BOOTS_MAX = 3;
export const CLEAN_MINUTE_MS = 60000;
const GUARD_MS = 1000;
/** One in so many beats is a beep, as for a warning: nobody else would tell the room that nothing runs. */
const BEEP_BEATS = 10;

/** What ended the last boot; unknown when it did not live through a minute and nothing was noted. A power cut after that is no fault. */
export function lastBootEnd(row: ArrayLike<number>): BootEnd {
  const noted = row[KeptColumn.lastEnd] as BootEnd;
  return noted || row[KeptColumn.shortBoots]! < 2 ? noted : BootEnd.unknown;
}

/** This boot has lived through a minute, or ends with a fault. Written when it changed something. */
export function noteBoot(kept: KeptRow, end: BootEnd): void {
  if (end !== BootEnd.none || kept.row[KeptColumn.shortBoots] || kept.row[KeptColumn.lastEnd]) {
    kept.row[KeptColumn.lastEnd] = end;
    if (end === BootEnd.none || end === BootEnd.bootLoop) kept.row[KeptColumn.shortBoots] = 0;
    kept.keep();
  }
}

/** True: the boots before this one ended too soon, and this one only stands by. Its own clean minute lets the next one run again. */
export function standsBy(board: Board, kept: KeptRow): boolean {
  if (kept.row[KeptColumn.shortBoots]! <= SHORT_BOOTS_MAX) return false;
  print(
    'Standing by, nothing energised, no network: the last 3 starts ended within a minute. Last end: ' +
      kept.row[KeptColumn.lastEnd],
  );
  print('Look for the cause, wait a minute, restart.');
  let isNoted = false;
  let beats = 0;
  setInterval(function (): void {
    board.feedWatchdog();
    board.buzzer.write(beats++ % BEEP_BEATS === 0);
    if (isNoted || board.uptimeMs() < CLEAN_MINUTE_MS) return;
    isNoted = true;
    noteBoot(kept, BootEnd.bootLoop);
  }, GUARD_MS);
  return true;
}
