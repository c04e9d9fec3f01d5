/*
 * One boot of the board's interpreter: a Node context as poor as Espruino's, with Espruino's own API in front of the
 * virtual hardware, and the bundle running in it. Made anew at every restart; nothing of an old boot survives.
 * The names of the API are handed to the bundle as parameters, which is many times faster than globals of a context.
 */
import { i2cApi, oneWireConstructor } from './api/buses.js';
import type { BoardHost, Machine } from './api/machine.js';
import { espruinoApi, processApi, requireFunction } from './api/modules.js';
import { pinApi, timerApi } from './api/timers-and-pins.js';
import { Callbacks } from './callbacks.js';
import { Realm } from './realm.js';
import { Sockets } from './sockets.js';
import { VirtualWifi } from './wifi.js';

/** Thrown through the bundle when the board stops under it; every further call into the board throws it again. */
class BoardStopped extends Error {}

function intervalName(everySeconds: number): string {
  return `interval ${String(Math.round(everySeconds * 1000))} ms`;
}

export class Interpreter implements Machine {
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
  readonly #serialListeners: ((text: string) => void)[] = [];
  readonly #boardRealm: Realm;
  readonly #realm: Realm['own'];

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
      dialingBlocks: host.board.dialingBlocks,
      networkTrouble: () => (this.isNetworkJoined ? host.networkTrouble() : 'lost'),
      block: (seconds) => {
        this.spend(seconds);
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
      fail: (message) => this.fail(message),
    });
    this.#boardRealm = host.realms?.take(host.bundle) ?? new Realm(host.bundle);
    this.#realm = this.#boardRealm.own;
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
      this.#boardRealm.program(names)(...names.map((name) => api[name]));
    });
    for (const listener of this.#listeners.get('E init') ?? []) if (this.#run(listener)) return;
  }

  /** The board stops here and now: nothing of this boot runs again, sockets are gone. */
  stop(): void {
    if (!this.#isStopped) this.host.realms?.giveBack(this.#boardRealm);
    this.#isStopped = true;
    this.sockets.dropAll();
  }

  /** What could be taken away: `interval 200 ms`, `watch D27`, `socket data`. */
  get callbackNames(): string[] {
    const intervals = this.callbacks.intervals.map(({ everySeconds }) => intervalName(everySeconds!));
    const serial = this.#serialListeners.length > 0 ? ['serial data'] : [];
    return [
      ...intervals,
      ...this.host.pins.watchedPins.map((pin) => `watch ${pin}`),
      ...this.sockets.handlerNames,
      ...serial,
    ];
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
    const serial = isMeant('serial data') ? this.#serialListeners.splice(0).length : 0;
    const count = intervals.length + watched.length + this.sockets.forgetHandlers(isMeant) + serial;
    if (count === 0) return 0;
    this.#errorFlags.push('CALLBACK');
    for (const listener of this.#listeners.get('E errorFlag') ?? []) {
      this.callbacks.queue(() => {
        listener(this.realmValue(['CALLBACK']));
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

  spend(seconds: number): void {
    this.standOrFall();
    this.host.pass(seconds);
    this.standOrFall();
  }

  standOrFall(): void {
    if (this.#isStopped) throw new BoardStopped('the board stopped');
  }

  fail(message: string): never {
    throw new this.#realm.Error(message);
  }

  newBytes(length: number): Uint8Array {
    return new this.#realm.Uint8Array(length);
  }

  realmBytes(bytes: Uint8Array): Uint8Array {
    const copy = new this.#realm.Uint8Array(bytes.length);
    copy.set(bytes);
    return copy;
  }

  realmValue(value: unknown): unknown {
    // Asked for its error flags twice a second, and there are none.
    if (Array.isArray(value) && value.length === 0) return new this.#realm.Array();
    return this.#realm.JSON.parse(JSON.stringify(value));
  }

  parsed(json: string): unknown {
    return this.#realm.JSON.parse(json);
  }

  takeErrorFlags(): string[] {
    return this.#errorFlags.splice(0);
  }

  listen(event: string, listener: unknown): void {
    if (typeof listener !== 'function') this.fail('on: needs a function');
    this.#listeners.set(event, [...(this.#listeners.get(event) ?? []), listener as () => void]);
  }

  /** The supply's serial line: what is written leaves at once, what comes is an event. */
  #serialPort(): object {
    const { serial } = this.host;
    if (serial !== undefined) {
      serial.onAnswer = (text) => {
        for (const listener of this.#serialListeners) {
          this.callbacks.queue(() => {
            listener(text);
          });
        }
      };
    }
    return {
      setup: () => undefined,
      on: (event: string, listener: (text: string) => void) => {
        if (event === 'data') this.#serialListeners.push(listener);
      },
      write: (text: string) => {
        this.standOrFall();
        serial?.take(String(text), this.host.nowSeconds());
      },
    };
  }

  #api(): Record<string, unknown> {
    const api: Record<string, unknown> = {
      ...timerApi(this),
      ...pinApi(this),
      I2C1: i2cApi(this),
      OneWire: oneWireConstructor(this),
      [this.host.board.serialPort]: this.#serialPort(),
      E: espruinoApi(this),
      process: processApi(this),
      require: requireFunction(this),
      load: () => {
        this.#restartsAfterCallback = true;
      },
      btoa: (bytes: unknown) => {
        if (!ArrayBuffer.isView(bytes)) this.fail('btoa is asked for bytes only here');
        return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('base64');
      },
      print: (...values: unknown[]) => {
        this.host.print(values.map((value) => (typeof value === 'string' ? value : JSON.stringify(value))).join(' '));
      },
    };
    api.console = { log: api.print };
    Object.assign(this.#boardRealm.context, api);
    // Found by name in every call: as parameters they need no look-up in the context.
    for (const name of ['Math', 'JSON', 'isFinite', 'isNaN', 'parseInt', 'parseFloat', 'Number', 'String', 'Array'])
      api[name] = this.#boardRealm.valueOf(name);
    for (const name of ['Uint8Array', 'Uint16Array', 'Int16Array', 'Int32Array', 'Float64Array', 'Object', 'Error'])
      api[name] = this.#boardRealm.valueOf(name);
    api.global = this.#boardRealm.global;
    return api;
  }
}
