/*
 * The firmware's parts wired as main.ts wires them, on the stand-in board, with time that only the test moves: a step every
 * 200 ms, a beat every 500 ms, a rotation pulse every 10 s. The dashboard's end is played by the test through the outbox.
 */
import { StandInBoard } from './stand-in-board.js';
import { Phase, restoreRun } from '@bathkeeper/shared-core/control';
import { eventOfStored, recordOfStored } from '@bathkeeper/shared-core/messages';
import { wallClock } from '../../../firmware/src/clock.js';
import { controlLoop, type ControlLoop } from '../../../firmware/src/control-loop.js';
import { ferroelectricMemory, volatileMemory } from '../../../firmware/src/drivers/mb85rc256v.js';
import { type Keeper, keeper } from '../../../firmware/src/keeper.js';
import type { DashboardLink } from '../../../firmware/src/link/dashboard-link.js';
import type { ReceivedCommand } from '../../../firmware/src/link/messages.js';
import { openOutbox, type Outbox, VOLATILE_BYTES } from '../../../firmware/src/link/outbox.js';
import { newestRow } from '../../../firmware/src/memory/chain.js';
import { openKeptRow } from '../../../firmware/src/memory/kept-row.js';
import { recipeOfRow } from '../../../firmware/src/memory/recipe-row.js';
import { keptJournal } from '../../../firmware/src/memory/run-journal.js';
import { checkedSettings } from '../../../firmware/src/settings.js';
import { SUPPLY_KIND, supplyOutput } from '../../../firmware/src/supplies/analogue.js';

/** 20 A on 12 dm2, strike 60 s, ramp 60 s, about half an hour of plating. */
export const RECIPE_ROW = [7, 12, 4, 60, 60, 20, 36000000, 2, 120, 5, 7200, 6, 18, 28, 32];

export class Rig {
  readonly commands: ReceivedCommand[] = [];
  readonly liveTexts: string[] = [];
  /** Events and records as they left, in order. */
  readonly records: number[][] = [];
  readonly events: number[][] = [];
  loop!: ControlLoop;
  outbox!: Outbox;
  settingFaults: string[] = [];
  turns = true;
  dashboardSilentSeconds = 0;
  private isInRam = false;
  keeping!: Keeper;
  private commandId = 100;

  constructor(readonly board = new StandInBoard()) {
    this.boot();
  }

  /** Power on: everything but the byte memory starts anew. */
  boot(): void {
    const board = this.board;
    board.isContactorEnabled = board.motorOn = board.buzzerOn = board.contactorClosed = false;
    board.converterCode = 0;
    this.settingFaults = [];
    const settings = checkedSettings(board.settingsText(), SUPPLY_KIND, (fault) => this.settingFaults.push(fault));
    const memory = ferroelectricMemory(board.twoWire) ?? volatileMemory(VOLATILE_BYTES);
    this.isInRam = memory.bytes === VOLATILE_BYTES;
    const kept = openKeptRow(memory, board.randomBits);
    this.outbox = openOutbox(memory, kept, settings.isSimulated);
    this.loop = controlLoop(board, settings, supplyOutput(board, settings));
    restoreRun(this.loop.state, keptJournal(kept.row, newestRow(this.outbox.records)));
    const link: DashboardLink = {
      commands: this.commands,
      beat: () => undefined,
      publishLive: (text) => this.liveTexts.push(text),
      close: () => undefined,
      dashboardTimeSeconds: () => 0,
      dashboardSilentSeconds: () => this.dashboardSilentSeconds,
    };
    const clock = wallClock(board, false);
    this.keeping = keeper(board, this.loop, this.outbox, kept, link, clock, memory.wears, () => undefined);
  }

  /** Lets time pass; steps and beats happen when they are due. */
  pass(seconds: number): void {
    const end = this.board.nowMs + seconds * 1000;
    while (this.board.nowMs < end) {
      this.board.nowMs += 100;
      if (this.turns && this.board.nowMs % 10000 === 0) this.board.pulse();
      if (this.board.nowMs % 200 === 0) this.loop.tick(this.commands);
      if (this.board.nowMs % 500 === 0) {
        this.keeping.beat();
        this.collect();
      }
    }
  }

  /** The interpreter is blocked; afterwards its intervals catch up, steps and beats in the order in which they were due. */
  stall(seconds: number): void {
    this.board.nowMs += seconds * 1000;
    for (let turn = 0; turn < seconds * 10; turn++) {
      if (turn % 2 === 0) this.loop.tick(this.commands);
      if (turn % 5 === 0) this.keeping.beat();
    }
  }

  /** The dashboard: takes all that waits and acknowledges it. */
  private collect(): void {
    while ((this.board.hasMemory || this.isInRam) && this.outbox.records.waiting + this.outbox.events.waiting > 0) {
      const message = JSON.parse(this.outbox.message(0)) as { i: number; r: string[]; e: string[] };
      const records = message.r.map((text) => recordOfStored(text)!);
      const events = message.e.map((text) => eventOfStored(text)!);
      this.records.push(...records);
      this.events.push(...events);
      const last = records.at(-1);
      this.outbox.acknowledge(message.i, last ? last[0]! + last[1]! - 1 : 0, events.at(-1)?.[0] ?? 0);
    }
  }

  command(command: number, answer = 0, lowerToAmps = 0): number {
    const recipe = command === 4 ? recipeOfRow(RECIPE_ROW) : undefined;
    this.commands.push({ id: ++this.commandId, command, answer, recipe, lowerToAmps } as ReceivedCommand);
    return this.commandId;
  }

  /** Recipe taken, motor turning, the latch opened by its test and closed by hand again: all is there for the press. */
  makeReady(): void {
    this.command(4);
    this.pass(12);
    this.board.alertLatchOpen = false;
    this.pass(3);
  }

  /** The press at the bath, and the low first current that proves its way: ends with strike, or after 5 s where there is none. */
  press(): void {
    this.board.pressStart();
    for (let steps = 0; steps < 25 && this.loop.state.phase !== Phase.strike; steps++) this.pass(0.2);
  }

  start(): void {
    this.makeReady();
    this.press();
  }

  eventsOf(kind: number): number[][] {
    return this.events.filter((event) => event[4] === kind);
  }
}
