/*
 * What the control loop and the link need from a board, and nothing more: a clock, buses, contacts, outputs, sockets.
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
  /** Resets the bus, then speaks to the one device with this ROM code: 16 hexadecimal digits as the interpreter's `search` gives them. */
  select(rom: string): void;
  write(byte: number): void;
  read(count: number): ArrayLike<number>;
}

/** Byte memory that survives a cut between any two bytes written (FRAM), flash that does the same, or RAM in its place. */
export interface BlockMemory {
  readonly bytes: number;
  /** Each write costs some of its life: it is asked once a minute, not each second. */
  readonly wears?: boolean;
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

/** An asynchronous serial line. Text carries bytes. */
export interface SerialLine {
  write(text: string): void;
}

/** One output of the board. At boot all are low. */
export interface OutputPin {
  write(isHigh: boolean): void;
}

/** What the rotation sensor saw. Times are those of the edges themselves, not of when the program came to them. */
export interface Rotation {
  /** Since boot. */
  pulses: number;
  /** Milliseconds between the last two, 0 when there were none. */
  periodMs: number;
  /** Uptime of the last one, or a very negative number. */
  seenMs: number;
}

/** Which optional contacts are wired. What is not fitted is never read, and never seen. */
export interface FittedContacts {
  readonly leak: boolean;
  readonly smoke: boolean;
  readonly agitation: boolean;
  readonly filter: boolean;
  readonly level: boolean;
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
  /** The second means: the supply's mains relay or enable input. Low: no supply, whatever the contactor does. */
  readonly supplyEnable: OutputPin;
  /**
   * `connect` holds every callback up until the other side answers or the stack gives up, so it is tried only just after a sign of
   * life. False: the network is on a chip of its own, `connect` returns at once, and no datagram (no sign of life) may come there.
   */
  readonly dialingBlocks: boolean;
  feedWatchdog(): void;
  /** Whole milliseconds since this boot; never falls. */
  uptimeMs(): number;
  /** 32 random bits that nobody can foretell. */
  randomBits(): number;
  /** Fills the contacts of the safety chain, the buttons pressed or held since the last call, and the rotation pulses. */
  readContacts(inputs: Inputs): void;
  /** Fills leak, smoke, agitation, filter and level. Each contact is closed while all is well, so that a broken wire is seen. */
  readWatchers(inputs: Inputs, fitted: FittedContacts): void;
  /** The text of the settings file, or undefined when there is none. Nothing of it is checked yet. */
  settingsText(): string | undefined;
  /** The serial line to the supply: 8 data bits, no parity, 1 stop bit. */
  openSerial(baud: number, received: (text: string) => void): SerialLine;
  /** Joins the network and hears datagrams on the port, again after each loss. */
  joinNetwork(ssid: string, password: string, port: number, heard: (text: string) => void): void;
  /** Where `dialingBlocks`, BLOCKS for up to 15 s. Throws when refused or when there is no way there. */
  connect(address: string, port: number, events: ConnectionEvents): Connection;
}
