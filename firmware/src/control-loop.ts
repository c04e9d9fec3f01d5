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
  isLive,
  MonitorFault,
  offerRecipe,
  ProbeFault,
  type RunState,
  step,
} from '@bathkeeper/shared-core/control';
import { temperatureProbe } from './drivers/ds18b20.js';
import { shuntMonitor } from './drivers/ina226.js';
import { setPointOutput } from './drivers/mcp4725.js';
import { Answer, type ReceivedCommand } from './link/messages.js';
import type { EventRow } from './memory/event-ring.js';
import type { RecordRow } from './memory/record-row.js';
import type { Board } from './ports.js';
import { sampler } from './sampler.js';
import type { Settings } from './settings.js';

export const STEP_MS = 200;
/** Steps nearer than this to the one before are an interval catching up after a stall: nothing new can be read yet. */
const STEP_MS_MIN = 100;
/** Events that can wait for the keeper. */
const EVENTS_MAX = 48;

export interface ControlLoop {
  readonly state: RunState;
  readonly inputs: Inputs;
  /** Permitted current of the last step. */
  permittedAmps(): number;
  /** Counts completed steps. */
  steps(): number;
  /** One step. `takeCommand` gives what was asked from afar; it can only lower risk. */
  tick(takeCommand: () => ReceivedCommand | undefined): void;
  /** Everything off, for good until the board restarts. */
  failSafe(why: unknown): void;
  /** The record of the second that ended, once. */
  takeRecord(): RecordRow | undefined;
  /** Events that wait, oldest first: the keeper takes them out of this list as it stores them. */
  readonly events: EventRow[];
  /** Adds an event of now. */
  tell(kind: EventKind, code: number, a: number, b: number): void;
}

export function controlLoop(board: Board, settings: Settings): ControlLoop {
  const state = createRunState();
  const limits = settings.limits;
  const monitor = shuntMonitor(board.twoWire, settings.shunt);
  const probe = temperatureProbe(board.oneWire, settings.probeOffsetCelsius);
  const setPoint = setPointOutput(board.twoWire, settings.supply);
  const samples = sampler();
  const events: EventRow[] = [];
  /** Until something was read, nothing is good. */
  const inputs: Inputs = {
    currentAmps: 0,
    terminalVolts: 0,
    monitorFault: MonitorFault.silent,
    bathCelsius: 0,
    probeFault: ProbeFault.absent,
    rotationPulses: 0,
    emergencyStopPressed: true,
    alertLatchOpen: true,
    contactorClosed: false,
    startPressed: false,
    stopPressed: false,
    resetPressed: false,
    command: Command.none,
  };
  let permittedAmps = 0;
  let stepCount = 0;
  let hasFailed = false;
  let lastStepMs = -STEP_MS;
  let second = 0;
  let waitingRecord: RecordRow | undefined;

  const tell = function (kind: EventKind, code: number, a: number, b: number): void {
    if (events.length < EVENTS_MAX) {
      events.push([0, 0, Math.floor(board.uptimeMs() / 100), state.runNumber, kind, code, a, b]);
    }
  };
  /** Passes on what the last act on the state had to tell. The supervisor does not know a command's id: it is filled in here. */
  const passOn = function (commandId: number): void {
    for (let i = 0; i < state.events.length; i++) {
      const event = state.events[i]!;
      tell(event.kind, event.code, event.kind === EventKind.commandAnswered ? commandId : event.a, event.b);
    }
  };

  const failSafe = function (why: unknown): void {
    hasFailed = true;
    board.enableContactor(false);
    setPoint.write(0, lastStepMs);
    board.turnMotor(false);
    board.soundBuzzer(true);
    print(
      'Control step failed: ' +
        why +
        '. All outputs are off. The watchdog restarts the board within 30 s; note this line.',
    );
  };

  const run = function (nowMs: number, takeCommand: () => ReceivedCommand | undefined): void {
    const received = takeCommand();
    const order = received && received.answer === Answer.done ? received : undefined;
    board.readContacts(inputs);
    monitor.read(inputs, state.outputs.alertLimitAmps, isLive(state.phase), nowMs);
    probe.read(inputs, nowMs);
    inputs.command = order && !order.recipe ? order.command : Command.none;

    step(state, inputs, limits, settings.areValid && setPoint.answers(), nowMs);

    const outputs = state.outputs;
    permittedAmps = gatedAmps(outputs.permittedAmps, state, limits);
    board.enableContactor(outputs.contactorEnabled);
    setPoint.write(permittedAmps, nowMs);
    board.turnMotor(outputs.motorOn);
    const nowSecond = Math.floor(nowMs / 1000);
    // A trip sounds every other second, a warning one second in ten.
    board.soundBuzzer(outputs.buzzer ? nowSecond % (outputs.buzzer === 2 ? 2 : 10) === 0 : false);
    if (outputs.contactorEnabled) board.feedOneShot();

    passOn(received ? received.id : 0);
    if (order && order.recipe) {
      const fault = offerRecipe(state, order.recipe, limits);
      passOn(order.id);
      tell(EventKind.commandAnswered, order.command, order.id, fault ? Answer.notInThisPhase : Answer.done);
    }
    if (received && !order) tell(EventKind.commandAnswered, received.command, received.id, received.answer);

    samples.add(state, inputs, permittedAmps);
    if (nowSecond !== second && !waitingRecord) {
      second = nowSecond;
      waitingRecord = samples.record(state, inputs, Math.floor(nowMs / 100));
    }
    board.feedWatchdog();
    stepCount++;
  };

  return {
    state: state,
    inputs: inputs,
    events: events,
    permittedAmps: function (): number {
      return permittedAmps;
    },
    steps: function (): number {
      return stepCount;
    },
    tick: function (takeCommand: () => ReceivedCommand | undefined): void {
      if (hasFailed) return;
      const nowMs = board.uptimeMs();
      if (nowMs - lastStepMs < STEP_MS_MIN) return;
      lastStepMs = nowMs;
      try {
        run(nowMs, takeCommand);
      } catch (why) {
        failSafe(why);
      }
    },
    failSafe: failSafe,
    takeRecord: function (): RecordRow | undefined {
      const record = waitingRecord;
      waitingRecord = undefined;
      return record;
    },
    tell: tell,
  };
}
