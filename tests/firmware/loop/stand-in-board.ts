/*
 * A board for the firmware's sources in Node: the ports, a clock that only the test moves, chips made of registers, a socket whose
 * other end is the test. Used by the loop and link tests. Its hardware truth is that of the wiring notes: the contactor closes by
 * a press while the one-shot runs, and drops when the one-shot is cleared or was not fed for 20 s.
 */
import { crc32 } from 'node:zlib';
import '../link/interpreter-globals.js';
import type { Inputs } from '@bathkeeper/shared-core/control';
import { dallasCrc } from '../../../firmware/src/drivers/ds18b20.js';
import type {
  Board,
  Connection,
  ConnectionEvents,
  FittedContacts,
  OneWireBus,
  Rotation,
  SerialLine,
  TwoWireBus,
} from '../../../firmware/src/ports.js';
import { TornMemory } from '../link/torn-memory.js';

/** The other end of the connection that the firmware dialled last. */
export class DialledConnection implements Connection {
  sent = '';
  isEnded = false;
  constructor(readonly events: ConnectionEvents) {}
  write = (text: string): void => {
    for (let i = 0; i < text.length; i++) if (text.charCodeAt(i) > 255) throw new Error('not a byte');
    this.sent += text;
  };
  end = (): void => {
    this.isEnded = true;
  };
  /** What was sent since the last call. */
  takeSent(): Buffer {
    const bytes = Buffer.from(this.sent, 'latin1');
    this.sent = '';
    return bytes;
  }
}

export class StandInBoard implements Board {
  nowMs = 0;
  /** What stands in the settings file, sealed; undefined: there is none. */
  file: Record<string, unknown> | undefined = validSettings();
  memory = new TornMemory(32768);
  hasMemory = true;

  currentAmps = 0;
  /** Of the open supply, and what the cell adds while the contactor is closed. */
  terminalVolts = 0.02;
  /** When set, the current follows the set-point while the contactor is closed. */
  followsSetPoint = true;
  bathCelsius = 25;
  isMonitorAnswering = true;
  isProbePresent = true;
  converterCode = 0;
  monitorRegisters: Record<number, number> = { 0: 0x4127, 1: 0, 2: 0, 5: 0, 6: 0, 7: 0, 0xfe: 0x5449, 0xff: 0x2260 };

  readonly rotation: Rotation = { pulses: 0, periodMs: 0, seenMs: -1e7 };
  emergencyStopPressed = false;
  alertLatchOpen = false;
  contactorClosed = false;
  startPressed = false;
  stopPressed = false;
  resetPressed = false;
  startHeld = false;
  resetHeld = false;
  /** What the watchers' contacts would show if they were fitted. */
  watchers = { leakSeen: false, smokeSeen: false, agitationStopped: false, filterStopped: false, liquidLow: false };

  isContactorEnabled = false;
  oneShotLevel = false;
  oneShotFedMs = -1e9;
  motorOn = false;
  buzzerOn = false;
  supplyEnabled = false;
  watchdogFedMs = 0;

  heard: (text: string) => void = () => undefined;
  dials = 0;
  /** Milliseconds that a dial blocks; 'refused' throws after them. */
  dialBlocksMs = 0;
  isRefusing = false;
  dialled: DialledConnection | undefined;

  private pointer = 0;
  private memoryAddress = 0;

  readonly twoWire: TwoWireBus = {
    writeTo: (address, ...parts) => {
      const bytes = parts.flatMap((part) => (typeof part === 'number' ? [part] : Array.from(part)));
      if (address === 0x40 && this.isMonitorAnswering) {
        this.pointer = bytes[0]!;
        if (bytes.length === 3) this.monitorRegisters[this.pointer] = bytes[1]! * 256 + bytes[2]!;
      } else if (address === 0x60) {
        this.converterCode = (bytes[0]! & 15) * 256 + bytes[1]!;
      } else if (address === 0x50 && this.hasMemory) {
        this.memoryAddress = bytes[0]! * 256 + bytes[1]!;
        if (bytes.length > 2) this.memory.write(this.memoryAddress, bytes.slice(2));
      } else throw new Error('no acknowledge');
    },
    readFrom: (address, count) => {
      if (address === 0x50 && this.hasMemory) return this.memory.read(this.memoryAddress, count);
      if (address === 0x60) return new Uint8Array([0xc0, this.converterCode >> 4, (this.converterCode & 15) << 4]);
      if (address !== 0x40 || !this.isMonitorAnswering) throw new Error('no acknowledge');
      let value = this.monitorRegisters[this.pointer]!;
      if (this.pointer === 1) value = Math.round((this.measuredAmps() * 1500) / 2.5) & 0xffff;
      if (this.pointer === 2) value = Math.round(this.measuredVolts() / 0.00125);
      this.actAlert();
      if (this.pointer === 6) value |= 8;
      return new Uint8Array([value >> 8, value & 255]);
    },
  };

  readonly oneWire: OneWireBus = {
    reset: () => this.isProbePresent,
    skip: () => undefined,
    select: () => undefined,
    write: () => undefined,
    read: () => {
      if (!this.isProbePresent) return new Array<number>(9).fill(255);
      const raw = Math.round(this.bathCelsius * 16);
      const bytes = [raw & 255, (raw >> 8) & 255, 0x4b, 0x46, 0x7f, 0xff, 0x0c, 0x10];
      return [...bytes, dallasCrc(bytes, 8)];
    },
  };

  /** The latch opens when the shunt register is above the limit (SBOS547: bit 15 of the mask, both numbers signed). */
  private actAlert(): void {
    const shuntRegister = Math.round((this.measuredAmps() * 1500) / 2.5);
    const limit = (this.monitorRegisters[7]! << 16) >> 16;
    if (this.monitorRegisters[6]! & 0x8000 && shuntRegister > limit) this.alertLatchOpen = true;
    if (this.alertLatchOpen) this.contactorClosed = false;
  }

  measuredVolts(): number {
    return this.contactorClosed ? 0.6 + 0.1 * Math.abs(this.measuredAmps()) : this.terminalVolts;
  }

  measuredAmps(): number {
    if (!this.followsSetPoint) return this.currentAmps;
    return this.contactorClosed ? this.converterCode / 100 : 0;
  }

  uptimeMs = (): number => this.nowMs;
  randomBits = (): number => 424242;
  readContacts = (inputs: Inputs): void => {
    if (this.nowMs - this.oneShotFedMs > 20000) this.contactorClosed = false;
    inputs.alertLatchOpen = this.alertLatchOpen;
    inputs.contactorClosed = this.contactorClosed;
    inputs.emergencyStopPressed = this.emergencyStopPressed;
    inputs.startPressed = this.startPressed;
    inputs.stopPressed = this.stopPressed;
    inputs.resetPressed = this.resetPressed;
    inputs.startHeld = this.startHeld;
    inputs.resetHeld = this.resetHeld;
    inputs.rotationPulses = this.rotation.pulses;
    this.startPressed = this.stopPressed = this.resetPressed = this.startHeld = this.resetHeld = false;
  };
  readWatchers = (inputs: Inputs, fitted: FittedContacts): void => {
    inputs.leakSeen = fitted.leak && this.watchers.leakSeen;
    inputs.smokeSeen = fitted.smoke && this.watchers.smokeSeen;
    inputs.agitationStopped = fitted.agitation && this.watchers.agitationStopped;
    inputs.filterStopped = fitted.filter && this.watchers.filterStopped;
    inputs.liquidLow = fitted.level && this.watchers.liquidLow;
  };
  readonly supplyEnable = {
    write: (isHigh: boolean): void => {
      this.supplyEnabled = isHigh;
    },
  };
  dialingBlocks = true;
  openSerial = (): SerialLine => ({ write: () => undefined });
  readonly contactorEnable = {
    write: (isHigh: boolean): void => {
      this.isContactorEnabled = isHigh;
      if (!isHigh) this.contactorClosed = false;
    },
  };
  readonly oneShotTrigger = {
    write: (isHigh: boolean): void => {
      if (isHigh !== this.oneShotLevel && this.isContactorEnabled) this.oneShotFedMs = this.nowMs;
      this.oneShotLevel = isHigh;
    },
  };
  readonly motor = {
    write: (isHigh: boolean): void => {
      this.motorOn = isHigh;
    },
  };
  readonly buzzer = {
    write: (isHigh: boolean): void => {
      this.buzzerOn = isHigh;
    },
  };
  feedWatchdog = (): void => {
    this.watchdogFedMs = this.nowMs;
  };
  settingsText = (): string | undefined => (this.file === undefined ? undefined : sealed(this.file));
  joinNetwork = (_ssid: string, _password: string, _port: number, heard: (text: string) => void): void => {
    this.heard = heard;
  };
  connect = (_address: string, _port: number, events: ConnectionEvents): Connection => {
    this.dials++;
    this.nowMs += this.dialBlocksMs;
    if (this.isRefusing) throw new Error('refused');
    this.dialled = new DialledConnection(events);
    return this.dialled;
  };

  /** The press at the bath: a second contact of the start button closes the relay, if the one-shot is running. */
  pressStart(): void {
    this.startPressed = true;
    if (this.isContactorEnabled && this.nowMs - this.oneShotFedMs <= 20000) this.contactorClosed = true;
  }
  pulse(): void {
    if (this.rotation.pulses) this.rotation.periodMs = this.nowMs - this.rotation.seenMs;
    this.rotation.pulses++;
    this.rotation.seenMs = this.nowMs;
  }
}

/** The text of a settings file: CRC-32 in eight hexadecimal digits, then JSON. */
export function sealed(file: unknown): string {
  const json = JSON.stringify(file);
  return crc32(json).toString(16).padStart(8, '0') + json;
}

/** Settings as they are written at the bath. */
export function validSettings(): Record<string, unknown> {
  return {
    v: 1,
    controllerId: 'north-bench',
    simulated: 0,
    wifi: { ssid: '', password: '' },
    link: { address: '127.0.0.1', port: 1883, signOfLifePort: 41883 },
    secret: 'a5'.repeat(32),
    rig: { currentAmpsMax: 35, terminalVoltsMax: 8, bathCelsiusMax: 40, runSecondsMax: 50400 },
    shunt: { microOhms: 1500, currentGain: 1, currentOffsetAmps: 0, measured: 1 },
    supply: { codeAtZero: 0, codesPerAmp: 100, measured: 1, baud: 9600 },
    probe: { offsetCelsius: 0, measured: 1, rom: '' },
    fitted: { leak: 0, smoke: 0, agitation: 0, filter: 0, level: 0, clock: 0, clips: [] as string[] },
  };
}
