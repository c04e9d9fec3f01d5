/*
 * I2C and one-wire as the interpreter's classes have them: each call takes the time that the bus takes, and the chips
 * behind it answer. Nobody there: I2C throws, one-wire finds no device.
 */
import { Pin } from '../../board/pins.js';
import { bytesOf, gatherBytes, gatheredBytes } from '../bytes.js';
import type { Machine } from './machine.js';

const I2C_BYTE_SECONDS = 9 / 400_000;
const ONE_WIRE_RESET_SECONDS = 0.001;
const ONE_WIRE_BYTE_SECONDS = 0.00056;
const SKIP_ROM = Uint8Array.of(0xcc);

/** `I2C1` */
export function i2cApi(machine: Machine): object {
  const chipAt = (address: unknown) => {
    machine.standOrFall();
    const number = typeof address === 'object' ? (address as { address: number }).address : Number(address);
    const chip = machine.host.i2c.answering(number);
    if (chip === undefined) {
      machine.spend(I2C_BYTE_SECONDS);
      machine.fail('I2C device not responding');
    }
    return chip;
  };
  const writeTo = (address: unknown, ...values: unknown[]) => {
    const chip = chipAt(address);
    const length = gatherBytes(values);
    machine.spend((length + 1) * I2C_BYTE_SECONDS);
    chip.write(gatheredBytes, length, machine.host.nowSeconds());
    machine.standOrFall();
  };
  const readFrom = (address: unknown, quantity: number) => {
    const chip = chipAt(address);
    machine.spend((quantity + 1) * I2C_BYTE_SECONDS);
    const bytes = machine.newBytes(quantity);
    chip.read(bytes, machine.host.nowSeconds());
    return bytes;
  };
  return {
    setup: () => undefined,
    writeTo,
    readFrom,
    readReg: (address: unknown, register: number, quantity: number) => {
      writeTo(address, register);
      return readFrom(address, quantity);
    },
    writeReg: (address: unknown, register: number, ...values: unknown[]) => {
      writeTo(address, register, ...values);
    },
  };
}

/** `new OneWire(pin)`; only the probes’ pin has devices on it. */
export function oneWireConstructor(machine: Machine): unknown {
  return function OneWire(pin: unknown) {
    const line = String(pin) === Pin.probe ? machine.host.oneWire : undefined;
    const now = () => machine.host.nowSeconds();
    /** Match ROM and the address, of each that was called. */
    const romBytes = new Map<string, Uint8Array>();
    // A bus that nobody drives reads as ones.
    const readByte = () => line?.read(now()) ?? 0xff;
    const writeBytes = (bytes: Uint8Array) => {
      machine.spend(bytes.length * ONE_WIRE_BYTE_SECONDS);
      for (let index = 0; index < bytes.length; index++) line?.write(bytes[index]!, now());
    };
    const reset = () => {
      machine.spend(ONE_WIRE_RESET_SECONDS);
      return line?.reset() === true;
    };
    return {
      reset,
      skip: () => {
        writeBytes(SKIP_ROM);
      },
      select: (rom: string) => {
        reset();
        let bytes = romBytes.get(rom);
        if (bytes === undefined) romBytes.set(rom, (bytes = Buffer.from(`55${rom}`, 'hex')));
        writeBytes(bytes);
      },
      write: (values: unknown) => {
        writeBytes(bytesOf([values]));
      },
      read: (count?: number) => {
        machine.spend((count ?? 1) * ONE_WIRE_BYTE_SECONDS);
        if (count === undefined) return readByte();
        const bytes = machine.newBytes(count);
        for (let index = 0; index < count; index++) bytes[index] = readByte();
        return bytes;
      },
      search: () => machine.realmValue(reset() ? line!.addresses : []),
    };
  };
}
