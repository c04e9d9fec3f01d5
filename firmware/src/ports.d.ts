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
export interface Board {
    readonly twoWire: TwoWireBus;
    readonly oneWire: OneWireBus;
    /** Whole milliseconds since this boot; never falls. */
    uptimeMs(): number;
    /** 32 random bits that nobody can foretell. */
    randomBits(): number;
    /** Fills the contacts, the buttons pressed since the last call, and the rotation pulses. */
    readContacts(inputs: Inputs): void;
    /** Milliseconds between the last two rotation pulses, 0 when there were none. */
    pulsePeriodMs(): number;
    /** Uptime of the last rotation pulse, or a very negative number. */
    pulseSeenMs(): number;
    /** False holds the one-shot cleared: the contactor is off at once. True alone does not close anything. */
    enableContactor(isEnabled: boolean): void;
    /** One trigger edge for the one-shot: the contactor may stay closed for another 20 s. */
    feedOneShot(): void;
    turnMotor(isOn: boolean): void;
    soundBuzzer(isOn: boolean): void;
    feedWatchdog(): void;
    /** The settings file as it was parsed, or undefined when there is none. Its fields are not checked yet. */
    settingsFile(): unknown;
    /** Joins the network and hears datagrams on the port, again after each loss; `beat` keeps that going. */
    joinNetwork(ssid: string, password: string, port: number, heard: (text: string) => void): void;
    keepNetwork(nowMs: number): void;
    /** BLOCKS for up to 15 s, and throws when refused. */
    connect(address: string, port: number, events: ConnectionEvents): Connection;
}
