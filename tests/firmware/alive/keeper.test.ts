/*
 * The keeper over each kind of memory, with the power cut at any byte of any beat: at most a minute of charge is lost, no record that was kept is
 * lost or doubled, and no number is given out twice. And what it does with faults of the memory, the program and the clock.
 */
import '../link/interpreter-globals.js';
import fc from 'fast-check';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { createRunState, type Inputs, Phase } from '@bathkeeper/shared-core/control';
import { recordOfStored, RecordColumn, STORED_RECORD_COLUMNS } from '@bathkeeper/shared-core/messages';
import { BootEnd, lastBootEnd, noteBoot, standsBy } from '../../../firmware/src/boot-guard.js';
import { wallClock } from '../../../firmware/src/clock.js';
import { consoleGuard } from '../../../firmware/src/console.js';
import type { ControlLoop } from '../../../firmware/src/control-loop.js';
import { keeper, type Keeper } from '../../../firmware/src/keeper.js';
import type { DashboardLink } from '../../../firmware/src/link/dashboard-link.js';
import { openOutbox, type Outbox } from '../../../firmware/src/link/outbox.js';
import { lastSequence, newestRow } from '../../../firmware/src/memory/chain.js';
import { flashMemory } from '../../../firmware/src/memory/flash-memory.js';
import { KeptColumn, type KeptRow, openKeptRow } from '../../../firmware/src/memory/kept-row.js';
import { keptJournal } from '../../../firmware/src/memory/run-journal.js';
import type { BlockMemory, Board } from '../../../firmware/src/ports.js';
import { NO_MAX_AMPS, NO_MIN_AMPS } from '../../../firmware/src/sampler.js';
import { isCut, TornMemory } from '../link/torn-memory.js';
import { WornFlash } from '../memory/worn-flash.js';

const MILLICOULOMBS_A_SECOND = 20000;
const interpreter = globalThis as unknown as {
  E: { reboot: () => void; getErrorFlags: () => string[]; setConsole: (device: string | null) => void };
  print: (line: string) => void;
};

/** A boot of the keeper over this memory, with a loop that plates at 20 A and a link that the test plays. */
class Boot {
  nowMs = 0;
  readonly kept: KeptRow;
  readonly outbox: Outbox;
  readonly keeping: Keeper;
  readonly loop: ControlLoop;
  dashboardSeconds = 0;
  consoleIsDetached = false;

  constructor(
    memory: BlockMemory,
    public charge = 0,
    phase: number = Phase.plate,
  ) {
    this.kept = openKeptRow(memory, () => 4242);
    this.outbox = openOutbox(memory, this.kept, false);
    const state = createRunState();
    state.phase = phase as never;
    state.runIsOpen = true;
    const loop: Partial<ControlLoop> = {
      state,
      inputs: { memoryFault: false } as Inputs,
      permittedAmps: 20,
      steps: 0,
      record: undefined,
      events: [],
      failure: undefined,
      failSafe: (why) => {
        this.loop.failure = why;
      },
    };
    this.loop = loop as ControlLoop;
    const board = { uptimeMs: () => this.nowMs, twoWire: {} } as unknown as Board;
    const link: DashboardLink = {
      commands: [],
      beat: () => undefined,
      publishLive: () => undefined,
      dashboardTimeSeconds: () => this.dashboardSeconds && this.dashboardSeconds + this.nowMs / 1000,
      dashboardSilentSeconds: () => 7,
      close: () => undefined,
    };
    const guard = (isEnergised: boolean): void => {
      this.consoleIsDetached = isEnergised;
    };
    // What the live message asks of the board is not there: the link's own fault, which the keeper stands.
    this.keeping = keeper(board, this.loop, this.outbox, this.kept, link, wallClock(board, false), memory.wears, guard);
  }
  /** A second of the run: five steps, two beats, one record. */
  second(): void {
    this.charge += MILLICOULOMBS_A_SECOND;
    this.loop.state.chargeMilliCoulombs = this.charge;
    for (let half = 0; half < 2; half++) {
      this.nowMs += 500;
      this.loop.steps += 3;
      if (half) this.loop.record = this.record();
      this.keeping.beat();
    }
  }
  private record(): number[] {
    const row = new Array<number>(STORED_RECORD_COLUMNS).fill(0);
    row[RecordColumn.span] = row[RecordColumn.electricCount] = 1;
    row[RecordColumn.phase] = this.loop.state.phase;
    row[RecordColumn.charge] = this.charge;
    row[RecordColumn.currentMin] = NO_MIN_AMPS * 100;
    row[RecordColumn.currentMax] = NO_MAX_AMPS * 100;
    return row;
  }
}

/** What the next boot knows of the charge. */
function keptCharge(memory: BlockMemory): number {
  const kept = openKeptRow(memory, () => 1);
  return keptJournal(kept.row, newestRow(openOutbox(memory, kept, false).records)).chargeMilliCoulombs;
}

interface Disk {
  readonly rows: Map<number, string>;
  through: number;
  seconds: number;
}
/** The dashboard takes and acknowledges all that waits. */
function drain(outbox: Outbox, disk: Disk): void {
  while (outbox.records.waiting) {
    const { i, r } = JSON.parse(outbox.message(0)) as { i: number; r: string[] };
    for (const text of r) {
      const row = recordOfStored(text)!;
      const known = disk.rows.get(row[0]!);
      if (known !== undefined) {
        expect(JSON.stringify(row)).toBe(known);
        continue;
      }
      // Nothing overlaps, and no number is given to another second.
      expect(row[0]).toBeGreaterThan(disk.through);
      disk.rows.set(row[0]!, JSON.stringify(row));
      disk.through = lastSequence(row);
      disk.seconds += row[RecordColumn.electricCount]!;
    }
    outbox.acknowledge(i, disk.through, 0);
  }
}

afterEach(() => {
  vi.restoreAllMocks();
});

describe('a run over memory whose power is cut', () => {
  const flashOf = (): { open: () => BlockMemory; cutAfter: (bytes: number) => void; bytes: number } => {
    const flash = new WornFlash();
    return {
      open: () => flashMemory(flash)!,
      cutAfter: (bytes) => {
        flash.bytesUntilCut = bytes;
      },
      bytes: 900,
    };
  };
  const framOf = (): { open: () => BlockMemory; cutAfter: (bytes: number) => void; bytes: number } => {
    const memory = new TornMemory(32768);
    return {
      open: () => memory,
      cutAfter: (bytes) => {
        memory.bytesUntilCut = bytes;
      },
      bytes: 20000,
    };
  };
  it.each([
    ['flash', flashOf, 60],
    ['FRAM', framOf, 2],
  ] as const)(
    '%s: loses at most so much of its charge, no kept record, and gives no number twice',
    (_name, kindOf, secondsLost) => {
      fc.assert(
        fc.property(
          fc.array(fc.record({ seconds: fc.integer({ min: 1, max: 150 }), cut: fc.nat(1000), drains: fc.boolean() }), {
            minLength: 3,
            maxLength: 10,
          }),
          (lives) => {
            const kind = kindOf();
            const disk: Disk = { rows: new Map(), through: 0, seconds: 0 };
            let charge = 0;
            let truth = 0;
            for (const { seconds, cut, drains } of lives) {
              const boot = new Boot(kind.open(), charge);
              expect(boot.kept.row[KeptColumn.incarnation]).toBe(4242);
              kind.cutAfter(Math.floor((cut / 1000) * kind.bytes));
              // The keeper stands a memory that fails: the cut is seen by what comes after it.
              let ran = 0;
              while (ran < seconds && !boot.loop.inputs.memoryFault) {
                boot.second();
                ran++;
                if (drains && ran % 30 === 0 && isCut(() => drain(boot.outbox, disk))) break;
              }
              truth = boot.charge;
              kind.cutAfter(Infinity);
              const kept = keptCharge(kind.open());
              expect(kept).toBeLessThanOrEqual(truth);
              expect(truth - kept).toBeLessThanOrEqual(secondsLost * MILLICOULOMBS_A_SECOND);
              charge = kept;
            }
            const last = new Boot(kind.open(), charge);
            drain(last.outbox, disk);
            // Every number that was given out is on the disk.
            expect(disk.seconds).toBe(disk.through);
          },
        ),
        { numRuns: 25 },
      );
    },
  );
});

describe('a memory that falls silent in a run', () => {
  it('is told once, asked once a second, and nothing is missing when it answers again', () => {
    const lines: string[] = [];
    vi.spyOn(interpreter, 'print').mockImplementation((line) => {
      lines.push(line);
    });
    const memory = new TornMemory(32768);
    const boot = new Boot(memory);
    for (let i = 0; i < 20; i++) boot.second();
    memory.bytesUntilCut = 0;
    for (let i = 0; i < 300; i++) boot.second();
    expect(boot.loop.inputs.memoryFault).toBe(true);
    expect(boot.outbox.isDue()).toBe(false);
    expect(lines.filter((line) => line.startsWith('Memory silent'))).toHaveLength(1);
    memory.bytesUntilCut = Infinity;
    boot.second();
    expect(boot.loop.inputs.memoryFault).toBe(false);
    expect(lines.filter((line) => line === 'Memory answers')).toHaveLength(1);
    const disk: Disk = { rows: new Map(), through: 0, seconds: 0 };
    drain(boot.outbox, disk);
    expect(disk.through).toBe(321);
    expect(disk.seconds).toBe(321);
    expect(boot.kept.row[KeptColumn.charge]).toBe(boot.charge);
  });
});

describe('faults of the program', () => {
  it('a failed step is noted for the next boot, and the board restarts five seconds later, not before', () => {
    const restarts = vi.fn();
    interpreter.E.reboot = restarts;
    const memory = new TornMemory(32768);
    const boot = new Boot(memory);
    boot.second();
    boot.loop.failure = 'on purpose';
    for (let i = 0; i < 5; i++) boot.second();
    expect(restarts).not.toHaveBeenCalled();
    expect(boot.consoleIsDetached).toBe(false);
    boot.second();
    expect(restarts).toHaveBeenCalled();
    expect(lastBootEnd(openKeptRow(memory, () => 1).row)).toBe(BootEnd.stepThrew);
  });

  it('steps that no longer happen, and a callback that the interpreter took away, end in the safe state', () => {
    const lost = new Boot(new TornMemory(32768));
    lost.second();
    for (let beat = 0; beat < 4; beat++) {
      lost.nowMs += 500;
      lost.keeping.beat();
    }
    expect(lost.loop.failure).toBe('no step for 2 s');
    for (const [flag, isFatal] of [
      ['CALLBACK', true],
      ['MEMORY', true],
      ['LOW_MEMORY', false],
      ['FIFO_FULL', false],
    ] as const) {
      const boot = new Boot(new TornMemory(32768));
      boot.second();
      vi.spyOn(interpreter.E, 'getErrorFlags').mockReturnValueOnce([flag]);
      boot.second();
      expect(boot.loop.failure !== undefined, flag).toBe(isFatal);
    }
  });

  it('beats that no longer happen are seen by the steps', () => {
    const boot = new Boot(new TornMemory(32768));
    boot.second();
    boot.loop.steps += 20;
    expect(boot.loop.steps).toBeLessThanOrEqual(boot.keeping.lostAtStep);
    boot.loop.steps += 10;
    expect(boot.loop.steps).toBeGreaterThan(boot.keeping.lostAtStep);
  });
});

describe('boots in a row', () => {
  it('stand by from the fourth on that follows three which did not see a minute, and a minute ends that', () => {
    vi.useFakeTimers();
    const memory = new TornMemory(32768);
    const opened = (): KeptRow => openKeptRow(memory, () => 1);
    let nowMs = 0;
    let fed = 0;
    let beeps = 0;
    const board = {
      uptimeMs: () => nowMs,
      feedWatchdog: () => fed++,
      buzzer: { write: (isOn: boolean) => (beeps += Number(isOn)) },
    } as unknown as Board;
    expect(lastBootEnd(opened().row)).toBe(BootEnd.none);
    expect(standsBy(board, opened())).toBe(false);
    const third = opened();
    expect(standsBy(board, third)).toBe(false);
    expect(lastBootEnd(third.row)).toBe(BootEnd.unknown);
    const guarded = opened();
    expect(standsBy(board, guarded)).toBe(true);
    vi.advanceTimersByTime(5000);
    expect(fed).toBe(5);
    // One second in ten, as a warning sounds.
    expect(beeps).toBe(1);
    vi.advanceTimersByTime(55_000);
    expect(beeps).toBe(6);
    nowMs = 60000;
    vi.advanceTimersByTime(1000);
    const next = opened();
    expect(standsBy(board, next)).toBe(false);
    expect(lastBootEnd(next.row)).toBe(BootEnd.bootLoop);
    noteBoot(next, BootEnd.none);
    expect(lastBootEnd(opened().row)).toBe(BootEnd.none);
    vi.useRealTimers();
  });
});

describe('the console', () => {
  it('is taken away while the contactor may be closed, given back after, and not touched in between', () => {
    const set = vi.spyOn(interpreter.E, 'setConsole');
    const guard = consoleGuard('Serial1');
    for (const isEnergised of [false, true, true, false, false]) guard(isEnergised);
    expect(set.mock.calls).toEqual([
      [null, { force: true }],
      ['Serial1', { force: true }],
    ]);
  });
});

describe('the time of day', () => {
  it('tells how long the current was gone once the dashboard says what time it is, and survives its jumps', () => {
    const memory = new TornMemory(32768);
    const first = new Boot(memory);
    first.dashboardSeconds = 1_760_000_000;
    // The row is kept with the first record, for its phase, and again ten seconds later.
    for (let i = 0; i < 11; i++) first.second();
    expect(first.kept.row[KeptColumn.liveAtSeconds]).toBe(1_760_000_011);
    const second = new Boot(memory, first.charge, Phase.trip);
    for (let i = 0; i < 3; i++) second.second();
    second.loop.state.clockMs = second.nowMs;
    second.dashboardSeconds = 1_760_000_608;
    second.second();
    const goneSeconds = (second.loop.state.clockMs - second.loop.state.currentLostAtMs) / 1000;
    expect(goneSeconds).toBeGreaterThan(595);
    expect(goneSeconds).toBeLessThan(602);
    // The dashboard's clock jumps back a day: nothing of the run moves by it.
    second.dashboardSeconds -= 86_400;
    for (let i = 0; i < 5; i++) second.second();
    expect((second.loop.state.clockMs - second.loop.state.currentLostAtMs) / 1000).toBe(goneSeconds);
  });
});
