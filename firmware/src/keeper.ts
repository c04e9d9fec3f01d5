/*
 * What the control step must not wait for: putting records, events and the journal into memory, the live message, the link, the console.
 * Runs in an interval of its own, so that a fault here cannot take the control step away; and it looks whether steps still happen and
 * whether the interpreter took a callback away, which it does without a word, leaving its outputs standing. After a fault it notes what it
 * was and restarts the board. Never changes the run's state, but for how long ago it lost its current.
 */
import { interruptionBegan, isLive, journalOf, type Recipe } from '@bathkeeper/shared-core/control';
import { BootEnd, CLEAN_MINUTE_MS, noteBoot } from './boot-guard.js';
import type { WallClock } from './clock.js';
import type { ControlLoop } from './control-loop.js';
import type { DashboardLink } from './link/dashboard-link.js';
import type { Outbox } from './link/outbox.js';
import { liveMessage } from './live-message.js';
import { appendRow, type Chain, type ChainRow, lastSequence, skipNumbers } from './memory/chain.js';
import { KeptColumn, type KeptRow } from './memory/kept-row.js';
import { mergedRecord } from './memory/record-row.js';
import { noteJournal, noteProgress } from './memory/run-journal.js';
import type { Board } from './ports.js';

export const BEAT_MS = 500;
/** Beats without a control step in between: its interval is gone. A stall holds both up, so it does not count. */
const STEPLESS_BEATS_MAX = 4;
/** The same the other way round: control steps without a beat. */
const BEATLESS_STEPS_MAX = 25;
/** In records and events alike. */
const BOOT_COLUMN = 2;
const SPAN_COLUMN = 1;
/** Seconds of a record in a memory that wears; with the longest stall of a connect still less than a minute. */
const WEARING_SECONDS = 40;
/** The kept row is written with each message to the dashboard, and in a live run at least this often. */
const KEPT_SECONDS_MAX = 10;
/** Records that wait for a memory that does not answer: each phase of that time is one. */
const PENDING_MAX = 8;
/** From a fault to the restart: the console can be read, the outbox is stored. */
const RESTART_MS = 5000;
/** Flags that the interpreter sets when it removed a callback, or had no memory left for something. */
const FATAL_FLAGS = 'CALLBACK STACK MEMORY';

function isFatal(flag: string): boolean {
  return FATAL_FLAGS.indexOf(flag) >= 0;
}

export interface Keeper {
  /** Call every BEAT_MS. */
  beat(): void;
  /** When the control loop comes to this step without a beat before it, the beat's interval must be gone. */
  lostAtStep: number;
  /** Everything off, what ended this boot noted for the next, and a restart. */
  fail(end: BootEnd, why: unknown): void;
}

/** `wears`: the memory is asked once a minute. `guardConsole`: told whether the contactor may be closed. */
export function keeper(
  board: Board,
  loop: ControlLoop,
  outbox: Outbox,
  kept: KeptRow,
  link: DashboardLink,
  clock: WallClock,
  wears: boolean | undefined,
  guardConsole: (isEnergised: boolean) => void,
): Keeper {
  const row = kept.row;
  const boot = row[KeptColumn.boot]!;
  const inputs = loop.inputs;
  /** Records that are not in the memory yet, numbered among themselves; the chain numbers them for good. */
  const pending: ChainRow[] = [];
  let liveAtSeconds = row[KeptColumn.liveAtSeconds]!;
  let journaledPhase = -1;
  let journaledRecipe: Recipe | undefined;
  let keptGeneration = 0;
  let unkeptSeconds = 0;
  let beatenMs = -BEAT_MS;
  let stepsSeen = 0;
  let steplessBeats = 0;
  let end: BootEnd = BootEnd.none;
  let endedMs = 0;
  let isClean = false;
  // What was flagged before this boot's program ran is not its own.
  E.getErrorFlags();

  const queue = function (record: ChainRow): void {
    const last = pending[pending.length - 1];
    record[0] = last ? lastSequence(last) + 1 : 0;
    record[BOOT_COLUMN] = boot;
    const merged = last && mergedRecord(last, record);
    if (merged) pending[pending.length - 1] = merged;
    else pending.push(record);
    if (pending.length > PENDING_MAX) skipNumbers(outbox.records, pending.shift()![SPAN_COLUMN]!);
  };
  const moveAll = function (rows: ChainRow[], chain: Chain): void {
    while (rows.length) {
      rows[0]![BOOT_COLUMN] = boot;
      appendRow(chain, rows[0]!);
      rows.shift();
    }
  };
  const store = function (isSecond: boolean): void {
    const state = loop.state;
    const phase = state.phase;
    // A recipe that replaces the one that waited changes no phase, and a restart must not bring the old one back.
    const isChanged = phase !== journaledPhase || state.recipe !== journaledRecipe;
    const isDue =
      !wears || isChanged || pending.length > 1 || (pending[0] && pending[0][SPAN_COLUMN]! >= WEARING_SECONDS);
    skipNumbers(outbox.events, loop.eventsLost);
    loop.eventsLost = 0;
    moveAll(loop.events, outbox.events);
    if (!isDue) return;
    moveAll(pending, outbox.records);
    if (isChanged) {
      noteJournal(row, journalOf(state));
      kept.keep();
      journaledPhase = phase;
      journaledRecipe = state.recipe;
    } else if (isSecond && isLive(phase)) {
      noteProgress(row, journalOf(state));
      if (keptGeneration !== row[KeptColumn.generation]) {
        keptGeneration = row[KeptColumn.generation]!;
        unkeptSeconds = 0;
      }
      if (++unkeptSeconds >= KEPT_SECONDS_MAX || wears) kept.keep();
    }
  };
  const knowTime = function (isEnergised: boolean): void {
    const seconds = clock.seconds(link.dashboardTimeSeconds());
    if (!seconds) return;
    if (liveAtSeconds && !isEnergised) interruptionBegan(loop.state, Math.max(seconds - liveAtSeconds, 0));
    liveAtSeconds = 0;
    if (isEnergised) row[KeptColumn.liveAtSeconds] = seconds;
  };
  const note = function (how: BootEnd): void {
    try {
      noteBoot(kept, how);
    } catch (_) {
      // The memory does not answer: what ended this boot stays unknown.
    }
  };
  /** Notes a step that threw, or that this boot has lived through a minute; restarts the board when its time has come. */
  const mark = function (nowMs: number): void {
    if (loop.failure !== undefined) {
      if (!end) self.fail(BootEnd.stepThrew, loop.failure);
      if (!endedMs) endedMs = nowMs;
      else if (nowMs - endedMs > RESTART_MS) E.reboot();
    } else if (!isClean && nowMs > CLEAN_MINUTE_MS) {
      isClean = true;
      note(BootEnd.none);
    }
  };

  const self: Keeper = {
    beat: function (): void {
      const nowMs = board.uptimeMs();
      // An interval catching up after a stall: nothing new happened.
      if (nowMs - beatenMs < BEAT_MS / 2) return;
      beatenMs = nowMs;
      steplessBeats = loop.steps === stepsSeen ? steplessBeats + 1 : 0;
      stepsSeen = loop.steps;
      self.lostAtStep = stepsSeen + BEATLESS_STEPS_MAX;
      const flags = E.getErrorFlags();
      if (loop.failure === undefined) {
        if (flags.length && flags.some(isFatal)) self.fail(BootEnd.callbackThrew, flags);
        else if (steplessBeats >= STEPLESS_BEATS_MAX) self.fail(BootEnd.noStep, 'no step for 2 s');
      }

      const isEnergised = isLive(loop.state.phase);
      const record = loop.record;
      loop.record = undefined;
      if (record) {
        queue(record);
        knowTime(isEnergised);
        inputs.dashboardSilentSeconds = link.dashboardSilentSeconds();
      }
      // Nothing changes without an event. A memory at fault is asked once a second: the bus may hold the board up.
      if (record || (loop.events.length && !inputs.memoryFault)) {
        try {
          store(!!record);
          if (inputs.memoryFault) print('Memory answers');
          inputs.memoryFault = false;
        } catch (why) {
          // The bath goes on, and what is to be kept waits here.
          if (!inputs.memoryFault) print('Memory silent: ' + why);
          inputs.memoryFault = true;
          journaledPhase = -1;
        }
      }
      mark(nowMs);
      outbox.isSilent = inputs.memoryFault;
      try {
        link.beat(nowMs, isEnergised);
        if (record) link.publishLive(liveMessage(board, loop, outbox, nowMs));
      } catch (why) {
        print('Link closed: ' + why);
        link.close();
      }
      guardConsole(loop.state.outputs.contactorEnabled && loop.failure === undefined);
    },
    lostAtStep: BEATLESS_STEPS_MAX,
    fail: function (how: BootEnd, why: unknown): void {
      if (loop.failure === undefined) loop.failSafe(why);
      if (!end) note((end = how));
    },
  };
  return self;
}
