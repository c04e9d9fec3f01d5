/*
 * One control step, five times a second: read, judge, gate, write, feed the one-shot, feed the watchdog. The only caller of the
 * supervisor, and the only file that asks the board to let current flow. Needs nobody else: what it has to tell waits here
 * until the keeper fetches it. An exception in it is a programmer's error: outputs off first, and no step ever again in this boot.
 */
import {
  Command,
  createRunState,
  EventKind,
  gatedAmps,
  type Inputs,
  offerRecipe,
  Phase,
  type RunState,
  step,
} from '@bathkeeper/shared-core/control';
import { CLIPS_NOT_FITTED, temperatureProbes } from './drivers/ds18b20.js';
import { LIMIT_OF_TEST, shuntMonitor } from './drivers/ina226.js';
import { Answer, type ReceivedCommand } from './link/messages.js';
import type { ChainRow } from './memory/chain.js';
import type { Board } from './ports.js';
import { sampler } from './sampler.js';
import type { Settings } from './settings.js';
import type { SupplyOutput } from './supplies/supply-output.js';

export const STEP_MS = 200;
/** Steps nearer than this to the one before are an interval catching up after a stall: nothing new can be read yet. */
const STEP_MS_MIN = 100;
/** Events that can wait for the keeper while the memory does not answer. The oldest give way: what ended the run is among the newest. */
const EVENTS_MAX = 48;
/** Leak, smoke and the like, and the supply's fault, which are looked at once a second, are read in every fifth step. */
const WATCHER_STEPS = 5;
/** From this `outputs.buzzer` on it sounds without a pause. */
const BUZZER_CONTINUOUS = 3;
/** Seconds from one beep to the next, by `outputs.buzzer`. */
const BEEP_SECONDS = [1, 10, 2];

export interface ControlLoop {
  readonly state: RunState;
  /** The keeper fills two of them: memoryFault and dashboardSilentSeconds. */
  readonly inputs: Inputs;
  /** Permitted current of the last step. */
  permittedAmps: number;
  /** Completed steps. */
  steps: number;
  /** The second that ended; the keeper takes it and sets undefined. */
  record: ChainRow | undefined;
  /** Events that wait, oldest first; the keeper takes them out as it stores them. */
  readonly events: ChainRow[];
  /** Older ones that gave way, since the keeper fetched them last: it leaves a gap in the numbers and sets 0. */
  eventsLost: number;
  /** Adds an event of now. */
  tell(kind: EventKind, code: number, a: number, b: number): void;
  /** One step. Takes at most one of the commands, which can only lower risk. */
  tick(commands: ReceivedCommand[]): void;
  /** Why everything is off for good in this boot; undefined while all is well. */
  failure: unknown;
  /** Everything off, for good until the board restarts. */
  failSafe(why: unknown): void;
}

/** Plating at a set-point that stands still, and nothing is wrong or about to be. */
function isSteady(state: RunState): boolean {
  return state.phase === Phase.plate && !state.conditions && !state.conditionsHigh && state.derateFraction === 1;
}

export function controlLoop(board: Board, settings: Settings, supply: SupplyOutput): ControlLoop {
  const state = createRunState(supply.kind);
  const limits = settings.limits;
  const readMonitor = shuntMonitor(board.twoWire, settings.shunt);
  const readProbes = temperatureProbes(board.oneWire, settings);
  const samples = sampler();
  /** Filled by the readers. What was never read is undefined, and its fault stands beside it; what is not fitted stays as it is here. */
  const inputs = {
    memoryFault: false,
    dashboardSilentSeconds: 0,
    clipCelsius: settings.clipRoms.length ? NaN : CLIPS_NOT_FITTED,
  } as Inputs;
  let lastStepMs = -STEP_MS;
  let second = 0;

  /** Passes on what the last act on the state had to tell. The supervisor does not know a command's id: it is filled in here. */
  const passOn = function (commandId: number): void {
    for (let i = 0; i < state.events.length; i++) {
      const event = state.events[i]!;
      loop.tell(event.kind, event.code, event.kind === EventKind.commandAnswered ? commandId : event.a, event.b);
    }
  };

  const answer = function (received: ReceivedCommand | undefined): void {
    passOn(received ? received.id : 0);
    if (received && !inputs.command) {
      let answered = received.answer;
      if (received.recipe) {
        // Why it was refused is told by an event of its own.
        if (offerRecipe(state, received.recipe, limits)) answered = Answer.notInThisPhase;
        passOn(received.id);
      }
      loop.tell(EventKind.commandAnswered, received.command, received.id, answered);
    }
  };
  const writeOutputs = function (nowSecond: number): void {
    const outputs = state.outputs;
    const buzzer = outputs.buzzer;
    loop.permittedAmps = gatedAmps(outputs.permittedAmps, state, limits);
    board.contactorEnable.write(outputs.contactorEnabled);
    board.supplyEnable.write(outputs.supplyEnabled);
    board.motor.write(outputs.motorOn);
    board.buzzer.write(buzzer > 0 && (buzzer >= BUZZER_CONTINUOUS || nowSecond % BEEP_SECONDS[buzzer]! === 0));
  };

  const run = function (received: ReceivedCommand | undefined, nowMs: number): void {
    const outputs = state.outputs;
    board.readContacts(inputs);
    if (loop.steps % WATCHER_STEPS === 0) {
      board.readWatchers(inputs, settings.fitted);
      inputs.supplyFault = supply.fault;
    }
    readMonitor(inputs, outputs.alertTestOn ? LIMIT_OF_TEST : outputs.alertLimitAmps, state.phase);
    readProbes(inputs, nowMs);
    inputs.supplyAtZero = supply.isAtZero;
    // A recipe is offered below; what is expired or not understood is only answered.
    inputs.command = Command.none;
    if (received && !received.answer && !received.recipe) {
      inputs.command = received.command;
      inputs.lowerToAmps = received.lowerToAmps;
    }

    const isAsBefore = step(state, inputs, limits, settings.areValid, nowMs);

    const nowSecond = Math.floor(nowMs / 1000);
    // What the gate let through stands as long as nothing was decided; the pins are told again each second.
    if (!isAsBefore || nowSecond !== second) /* @__NOINLINE__ */ writeOutputs(nowSecond);
    supply.write(loop.permittedAmps, inputs, isAsBefore || isSteady(state), nowMs);
    if (outputs.contactorEnabled) board.oneShotTrigger.write((loop.steps & 1) === 0);
    // (The interpreter reads past a branch not taken, word by word: what is long and rare stays a function of its own.)
    if (received || state.events.length) /* @__NOINLINE__ */ answer(received);

    samples.add(state, inputs, loop.permittedAmps);
    if (nowSecond !== second && !loop.record) {
      second = nowSecond;
      loop.record = samples.record(state, inputs, nowMs);
    }
    board.feedWatchdog();
    loop.steps++;
  };

  const loop: ControlLoop = {
    state: state,
    inputs: inputs,
    permittedAmps: 0,
    steps: 0,
    record: undefined,
    events: [],
    eventsLost: 0,
    failure: undefined,
    tell: function (kind: EventKind, code: number, a: number, b: number): void {
      if (loop.events.length >= EVENTS_MAX) {
        loop.events.shift();
        loop.eventsLost++;
      }
      loop.events.push([0, 1, 0, Math.floor(board.uptimeMs() / 100), state.runNumber, kind, code, a, b]);
    },
    tick: function (commands: ReceivedCommand[]): void {
      const nowMs = board.uptimeMs();
      if (loop.failure !== undefined || nowMs - lastStepMs < STEP_MS_MIN) return;
      lastStepMs = nowMs;
      try {
        run(commands.shift(), nowMs);
      } catch (why) {
        loop.failSafe(why);
      }
    },
    failSafe: function (why: unknown): void {
      loop.failure = '' + why;
      board.contactorEnable.write(false);
      board.supplyEnable.write(false);
      board.motor.write(false);
      supply.write(0, inputs, false, lastStepMs);
      board.buzzer.write(true);
      print('Step failed, all off: ' + why);
    },
  };
  return loop;
}
