/*
 * The control step, the keeper and the supervisor together on a board made of registers: what reaches the outputs, in which order,
 * and what is left standing when something throws, stalls or is taken away.
 */
import { describe, expect, it } from 'vitest';
import { Command, Condition, EventKind, Permissive, Phase } from '@bathkeeper/shared-core/control';
import { RecordColumn } from '@bathkeeper/shared-core/messages';
import { Rig } from './rig.js';
import { StandInBoard, validSettings } from './stand-in-board.js';

const bit = (code: number) => 1 << (code - 1);

describe('a run', () => {
  it('takes a recipe, waits for the press at the bath, and lets exactly the recipe flow', () => {
    const rig = new Rig();
    rig.pass(5);
    expect(rig.board.isContactorEnabled).toBe(false);
    const id = 101;
    rig.makeReady();
    expect(rig.loop.state.phase).toBe(Phase.ready);
    expect(rig.loop.state.permissivesMissing).toBe(0);
    expect(rig.board.converterCode).toBe(0);
    expect(rig.board.motorOn).toBe(true);
    expect(rig.board.supplyEnabled).toBe(true);
    rig.press();
    expect(rig.loop.state.phase).toBe(Phase.strike);
    rig.pass(0.4);
    expect(rig.board.converterCode).toBe(400);
    expect(rig.board.monitorRegisters[7]).toBe((24 * 1500) / 2.5);
    rig.pass(120);
    expect(rig.loop.state.phase).toBe(Phase.plate);
    expect(rig.board.converterCode).toBe(2000);
    expect(rig.eventsOf(EventKind.commandAnswered)).toMatchObject([
      [expect.anything(), 1, expect.anything(), 0, 5, 4, id, 0],
    ]);
    rig.pass(3600);
    expect(rig.loop.state.phase).toBe(Phase.done);
    expect(rig.board.isContactorEnabled).toBe(false);
    expect(rig.board.converterCode).toBe(0);
    expect(rig.loop.state.chargeMilliCoulombs).toBeGreaterThanOrEqual(36000000);
    expect(rig.loop.state.chargeMilliCoulombs).toBeLessThan(36000000 + 2 * 130 * 1000);
  });

  it('feeds the one-shot with an edge in each step while the contactor is enabled, and with none otherwise', () => {
    const rig = new Rig();
    rig.pass(5);
    expect(rig.board.oneShotFedMs).toBeLessThan(0);
    rig.start();
    for (let second = 0; second < 60; second++) {
      rig.pass(1);
      expect(rig.board.nowMs - rig.board.oneShotFedMs).toBeLessThanOrEqual(200);
    }
    rig.board.emergencyStopPressed = true;
    rig.pass(1);
    const fedMs = rig.board.oneShotFedMs;
    rig.pass(5);
    expect(rig.board.oneShotFedMs).toBe(fedMs);
  });

  it('makes a record a second: charge never falls, the sum of the currents is the charge', () => {
    const rig = new Rig();
    rig.start();
    rig.pass(300);
    const run = rig.records.filter((record) => record[RecordColumn.run] === 1);
    expect(run.length).toBeGreaterThan(295);
    for (let i = 1; i < run.length; i++) {
      expect(run[i]![RecordColumn.first]).toBe(run[i - 1]![RecordColumn.first]! + 1);
      expect(run[i]![RecordColumn.uptime]! - run[i - 1]![RecordColumn.uptime]!).toBe(10);
      expect(run[i]![RecordColumn.charge]).toBeGreaterThanOrEqual(run[i - 1]![RecordColumn.charge]!);
    }
    const ampereSeconds = run.reduce((sum, record) => sum + record[RecordColumn.currentSum]! / 100, 0);
    expect(run.at(-1)![RecordColumn.charge]! / 1000).toBeCloseTo(ampereSeconds, -1);
    expect(run.reduce((sum, record) => sum + record[RecordColumn.pulses]!, 0)).toBe(30);
    expect(run.at(-1)).toMatchObject({ 9: 1, 11: 2000, 12: 2000, 14: 1, 15: 2500 });
  });

  it('shows the present once a second, without readings that are at fault', () => {
    const rig = new Rig();
    rig.start();
    rig.pass(10);
    const before = rig.liveTexts.length;
    rig.pass(10);
    expect(rig.liveTexts.length - before).toBe(10);
    expect(JSON.parse(rig.liveTexts.at(-1)!)).toMatchObject({
      v: 1,
      b: 1,
      s: 0,
      p: 2,
      c: 400,
      n: 400,
      t: 2500,
      x: 1,
      f: 100,
      d: 7,
    });
    rig.board.isProbePresent = false;
    rig.board.isMonitorAnswering = false;
    rig.pass(2);
    const blind = JSON.parse(rig.liveTexts.at(-1)!) as Record<string, unknown>;
    expect(Object.keys(blind)).not.toEqual(expect.arrayContaining(['c']));
    expect(Object.keys(blind)).not.toEqual(expect.arrayContaining(['t']));
  });
});

describe('what opens the contactor', () => {
  const faults: [string, (board: StandInBoard) => void, number][] = [
    ['the emergency stop', (board) => (board.emergencyStopPressed = true), Condition.emergencyStop],
    ['the alert latch', (board) => (board.alertLatchOpen = true), Condition.alertLatch],
    ['a silent shunt monitor', (board) => (board.isMonitorAnswering = false), Condition.monitorSilent],
    ['a brown-out of the shunt monitor', (board) => (board.monitorRegisters[6] = 0), Condition.monitorChanged],
    [
      'a current of twice what is permitted',
      (board) => {
        board.followsSetPoint = false;
        board.currentAmps = 8;
      },
      Condition.currentVeryHigh,
    ],
    ['the contactor dropping by itself', (board) => (board.contactorClosed = false), Condition.contactorDropped],
  ];

  it.each(faults)('%s: within three seconds, output at zero, latched', (_name, fault, condition) => {
    const rig = new Rig();
    rig.start();
    rig.pass(10);
    fault(rig.board);
    rig.pass(3);
    expect(rig.loop.state.phase).toBe(Phase.trip);
    expect(rig.loop.state.conditions & bit(condition)).not.toBe(0);
    expect(rig.board.isContactorEnabled).toBe(false);
    expect(rig.board.converterCode).toBe(0);
    rig.board.pressStart();
    rig.pass(5);
    expect(rig.board.contactorClosed).toBe(false);
    expect(rig.eventsOf(EventKind.conditionRaised).map((event) => event[5])).toContain(condition);
  });

  it('the set-point of a supply that does not answer lets nothing start', () => {
    const board = new StandInBoard();
    const rig = new Rig(board);
    const write = board.twoWire.writeTo;
    Object.assign(board.twoWire, {
      writeTo: (address: number, ...parts: number[]) => {
        if (address === 0x60) throw new Error('no acknowledge');
        write(address, ...parts);
      },
    });
    rig.start();
    expect(rig.loop.state.phase).toBe(Phase.ready);
    expect(rig.loop.state.permissivesMissing & bit(Permissive.supplyAtZero)).not.toBe(0);
    expect(board.contactorClosed).toBe(false);
  });

  it.each(Object.keys(validSettings()).filter((name) => name !== 'secret'))(
    'settings without %s let nothing start, and records go on',
    (missing) => {
      const board = new StandInBoard();
      const file = validSettings();
      delete file[missing];
      board.file = file;
      const rig = new Rig(board);
      expect(rig.settingFaults.length).toBeGreaterThan(0);
      rig.start();
      expect(board.contactorClosed).toBe(false);
      expect(board.isContactorEnabled).toBe(false);
      expect(rig.records.length).toBeGreaterThan(5);
    },
  );

  it('no settings at all: the same, every fault listed at once', () => {
    const board = new StandInBoard();
    board.file = undefined;
    const rig = new Rig(board);
    expect(rig.settingFaults[0]).toMatch(/none/);
    expect(rig.settingFaults.length).toBeGreaterThan(25);
    rig.start();
    expect(board.isContactorEnabled).toBe(false);
  });

  it('a rig limit that the shunt monitor cannot see is lowered to what it can', () => {
    const board = new StandInBoard();
    board.file = { ...validSettings(), shunt: { microOhms: 7500, currentGain: 1, currentOffsetAmps: 0, measured: 1 } };
    const rig = new Rig(board);
    rig.command(Command.recipe);
    rig.pass(1);
    // 81 mV over 7.5 mOhm is 10.8 A, and the recipe wants 20.
    expect(rig.eventsOf(EventKind.recipeRefused)[0]).toMatchObject({ 7: 10800 });
  });
});

describe('when something goes wrong in the program itself', () => {
  it('an exception in a step turns everything off and no step follows; the watchdog is not fed any more', () => {
    const rig = new Rig();
    rig.start();
    rig.pass(10);
    const steps = rig.loop.steps;
    let throws = 0;
    Object.assign(rig.board.oneWire, {
      reset: () => {
        // Once only: it is for good all the same.
        if (throws++ === 0) throw new Error('broken on purpose');
        return true;
      },
    });
    rig.pass(2);
    expect(rig.board.isContactorEnabled).toBe(false);
    expect(rig.board.contactorClosed || rig.board.converterCode > 0 || rig.board.motorOn).toBe(false);
    expect(rig.board.buzzerOn).toBe(true);
    const fedMs = rig.board.watchdogFedMs;
    rig.pass(30);
    expect(rig.board.watchdogFedMs).toBe(fedMs);
    expect(rig.loop.steps - steps).toBeLessThan(10);
  });

  it('the step taken away by the interpreter is noticed by the beat within three seconds', () => {
    const rig = new Rig();
    rig.start();
    rig.pass(10);
    rig.loop.tick = () => undefined;
    rig.pass(3);
    expect(rig.board.isContactorEnabled).toBe(false);
    expect(rig.board.converterCode).toBe(0);
  });

  it('a stall of 15 s, caught up in a burst, is one step and no fault, and its charge is counted', () => {
    const rig = new Rig();
    rig.start();
    rig.pass(60);
    const charge = rig.loop.state.chargeMilliCoulombs;
    const steps = rig.loop.steps;
    rig.stall(15);
    expect(rig.loop.steps).toBe(steps + 1);
    expect(rig.board.contactorClosed).toBe(true);
    expect(rig.loop.state.chargeMilliCoulombs - charge).toBeGreaterThanOrEqual(4 * 15000);
    rig.pass(20);
    expect(rig.loop.state.phase).not.toBe(Phase.trip);
  });

  it('a memory that stops answering costs records, never the run, and the numbers show what is missing', () => {
    const rig = new Rig();
    rig.start();
    rig.pass(10);
    rig.board.hasMemory = false;
    rig.pass(20);
    expect(rig.board.contactorClosed).toBe(true);
    rig.board.hasMemory = true;
    rig.pass(10);
    expect(rig.board.contactorClosed).toBe(true);
    const numbers = rig.records.map((record) => record[RecordColumn.first]!);
    expect(new Set(numbers).size).toBe(numbers.length);
    expect(numbers.at(-1)! - numbers.length).toBeGreaterThanOrEqual(19);
    expect(numbers.at(-1)! - numbers.length).toBeLessThanOrEqual(21);
  });

  it('events that find no place while the memory is silent give way oldest first, and the gap in their numbers tells', () => {
    const rig = new Rig();
    rig.pass(5);
    const before = rig.events.at(-1)?.[0] ?? 0;
    rig.board.hasMemory = false;
    for (let code = 1; code <= 60; code++) rig.loop.tell(EventKind.bringUpDone, code, 0, 0);
    rig.board.hasMemory = true;
    rig.pass(1);
    const told = rig.eventsOf(EventKind.bringUpDone);
    // 48 wait at most: the newest, numbered as if the twelve before them had come.
    expect(told.map((event) => event[5])).toEqual(Array.from({ length: 48 }, (_, index) => index + 13));
    expect(told[0]![0]).toBe(before + 13);
    expect(told.at(-1)![0]).toBe(before + 60);
    rig.loop.tell(EventKind.bringUpDone, 61, 0, 0);
    rig.pass(1);
    expect(rig.events.at(-1)![0]).toBe(before + 61);
  });

  it('without a memory the run goes on from RAM', () => {
    const board = new StandInBoard();
    board.hasMemory = false;
    const rig = new Rig(board);
    rig.start();
    rig.pass(30);
    expect(board.contactorClosed).toBe(true);
    expect(rig.records.length).toBeGreaterThan(25);
  });
});

describe('a restart', () => {
  it('in a run leaves the contactor open until the reset and a press at the bath, and keeps charge and recipe', () => {
    const rig = new Rig();
    rig.start();
    rig.pass(200);
    const charge = rig.loop.state.chargeMilliCoulombs;
    rig.boot();
    rig.pass(1);
    expect(rig.loop.state.phase).toBe(Phase.trip);
    expect(rig.loop.state.conditions & bit(Condition.restartedInRun)).not.toBe(0);
    expect(rig.loop.state.chargeMilliCoulombs).toBeLessThanOrEqual(charge);
    expect(charge - rig.loop.state.chargeMilliCoulombs).toBeLessThanOrEqual(20 * 1000 * 1.5);
    rig.board.pressStart();
    rig.pass(2);
    expect(rig.board.contactorClosed).toBe(false);
    rig.board.resetPressed = true;
    rig.pass(12);
    rig.board.alertLatchOpen = false;
    rig.pass(3);
    rig.press();
    expect(rig.loop.state.phase).toBe(Phase.strike);
    expect(rig.loop.state.runNumber).toBe(1);
    expect(rig.eventsOf(EventKind.interruption).length).toBe(1);
  });

  it('outside of a run waits quietly', () => {
    const rig = new Rig();
    rig.pass(10);
    rig.boot();
    rig.pass(10);
    expect(rig.loop.state.phase).toBe(Phase.idle);
    expect(rig.board.isContactorEnabled).toBe(false);
  });
});

describe('commands', () => {
  it('stop opens the contactor in the next step and is answered with its id', () => {
    const rig = new Rig();
    rig.start();
    rig.pass(10);
    const id = rig.command(Command.stop);
    rig.pass(0.2);
    expect(rig.board.isContactorEnabled).toBe(false);
    rig.pass(1);
    expect(rig.eventsOf(EventKind.commandAnswered).at(-1)!.slice(5)).toEqual([Command.stop, id, 0]);
  });

  it('hold lowers the current; acknowledge silences; both are answered', () => {
    const rig = new Rig();
    rig.start();
    rig.pass(150);
    rig.command(Command.hold);
    rig.command(Command.acknowledge);
    rig.pass(2);
    expect(rig.board.converterCode).toBe(500);
    expect(
      rig
        .eventsOf(EventKind.commandAnswered)
        .map((event) => event.slice(5, 8))
        .slice(-2),
    ).toEqual([
      [Command.hold, 102, 0],
      [Command.acknowledge, 103, 0],
    ]);
  });

  it('what was expired or not understood is answered and not done', () => {
    const rig = new Rig();
    rig.start();
    rig.pass(10);
    rig.command(Command.stop, 2);
    rig.command(Command.none, 3);
    rig.pass(1);
    expect(rig.board.contactorClosed).toBe(true);
    expect(
      rig
        .eventsOf(EventKind.commandAnswered)
        .map((event) => event.slice(5, 8))
        .slice(-2),
    ).toEqual([
      [Command.stop, 102, 2],
      [Command.none, 103, 3],
    ]);
  });

  it('a recipe in a live run is refused and changes nothing', () => {
    const rig = new Rig();
    rig.start();
    rig.pass(10);
    rig.command(Command.recipe);
    rig.pass(1);
    expect(rig.loop.state.phase).toBe(Phase.strike);
    expect(rig.eventsOf(EventKind.recipeRefused).length).toBe(1);
    expect(rig.eventsOf(EventKind.commandAnswered).at(-1)!.slice(5)).toEqual([Command.recipe, 102, 1]);
  });
});
