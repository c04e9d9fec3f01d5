/*
 * `E`, `process` and the modules that `require` finds, as far as the firmware may use them (firmware/src/espruino.d.ts).
 */
import { hash } from 'node:crypto';
import { bytesOf, bytesOfText, gatherBytes, gatheredBytes, textOf } from '../bytes.js';
import { crc32Of } from '../crc32.js';
import type { Machine } from './machine.js';

/** `E` */
export function espruinoApi(machine: Machine): object {
  const { watchdog } = machine.host;
  return {
    on: (event: string, listener: unknown) => {
      machine.listen(`E ${event}`, listener);
    },
    getErrorFlags: () => machine.realmValue(machine.takeErrorFlags()),
    setFlags: () => undefined,
    setConsole: (device: unknown) => {
      machine.host.consoleSwitched(device !== null);
    },
    lockConsole: () => undefined,
    enableWatchdog: (seconds: number, isAutomatic?: boolean) => {
      if (isAutomatic === false) watchdog.enable(seconds, machine.host.nowSeconds());
      else watchdog.disable();
    },
    kickWatchdog: () => {
      machine.standOrFall();
      watchdog.kick(machine.host.nowSeconds());
    },
    hwRand: () => machine.host.entropy.uint32() | 0,
    toUint8Array: (...values: unknown[]) => machine.realmBytes(bytesOf(values)),
    toString: (...values: unknown[]) => textOf(bytesOf(values)),
    CRC32: (value: unknown) => {
      if (ArrayBuffer.isView(value)) return crc32Of(value as Uint8Array);
      return crc32Of(gatheredBytes, gatherBytes([value]));
    },
    getTemperature: () => 30,
    reboot: () => {
      machine.host.restart();
      machine.standOrFall();
    },
  };
}

/** `process` */
export function processApi(machine: Machine): object {
  return {
    version: '2v29',
    env: machine.realmValue({
      VERSION: '2v29',
      BOARD: 'ESP32',
      SERIAL: '0badc0de0000',
      MODULES: 'Flash,Storage,net,dgram,crypto,TelnetServer',
    }),
    memory: () => machine.realmValue({ free: 2000, usage: 1400, total: 3400, history: 0 }),
    on: (event: string, listener: unknown) => {
      machine.listen(`process ${event}`, listener);
    },
  };
}

/** `require`: the modules of the board’s build; any other throws. */
export function requireFunction(machine: Machine): (name: string) => unknown {
  const { board, storage } = machine.host;
  const flash = flashModule(machine);
  const modules: Record<string, unknown> = {
    net: machine.sockets.netModule(),
    ...(board.hasDatagrams ? { dgram: machine.sockets.datagramModule() } : {}),
    ...(machine.wifi === undefined ? {} : { Wifi: machine.wifi.module() }),
    crypto: {
      SHA256: (message: unknown) => machine.realmBytes(hash('sha256', bytesOf([message]), 'buffer')).buffer,
    },
    TelnetServer: {
      setOptions: (options: { mode?: string }) => {
        machine.host.telnetSwitched(options.mode !== 'off');
      },
    },
    ...(board.hasRawFlash ? { Flash: flash } : {}),
    Storage: {
      read: (name: string, offset = 0, length?: number) =>
        storage.read(name)?.slice(offset, length === undefined ? undefined : offset + length),
      readJSON: (name: string, noExceptions?: boolean) => {
        const text = storage.read(name);
        if (text === undefined) return undefined;
        try {
          return machine.parsed(text);
        } catch (thrown) {
          if (noExceptions === true) return undefined;
          throw thrown;
        }
      },
      write: (name: string, contents: unknown, offset?: number, size?: number) =>
        storage.write(
          name,
          typeof contents === 'string' ? textOf(bytesOfText(contents)) : JSON.stringify(contents),
          offset,
          size,
        ),
      writeJSON: (name: string, value: unknown) => storage.write(name, JSON.stringify(value)),
      erase: (name: string) => {
        storage.erase(name);
      },
      eraseAll: () => {
        storage.eraseAll();
      },
      list: () => machine.realmValue(storage.names),
      getFree: () => board.storageBytes - storage.byteCount,
    },
  };
  return (name) => modules[name] ?? machine.fail(`Module "${name}" not found`);
}

/** Raw pages. An erase holds everything up, and so does a write for its short time (ESP32's chip: 45 ms, 0.7 ms for 256 bytes; from memory). */
function flashModule(machine: Machine): object {
  const { flash } = machine.host;
  return {
    getFree: () => machine.realmValue(flash.areas),
    erasePage: (address: number) => {
      machine.standOrFall();
      flash.erasePage(address);
      machine.spend(0.045);
    },
    write: (values: unknown, address: number) => {
      machine.standOrFall();
      const bytes = bytesOf([values]);
      if (address % 4 !== 0 || bytes.length % 4 !== 0) machine.fail('Flash: address and length must be multiples of 4');
      flash.write(address, bytes);
      machine.spend((bytes.length / 256) * 0.0007);
    },
    read: (length: number, address: number) => {
      machine.standOrFall();
      const bytes = machine.newBytes(length);
      flash.read(address, bytes);
      return bytes;
    },
  };
}
