/*
 * One session of bring-up: the board, its readings, the settings being changed, and one job at a time. Beaten five times a second by
 * main.ts; the commands ask here. It keeps the one-shot cleared in every beat in which no job holds it, and the watchdog fed.
 */
import { type Inputs, Phase, type SupplyKind } from '@bathkeeper/shared-core/control';
import type { BringUpStep } from '@bathkeeper/shared-core/messages';
import { DONE_FILE, type DoneStep } from '../src/bring-up-door.js';
import { CLIPS_NOT_FITTED, temperatureProbes } from '../src/drivers/ds18b20.js';
import { LIMIT_OF_TEST, shuntMonitor } from '../src/drivers/ina226.js';
import type { Board } from '../src/ports.js';
import { unsealedSettings } from '../src/settings.js';
import { roundedTo } from './calibration.js';

export const BEAT_MS = 200;
/** Nobody typed for so long: back to the program that protects. */
const LEFT_ALONE_MS = 3600000;
const DONE_MAX = 24;
/** Bound of currentGain in the settings: the alert limit is set so that even the worst true current stays below what was asked. */
const GAIN_MAX = 1.25;

/** Alert limit of a rig that has none yet: nothing flows then. */
const REST_AMPS = 10;

export type Section = Record<string, unknown>;

/** Beaten until it answers false. `stop` says why it must end now; it leaves everything off. */
export interface Job {
  beat(nowMs: number): boolean;
  stop(why: string): void;
}

export interface Session {
  readonly board: Board;
  readonly supplyKind: SupplyKind;
  /** Current as the bare shunt shows it, no calibration applied; temperature without offset. */
  readonly inputs: Inputs;
  /** The sections of the settings file as they will be kept. */
  readonly settings: Section;
  isChanged: boolean;
  /** The alert latch was seen to open in this session. */
  latchIsProven: boolean;
  /** What the shunt monitor is to alert at, in true amperes: a hold's, else the rig's. A test of the latch while undefined. */
  alertAmps: number | undefined;
  /** The limit at rest. */
  restAlert(): void;
  /** True while a job holds the contactor closed: registers of the monitor are left alone then. */
  isHeld: boolean;
  job: Job | undefined;
  section(name: string): Section;
  /** Settings were changed by a command. */
  change(): void;
  /** A step is done: told to the dashboard as soon as the controller runs its own program again. */
  done(step: BringUpStep, a: number): void;
  /** Starts a job, unless another is on. */
  begin(job: Job): void;
  /** A command came: nobody left. */
  stir(): void;
  beat(): void;
  allOff(): void;
}

/** Is it a number within these bounds? Example: `isWithin('3', 0, 5)` is false: a text is no number. */
export function isWithin(value: unknown, least: number, most: number): value is number {
  return typeof value === 'number' && value >= least && value <= most;
}

/** What somebody typed, as text for a sentence. Example: `told('3')` is "3" with its quotes, so that a text for a number is seen. */
export function told(value: unknown): string {
  return value === undefined ? 'nothing' : '' + JSON.stringify(value);
}

/** Of the bare shunt. */
function bareShunt(microOhms: unknown): { microOhms: number; currentGain: number; currentOffsetAmps: number } {
  return {
    microOhms: isWithin(microOhms, 100, 100000) ? microOhms : 1500,
    currentGain: 1,
    currentOffsetAmps: 0,
  };
}

export function openSession(board: Board, supplyKind: SupplyKind): Session {
  const settings = (unsealedSettings(board.settingsText()) || {}) as Section;
  const inputs = { clipCelsius: CLIPS_NOT_FITTED } as Inputs;
  let microOhms: unknown;
  let readMonitor: ReturnType<typeof shuntMonitor> | undefined;
  let rom: unknown;
  let readProbe: ReturnType<typeof temperatureProbes> | undefined;
  let stirredMs = 0;

  const session: Session = {
    board: board,
    supplyKind: supplyKind,
    inputs: inputs,
    settings: settings,
    isChanged: false,
    latchIsProven: false,
    alertAmps: REST_AMPS,
    restAlert: function (): void {
      const most = session.section('rig')['currentAmpsMax'];
      session.alertAmps = typeof most === 'number' ? most : REST_AMPS;
    },
    isHeld: false,
    job: undefined,
    section: function (name: string): Section {
      if (!settings[name]) settings[name] = {};
      return settings[name] as Section;
    },
    change: function (): void {
      session.isChanged = true;
    },
    done: function (step: BringUpStep, a: number): void {
      const storage = require('Storage');
      const before = (storage.readJSON(DONE_FILE, true) as DoneStep[] | undefined) || [];
      before.push([step, Math.round(a), 0]);
      storage.write(DONE_FILE, JSON.stringify(before.slice(-DONE_MAX)));
    },
    begin: function (job: Job): void {
      if (session.job) {
        print('Another command is still at work: let it end, or press stop at the bath.');
        return;
      }
      session.job = job;
    },
    stir: function (): void {
      stirredMs = board.uptimeMs();
    },
    beat: function (): void {
      const nowMs = board.uptimeMs();
      const shunt = session.section('shunt');
      const probe = session.section('probe');
      board.feedWatchdog();
      board.readContacts(inputs);
      if (!readMonitor || shunt['microOhms'] !== microOhms) {
        microOhms = shunt['microOhms'];
        readMonitor = shuntMonitor(board.twoWire, bareShunt(microOhms));
      }
      const alert = session.alertAmps;
      readMonitor(
        inputs,
        alert === undefined ? LIMIT_OF_TEST : alert / GAIN_MAX,
        session.isHeld ? Phase.plate : Phase.idle,
      );
      if (!readProbe || probe['rom'] !== rom) {
        rom = probe['rom'];
        readProbe = temperatureProbes(board.oneWire, {
          probeOffsetCelsius: 0,
          probeRom: typeof rom === 'string' ? rom : '',
          clipRoms: [],
        });
      }
      // A job that searches the wire has it for itself.
      if (!session.job || session.isHeld) readProbe(inputs, nowMs);
      if (session.job) {
        if (inputs.stopPressed) session.job.stop('stop was pressed');
        const job = session.job as Job | undefined;
        if (job && !job.beat(nowMs)) session.job = undefined;
        stirredMs = nowMs;
      } else if (nowMs - stirredMs > LEFT_ALONE_MS) {
        session.allOff();
        load();
      }
      if (!session.isHeld) board.contactorEnable.write(false);
    },
    allOff: function (): void {
      board.contactorEnable.write(false);
      board.supplyEnable.write(false);
      board.motor.write(false);
      board.buzzer.write(false);
      session.isHeld = false;
    },
  };
  return session;
}

/** Amperes and volts as a person reads them. Example: `shown(1.98765)` is 1.99. */
export function shown(value: number): number {
  return roundedTo(value, 100);
}
