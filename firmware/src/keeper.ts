/*
 * What the control step must not wait for: putting records, events and the journal into memory, the live message, the link. Runs in
 * an interval of its own, so that a fault here cannot take the control step away; and it looks whether steps still happen, since the
 * interpreter can lose an interval without a word and leave its outputs standing. Never changes the run's state.
 */
import { isLive, journalOf } from '@bathkeeper/shared-core/control';
import { EventColumn, RecordColumn } from '@bathkeeper/shared-core/messages';
import type { ControlLoop } from './control-loop.js';
import type { DashboardLink } from './link/dashboard-link.js';
import type { Outbox } from './link/outbox.js';
import { liveMessage } from './live-message.js';
import type { JournalMemory } from './memory/journal.js';
import type { RecordRow } from './memory/record-row.js';
import type { Board } from './ports.js';

export const BEAT_MS = 500;
/** Beats without a control step in between: its interval is gone. A stall holds both up, so it does not count. */
const STEPLESS_BEATS_MAX = 4;

export interface Keeper {
  beat(): void;
}

export function keeper(
  board: Board,
  loop: ControlLoop,
  outbox: Outbox,
  journal: JournalMemory,
  link: DashboardLink,
  isSimulated: boolean,
): Keeper {
  let journaledPhase = -1;
  let beatenMs = -BEAT_MS;
  let stepsSeen = 0;
  let steplessBeats = 0;
  let isMemoryReported = false;

  /** Stores what the last second left. */
  const store = function (record: RecordRow | undefined): void {
    if (record) {
      record[RecordColumn.boot] = outbox.boot;
      outbox.addRecord(record);
    }
    while (loop.events.length) {
      const event = loop.events[0]!;
      event[EventColumn.boot] = outbox.boot;
      outbox.addEvent(event);
      loop.events.shift();
    }
    const phase = loop.state.phase;
    if (phase !== journaledPhase || (record && isLive(phase))) {
      journaledPhase = phase;
      journal.keep(journalOf(loop.state));
    }
  };

  const watchSteps = function (): void {
    const steps = loop.steps();
    steplessBeats = steps === stepsSeen ? steplessBeats + 1 : 0;
    stepsSeen = steps;
    if (steplessBeats === STEPLESS_BEATS_MAX) loop.failSafe('no step for 2 s');
  };

  return {
    beat: function (): void {
      const nowMs = board.uptimeMs();
      // An interval catching up after a stall: nothing new happened.
      if (nowMs - beatenMs < BEAT_MS / 2) return;
      beatenMs = nowMs;
      watchSteps();
      const record = loop.takeRecord();
      try {
        store(record);
      } catch (why) {
        // The memory does not answer: the bath goes on, the gap in the numbers tells. Said once.
        if (!isMemoryReported) print('Memory took no record: ' + why + '. Check the FRAM and its wires.');
        isMemoryReported = true;
      }
      try {
        link.beat(isLive(loop.state.phase));
        if (record && link.wantsLive(nowMs)) link.publishLive(liveMessage(board, loop, outbox, isSimulated));
      } catch (why) {
        print('Link closed after a fault: ' + why);
        link.close();
      }
    },
  };
}
