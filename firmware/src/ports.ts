/*
 * What the control loop and the link need from a board, and nothing more: a clock, two buses, contacts, outputs, sockets.
 * Fulfilled by one file in boards/ and by small stand-ins in the tests. Holds no behaviour and no pin number.
 */
import type { Inputs } from '@bathkeeper/shared-core/control';

/** I2C. Both calls throw when the chip does not answer. */
export interface TwoWireBus {
  writeTo(address: number, ...bytes: (number | ArrayLike<number>)[]): void;
  readFrom(address: number, count: number): ArrayLike<number>;
}

/** 1-Wire. `reset` is true when a device answered with its presence pulse. */
export interface OneWireBus {
  reset(): boolean;
  skip(): void;
  write(byte: number): void;
  read(count: number): ArrayLike<number>;
}

/** Byte memory that survives a cut between any two bytes written (FRAM), or RAM in its place. */
export interface BlockMemory {
  readonly bytes: number;
  read(address: number, length: number): ArrayLike<number>;
  write(address: number, bytes: ArrayLike<number>): void;
}

/** A TCP connection. Text carries bytes: every character is 0 to 255. */
export interface Connection {
  write(text: string): void;
  end(): void;
}

/** What happens on a TCP connection; all of it later than the call that made it. */
export interface ConnectionEvents {
  opened(): void;
  received(text: string): void;
  closed(): void;
}

/** One output of the board. At boot all are low. */
export interface OutputPin {
  write(isHigh: boolean): void;
}

/** What the rotation sensor saw. */
export interface Rotation {
  /** Since boot. */
  pulses: number;
  /** Milliseconds between the last two, 0 when there were none. */
  periodMs: number;
  /** Uptime of the last one, or a very negative number. */
  seenMs: number;
}

export interface Board {
  readonly twoWire: TwoWireBus;
  readonly oneWire: OneWireBus;
  readonly rotation: Rotation;
  /** Low clears the one-shot: the contactor is off at once. High alone does not close anything. */
  readonly contactorEnable: OutputPin;
  /** An edge feeds the one-shot: the contactor may stay closed for another 20 s. */
  readonly oneShotTrigger: OutputPin;
  readonly motor: OutputPin;
  readonly buzzer: OutputPin;
  feedWatchdog(): void;
  /** Whole milliseconds since this boot; never falls. */
  uptimeMs(): number;
  /** 32 random bits that nobody can foretell. */
  randomBits(): number;
  /** Fills the contacts, the buttons pressed since the last call, and the rotation pulses. */
  readContacts(inputs: Inputs): void;
  /** The settings file as it was parsed, or undefined when there is none. Its fields are not checked yet. */
  settingsFile(): unknown;
  /** Joins the network and hears datagrams on the port, again after each loss. */
  joinNetwork(ssid: string, password: string, port: number, heard: (text: string) => void): void;
  /** BLOCKS for up to 15 s, and throws when refused. */
  connect(address: string, port: number, events: ConnectionEvents): Connection;
}
