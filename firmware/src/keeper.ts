/*
 * What the control step must not wait for: putting records, events and the journal into memory, the live message, the link. Runs in
 * an interval of its own, so that a fault here cannot take the control step away; and it looks whether steps still happen, since the
 * interpreter can lose an interval without a word and leave its outputs standing. Never changes the run's state.
 */
import { isLive, journalOf, type Recipe } from '@bathkeeper/shared-core/control';
import type { ControlLoop } from './control-loop.js';
import type { DashboardLink } from './link/dashboard-link.js';
import type { Outbox } from './link/outbox.js';
import { liveMessage } from './live-message.js';
import type { Chain, ChainRow } from './memory/chain.js';
import { KeptColumn, type KeptRow } from './memory/kept-row.js';
import { noteJournal } from './memory/run-journal.js';
import type { Board } from './ports.js';

export const BEAT_MS = 500;
/** Beats without a control step in between: its interval is gone. A stall holds both up, so it does not count. */
const STEPLESS_BEATS_MAX = 4;
/** In records and events alike. */
const BOOT_COLUMN = 2;

/** The function to call every BEAT_MS. */
export function keeper(
  board: Board,
  loop: ControlLoop,
  outbox: Outbox,
  kept: KeptRow,
  link: DashboardLink,
): () => void {
  let journaledPhase = -1;
  let journaledRecipe: Recipe | undefined;
  let beatenMs = -BEAT_MS;
  let stepsSeen = 0;
  let steplessBeats = 0;

  const store = function (chain: Chain, row: ChainRow): void {
    row[BOOT_COLUMN] = kept.row[KeptColumn.boot]!;
    chain.append(row);
  };

  return function (): void {
    const nowMs = board.uptimeMs();
    // An interval catching up after a stall: nothing new happened.
    if (nowMs - beatenMs < BEAT_MS / 2) return;
    beatenMs = nowMs;
    steplessBeats = loop.steps === stepsSeen ? steplessBeats + 1 : 0;
    stepsSeen = loop.steps;
    if (steplessBeats === STEPLESS_BEATS_MAX) loop.failSafe('no step for 2 s');

    const phase = loop.state.phase;
    const record = loop.record;
    loop.record = undefined;
    try {
      if (record) store(outbox.records, record);
      while (loop.events.length) {
        store(outbox.events, loop.events[0]!);
        loop.events.shift();
      }
      // A recipe that replaces the one that waited changes no phase, and a restart must not bring the old one back.
      if (phase !== journaledPhase || loop.state.recipe !== journaledRecipe || (record && isLive(phase))) {
        noteJournal(kept.row, journalOf(loop.state));
        kept.keep();
        journaledPhase = phase;
        journaledRecipe = loop.state.recipe;
      }
    } catch (why) {
      // The memory does not answer: the bath goes on, the gap in the numbers tells.
      print('FRAM does not answer: ' + why);
    }
    try {
      link.beat(isLive(phase));
      if (record) link.publishLive(liveMessage(board, loop, outbox));
    } catch (why) {
      print('Link closed: ' + why);
      link.close();
    }
  };
}
