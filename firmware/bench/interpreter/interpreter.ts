/*
 * One boot of the board's interpreter: a Node context as poor as Espruino's, with Espruino's own API in front of the
 * virtual hardware, and the bundle running in it. Made anew at every restart; nothing of an old boot survives.
 * The names of the API are handed to the bundle as parameters, which is many times faster than globals of a context.
 */
import { createHash } from 'node:crypto';
import vm from 'node:vm';
import { crc32 } from 'node:zlib';
import type { I2cBus } from '../chips/i2c-bus.js';
import type { Ds18b20 } from '../chips/ds18b20.js';
import { Pin, type PinEvent, type Pins } from '../board/pins.js';
import type { Watchdog } from '../board/watchdog.js';
import type { SeededNoise } from '../seeded-noise.js';
import { bytesOf, bytesOfText, textOf } from './bytes.js';
import { Callbacks } from './callbacks.js';
import { missingInInterpreter } from './missing-in-interpreter.js';
import { Sockets, type SocketHost } from './sockets.js';
import type { FlashStorage } from './storage.js';
import { VirtualWifi } from './wifi.js';

/** Thrown through the bundle when the board stops under it; every further call into the board throws it again. */
class BoardStopped extends Error {}

/** Time that the hardware takes; the interpreter's own work is taken as nothing. */
const I2C_BYTE_SECONDS = 9 / 400_000;
const ONE_WIRE_RESET_SECONDS = 0.001;
const ONE_WIRE_BYTE_SECONDS = 0.00056;
/** So that a loop that waits for getTime() ends. */
const GET_TIME_SECONDS = 0.00002;

/** The hardware and the world that one boot runs in. */
export interface BoardHost {
  readonly bundle: string;
  readonly i2c: I2cBus;
  readonly probe: Ds18b20;
  readonly pins: Pins;
  readonly watchdog: Watchdog;
  readonly storage: FlashStorage;
  readonly entropy: SeededNoise;
  readonly socketNoise: SeededNoise;
  readonly network: SocketHost['network'];
  readonly hasWifi: boolean;
  networkTrouble(): ReturnType<SocketHost['networkTrouble']>;
  nowSeconds(): number;
  /** The bath's time goes on; no callback runs. */
  pass(seconds: number): void;
  after(seconds: number, run: () => void): void;
  print(line: string): void;
  telnetSwitched(isOn: boolean): void;
  /** E.reboot() at once, load() after the callback. */
  restart(): void;
}

function intervalName(everySeconds: number): string {
  return `interval ${String(Math.round(everySeconds * 1000))} ms`;
}

export class Interpreter {
  readonly callbacks: Callbacks;
  readonly sockets: Sockets;
  /** Undefined: the network stands without joining one. */
  readonly wifi: VirtualWifi | undefined;
  /** Callbacks that threw in this boot. */
  exceptionCount = 0;
  #isStopped = false;
  #restartsAfterCallback = false;
  readonly #bootedAtSeconds: number;
  readonly #afterCallback: (() => void)[] = [];
  readonly #listeners = new Map<string, ((...values: unknown[]) => void)[]>();
  readonly #errorFlags: string[] = [];
  readonly #context: vm.Context;
  readonly #realm: { Uint8Array: Uint8ArrayConstructor; Error: ErrorConstructor; JSON: JSON };

  constructor(readonly host: BoardHost) {
    this.#bootedAtSeconds = host.nowSeconds();
    this.callbacks = new Callbacks(
      () => host.nowSeconds(),
      (callback) => this.#run(callback),
    );
    const { pins } = host;
    pins.queue = (run) => {
      this.callbacks.queueEdge(run);
    };
    pins.at = (worldSeconds, run) => {
      const id = this.callbacks.addAt(run, worldSeconds);
      return () => {
        this.callbacks.remove(id);
      };
    };
    pins.uptimeAt = (worldSeconds) => this.#uptimeAt(worldSeconds);
    if (host.hasWifi) {
      this.wifi = new VirtualWifi({
        isNetworkThere: () => host.networkTrouble() !== 'lost',
        after: (seconds, run) => {
          host.after(seconds, run);
        },
        queue: (event) => {
          this.callbacks.queue(event);
        },
      });
    }
    this.sockets = new Sockets({
      network: host.network,
      noise: host.socketNoise,
      networkTrouble: () => (this.isNetworkJoined ? host.networkTrouble() : 'lost'),
      block: (seconds) => {
        this.#spend(seconds);
      },
      queue: (event) => {
        this.callbacks.queue(event);
      },
      afterCallback: (run) => {
        this.#afterCallback.push(run);
      },
      after: (seconds, run) => {
        host.after(seconds, run);
      },
      fail: (message) => this.#fail(message),
    });
    this.#context = vm.createContext({}, { name: 'virtual board' });
    this.#realm = vm.runInContext('({ Uint8Array: Uint8Array, Error: Error, JSON: JSON })', this.#context) as never;

    (vm.runInContext(missingInInterpreter, this.#context) as () => void)();
  }

  /** Seconds since this boot began. */
  get uptimeSeconds(): number {
    return this.#uptimeAt(this.host.nowSeconds());
  }
  get isNetworkJoined(): boolean {
    return this.wifi === undefined || this.wifi.isJoined;
  }
  get isStopped(): boolean {
    return this.#isStopped;
  }

  /** Runs the bundle from its first line. */
  boot(): void {
    const api = this.#api();
    const names = Object.keys(api);
    this.#run(() => {
      const program = vm.compileFunction(this.host.bundle, names, {
        parsingContext: this.#context,
        filename: 'bundle.js',
      }) as (...values: unknown[]) => void;
      program(...names.map((name) => api[name]));
    });
    for (const listener of this.#listeners.get('E init') ?? []) if (this.#run(listener)) return;
  }

  /** The board stops here and now: nothing of this boot runs again, sockets are gone. */
  stop(): void {
    this.#isStopped = true;
    this.sockets.dropAll();
  }

  /** What could be taken away: `interval 200 ms`, `watch D27`. */
  get callbackNames(): string[] {
    const intervals = this.callbacks.intervals.map(({ everySeconds }) => intervalName(everySeconds!));
    return [...intervals, ...this.host.pins.watchedPins.map((pin) => `watch ${pin}`)];
  }

  /**
   * What a stack overflow or want of memory does: the callback is removed, outputs stay as they are, an error flag is
   * set. Answers how many went.
   */
  takeAwayCallbacks(isMeant: (name: string) => boolean): number {
    const { pins } = this.host;
    const intervals = this.callbacks.intervals.filter(({ everySeconds }) => isMeant(intervalName(everySeconds!)));
    for (const timer of intervals) this.callbacks.remove(timer.id);
    const watched = pins.watchedPins.filter((pin) => isMeant(`watch ${pin}`));
    for (const pin of watched) pins.forgetWatches(pin);
    const count = intervals.length + watched.length;
    if (count === 0) return 0;
    this.#errorFlags.push('CALLBACK');
    for (const listener of this.#listeners.get('E errorFlag') ?? []) {
      this.callbacks.queue(() => {
        listener(this.#realmValue(['CALLBACK']));
      });
    }
    return count;
  }

  /** True when the board stopped in it. */
  #run(callback: () => void): boolean {
    if (this.#isStopped) return true;
    try {
      callback();
      this.#settle();
    } catch (thrown) {
      if (this.#isStopped || thrown instanceof BoardStopped) return true;
      this.exceptionCount++;
      this.#report(thrown);
    }
    if (this.#restartsAfterCallback && !this.#isStopped) {
      for (const listener of this.#listeners.get('E kill') ?? []) {
        try {
          listener();
        } catch (thrown) {
          this.host.print(`Uncaught ${String(thrown)} in a kill listener`);
        }
      }
      if (!this.#isStopped) this.host.restart();
    }
    return this.#isStopped;
  }

  #report(thrown: unknown): void {
    const stack = (thrown as { stack?: unknown } | undefined)?.stack;
    const listeners = this.#listeners.get('process uncaughtException') ?? [];
    if (listeners.length === 0) this.host.print(`Uncaught ${typeof stack === 'string' ? stack : String(thrown)}`);
    try {
      for (const listener of listeners) listener(thrown);
      this.#settle();
    } catch (again) {
      if (!this.#isStopped) this.host.print(`Uncaught ${String(again)}`);
    }
  }

  /** Bytes written within a callback leave when it has ended. */
  #settle(): void {
    while (this.#afterCallback.length > 0 && !this.#isStopped) this.#afterCallback.shift()!();
  }

  #uptimeAt(worldSeconds: number): number {
    return Math.round((worldSeconds - this.#bootedAtSeconds) * 1e6) / 1e6;
  }

  #spend(seconds: number): void {
    this.#standOrFall();
    this.host.pass(seconds);
    this.#standOrFall();
  }

  #standOrFall(): void {
    if (this.#isStopped) throw new BoardStopped('the board stopped');
  }

  #fail(message: string): never {
    throw new this.#realm.Error(message);
  }

  #realmBytes(bytes: Uint8Array): Uint8Array {
    const copy = new this.#realm.Uint8Array(bytes.length);
    copy.set(bytes);
    return copy;
  }

  #realmValue(value: unknown): unknown {
    return this.#realm.JSON.parse(JSON.stringify(value));
  }

  #listen(event: string, listener: unknown): void {
    if (typeof listener !== 'function') this.#fail('on: needs a function');
    this.#listeners.set(event, [...(this.#listeners.get(event) ?? []), listener as () => void]);
  }

  #api(): Record<string, unknown> {
    const api: Record<string, unknown> = {
      ...this.#timerApi(),
      ...this.#pinApi(),
      I2C1: this.#i2cApi(),
      OneWire: this.#oneWireConstructor(),
      E: this.#espruinoApi(),
      process: this.#processApi(),
      require: this.#requireFunction(),
      load: () => {
        this.#restartsAfterCallback = true;
      },
      print: (...values: unknown[]) => {
        this.host.print(values.map((value) => (typeof value === 'string' ? value : JSON.stringify(value))).join(' '));
      },
    };
    api.console = { log: api.print };
    Object.assign(this.#context, api);
    // Found by name in every call: as parameters they need no look-up in the context.
    for (const name of ['Math', 'JSON', 'isFinite', 'isNaN', 'parseInt', 'parseFloat', 'Number', 'String', 'Array'])
      api[name] = vm.runInContext(name, this.#context);
    for (const name of ['Uint8Array', 'Uint16Array', 'Int16Array', 'Int32Array', 'Float64Array', 'Object', 'Error'])
      api[name] = vm.runInContext(name, this.#context);
    api.global = vm.runInContext('globalThis', this.#context);
    return api;
  }

  #timerApi(): Record<string, unknown> {
    const { callbacks } = this;
    const add =
      (isRepeated: boolean) =>
      (run: unknown, milliseconds: number, ...values: unknown[]) => {
        if (typeof run !== 'function') this.#fail('Function or String not supplied!');
        const callback = run as (...all: unknown[]) => void;
        return callbacks.add(values.length === 0 ? callback : () => callback(...values), milliseconds, isRepeated);
      };
    const clear =
      (name: string) =>
      (...ids: unknown[]) => {
        // Without an argument the interpreter clears every timer of the program: never meant, so it fails here.
        if (ids.length === 0 || ids[0] === undefined) this.#fail(`${name}(undefined) not allowed`);
        callbacks.remove(Number(ids[0]));
      };
    return {
      setInterval: add(true),
      setTimeout: add(false),
      clearInterval: clear('clearInterval'),
      clearTimeout: clear('clearTimeout'),
      changeInterval: (id: number, milliseconds: number) => {
        if (!callbacks.change(id, milliseconds)) this.#fail('Unknown Interval');
      },
      getTime: () => {
        this.#spend(GET_TIME_SECONDS);
        return this.uptimeSeconds;
      },
    };
  }

  #pinApi(): Record<string, unknown> {
    const { pins } = this.host;
    const write = (pin: unknown, value: unknown) => {
      this.#standOrFall();
      pins.write(String(pin), Boolean(value), this.host.nowSeconds());
    };
    const read = (pin: unknown) => {
      this.#standOrFall();
      return pins.read(String(pin)) ? 1 : 0;
    };
    const api: Record<string, unknown> = {
      digitalWrite: write,
      digitalRead: read,
      pinMode: () => undefined,
      setWatch: (
        onEdge: unknown,
        pin: unknown,
        options: { repeat?: boolean; edge?: string; debounce?: number } = {},
      ) => {
        if (typeof onEdge !== 'function') this.#fail('Function or String not supplied!');
        const edge = options.edge ?? 'both';
        if (edge !== 'rising' && edge !== 'falling' && edge !== 'both')
          this.#fail("'edge' in setWatch should be rising, falling or both");
        return pins.setWatch(
          String(pin),
          edge,
          options.repeat === true,
          (options.debounce ?? 0) / 1000,
          onEdge as (event: PinEvent) => void,
        );
      },
      clearWatch: (...ids: unknown[]) => {
        if (ids.length > 0 && ids[0] === undefined)
          this.#fail('clearWatch(undefined) not allowed. Use clearWatch() instead');
        if (!pins.clearWatch(ids[0] as number | undefined)) this.#fail('Unknown Watch');
      },
    };
    for (let number = 0; number < 40; number++) {
      const name = `D${number}`;
      api[name] = {
        read: () => pins.read(name),
        write: (value: unknown) => {
          write(name, value);
        },
        set: () => {
          write(name, true);
        },
        reset: () => {
          write(name, false);
        },
        mode: () => undefined,
        toString: () => name,
      };
    }
    return api;
  }

  #i2cApi(): object {
    const chipAt = (address: unknown) => {
      this.#standOrFall();
      const number = typeof address === 'object' ? (address as { address: number }).address : Number(address);
      const chip = this.host.i2c.answering(number);
      if (chip === undefined) {
        this.#spend(I2C_BYTE_SECONDS);
        this.#fail('I2C device not responding');
      }
      return chip;
    };
    const writeTo = (address: unknown, ...values: unknown[]) => {
      const chip = chipAt(address);
      const bytes = bytesOf(values);
      this.#spend((bytes.length + 1) * I2C_BYTE_SECONDS);
      chip.write(bytes, this.host.nowSeconds());
      this.#standOrFall();
    };
    const readFrom = (address: unknown, quantity: number) => {
      const chip = chipAt(address);
      this.#spend((quantity + 1) * I2C_BYTE_SECONDS);
      const bytes = new this.#realm.Uint8Array(quantity);
      chip.read(bytes, this.host.nowSeconds());
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

  #oneWireConstructor(): unknown {
    const { probe } = this.host;
    const now = () => this.host.nowSeconds();
    const readByte = () => {
      this.#spend(ONE_WIRE_BYTE_SECONDS);
      return probe.read(now());
    };
    const writeBytes = (values: readonly unknown[]) => {
      for (const byte of bytesOf(values)) {
        this.#spend(ONE_WIRE_BYTE_SECONDS);
        probe.write(byte, now());
      }
    };
    const reset = () => {
      this.#spend(ONE_WIRE_RESET_SECONDS);
      return probe.reset();
    };
    const realmBytes = (bytes: Uint8Array) => this.#realmBytes(bytes);
    const realmValue = (value: unknown) => this.#realmValue(value);
    return function OneWire(pin: unknown) {
      if (String(pin) !== Pin.probe) {
        // Another pin has no device on it.
        return {
          reset: () => false,
          skip: () => undefined,
          select: () => undefined,
          write: () => undefined,
          read: () => 0xff,
          search: () => realmValue([]),
        };
      }
      return {
        reset,
        skip: () => {
          writeBytes([0xcc]);
        },
        select: (rom: string) => {
          reset();
          writeBytes([0x55, ...(rom.match(/../g) ?? []).map((digits) => parseInt(digits, 16))]);
        },
        write: (values: unknown) => {
          writeBytes([values]);
        },
        read: (count?: number) =>
          count === undefined ? readByte() : realmBytes(Uint8Array.from({ length: count }, readByte)),
        search: () => realmValue(reset() ? [probe.address] : []),
      };
    };
  }

  #espruinoApi(): object {
    const { watchdog } = this.host;
    return {
      on: (event: string, listener: unknown) => {
        this.#listen(`E ${event}`, listener);
      },
      getErrorFlags: () => this.#realmValue(this.#errorFlags.splice(0)),
      setFlags: () => undefined,
      setConsole: () => undefined,
      lockConsole: () => undefined,
      enableWatchdog: (seconds: number, isAutomatic?: boolean) => {
        if (isAutomatic === false) watchdog.enable(seconds, this.host.nowSeconds());
        else watchdog.disable();
      },
      kickWatchdog: () => {
        this.#standOrFall();
        watchdog.kick(this.host.nowSeconds());
      },
      hwRand: () => this.host.entropy.uint32() | 0,
      toUint8Array: (...values: unknown[]) => this.#realmBytes(bytesOf(values)),
      toString: (...values: unknown[]) => textOf(bytesOf(values)),
      CRC32: (value: unknown) => crc32(bytesOf([value])),
      getTemperature: () => 30,
      reboot: () => {
        this.host.restart();
        this.#standOrFall();
      },
    };
  }

  #processApi(): object {
    return {
      version: '2v29',
      env: this.#realmValue({
        VERSION: '2v29',
        BOARD: 'ESP32',
        SERIAL: '0badc0de0000',
        MODULES: 'Storage,net,dgram,crypto,TelnetServer',
      }),
      memory: () => this.#realmValue({ free: 2000, usage: 1400, total: 3400, history: 0 }),
      on: (event: string, listener: unknown) => {
        this.#listen(`process ${event}`, listener);
      },
    };
  }

  #requireFunction(): (name: string) => unknown {
    const { storage } = this.host;
    const modules: Record<string, unknown> = {
      net: this.sockets.netModule(),
      dgram: this.sockets.datagramModule(),
      ...(this.wifi === undefined ? {} : { Wifi: this.wifi.module() }),
      crypto: {
        SHA256: (message: unknown) => {
          const digest = createHash('sha256')
            .update(bytesOf([message]))
            .digest();
          return this.#realmBytes(digest).buffer;
        },
      },
      TelnetServer: {
        setOptions: (options: { mode?: string }) => {
          this.host.telnetSwitched(options.mode !== 'off');
        },
      },
      Storage: {
        read: (name: string, offset = 0, length?: number) =>
          storage.read(name)?.slice(offset, length === undefined ? undefined : offset + length),
        readJSON: (name: string, noExceptions?: boolean) => {
          const text = storage.read(name);
          if (text === undefined) return undefined;
          try {
            return this.#realm.JSON.parse(text) as unknown;
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
        list: () => this.#realmValue(storage.names),
        getFree: () => 800_000,
      },
    };
    return (name) => modules[name] ?? this.#fail(`Module "${name}" not found`);
  }
}
