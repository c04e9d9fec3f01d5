/*
 * The part of the interpreter's own API that the firmware uses, after Espruino's reference (2v29; "Reference" on its site).
 * Read by the compiler, and by the build: every property name declared here keeps its name in the bundle, and every
 * global declared here may be used in it. Declare a thing here before using it; declare nothing that is not used.
 * Strings carry bytes: one character is 0 to 255.
 */

/** A pin. Reading one that was never written returns its level; `digitalWrite` makes it an output. */
interface Pin {
  read(): boolean;
  write(isHigh: boolean): void;
  mode(mode: PinMode): void;
}

type PinMode = 'input' | 'input_pullup' | 'input_pulldown' | 'output' | 'opendrain';

/** The edge that called a watch. Times are seconds of `getTime`. */
interface WatchEvent {
  readonly state: boolean;
  readonly time: number;
  readonly lastTime: number;
  readonly pin: Pin;
}

interface WatchOptions {
  repeat?: boolean;
  edge?: 'rising' | 'falling' | 'both';
  /** milliseconds */
  debounce?: number;
}

/** I2C port. On ESP32 both calls throw when the chip does not acknowledge, and may block for up to 1 s. */
interface I2C {
  setup(options: { scl: Pin; sda: Pin; bitrate?: number }): void;
  writeTo(address: number, ...bytes: (number | string | ArrayLike<number>)[]): void;
  readFrom(address: number, quantity: number): Uint8Array;
}

/** 1-Wire bus on one pin. Its timing is not protected from interrupts on ESP32: check the CRC. */
interface OneWire {
  /** True when a device answered with its presence pulse. */
  reset(): boolean;
  skip(): void;
  select(rom: string): void;
  /** Addresses as 16 hexadecimal digits. */
  search(command?: number): string[];
  write(data: number | number[], leavesPowerOn?: boolean): void;
  read(): number;
  read(count: number): Uint8Array;
}
interface OneWireConstructor {
  new (pin: Pin): OneWire;
}

type ErrorFlag =
  'FIFO_FULL' | 'BUFFER_FULL' | 'CALLBACK' | 'LOW_MEMORY' | 'MEMORY' | 'UART_OVERFLOW' | 'STACK' | 'MEMORY_BUSY';

interface EspruinoNamespace {
  on(event: 'init' | 'kill', listener: () => void): void;
  on(event: 'errorFlag', listener: (flags: ErrorFlag[]) => void): void;
  /** Reading them clears them. */
  getErrorFlags(): ErrorFlag[];
  setFlags(flags: { deepSleep?: boolean; pretokenise?: boolean; unsafeFlash?: boolean; unsyncFiles?: boolean }): void;
  /** Whole seconds on ESP32. With `isAutomatic` false only `kickWatchdog` feeds it (and a garbage collection). */
  enableWatchdog(timeoutSeconds: number, isAutomatic?: boolean): void;
  kickWatchdog(): void;
  /** 32 random bits, signed. Absent on Linux builds. */
  hwRand(): number;
  /** Console device, or null for none. */
  setConsole(device: 'USB' | 'Serial1' | 'Telnet' | null, options?: { force?: boolean }): void;
  toUint8Array(...parts: (number | string | ArrayLike<number>)[]): Uint8Array;
  /** A string with one character a byte; undefined when no memory is left. */
  toString(...parts: (number | string | ArrayLike<number>)[]): string | undefined;
  CRC32(bytes: string | ArrayLike<number>): number;
  /** Restarts the board. */
  reboot(): void;
}

interface EspruinoProcess {
  /** Told what no callback caught. A stack or memory that ran out is not told: look at the error flags. */
  on(event: 'uncaughtException', listener: (why: unknown) => void): void;
  memory(gc?: boolean): { free: number; usage: number; total: number; history: number; gctime?: number };
  readonly version: string;
  readonly env: { readonly BOARD: string; readonly VERSION: string; readonly SERIAL: string };
}

/** ESP32 builds only. */
interface Esp32Namespace {
  enableBLE(isOn: boolean): void;
  getState(): { sdkVersion: string; freeHeap: number; BLE: boolean; Wifi: boolean; minHeap: number };
}

/** TCP. `write` always answers false and buffers without limit. */
interface Socket {
  on(event: 'data', listener: (bytes: string) => void): void;
  on(event: 'close', listener: (hadError: boolean) => void): void;
  on(event: 'error', listener: (details: { code: number; message: string }) => void): void;
  on(event: 'drain' | 'end', listener: () => void): void;
  write(bytes: string): boolean;
  end(bytes?: string): void;
}
interface NetModule {
  /** BLOCKS every callback until the other side answers or the stack gives up; throws when refused. */
  connect(options: { host: string; port: number }, onConnected: (socket: Socket) => void): Socket;
}

interface DatagramSocket {
  on(event: 'message', listener: (bytes: string, from: { address: string; port: number; size: number }) => void): void;
  on(event: 'close', listener: (hadError: boolean) => void): void;
  bind(port: number, onBound?: (socket: DatagramSocket) => void): DatagramSocket;
  send(bytes: string, offset: number, length: number, port: number, address: string): void;
  close(): void;
}
interface DatagramModule {
  createSocket(type: 'udp4', onMessage?: (bytes: string) => void): DatagramSocket;
}

/** Named files in flash. An identical rewrite is free, another appends and may compact: never within the control loop. */
interface StorageModule {
  read(name: string, offset?: number, length?: number): string | undefined;
  /** With `noExceptions`, undefined where the text is not JSON. Check every field: the parser is lenient. */
  readJSON(name: string, noExceptions: boolean): unknown;
  write(name: string, contents: string, offset?: number, size?: number): boolean;
  erase(name: string): void;
  getFree(): number;
}

/** Raw pages of 4 KB. Writing only clears bits: erase the page first, which holds every callback up. Addresses and lengths in whole words. */
interface FlashModule {
  getFree(): FlashArea[];
  erasePage(addr: number): void;
  write(data: ArrayLike<number>, addr: number): void;
  read(length: number, addr: number): Uint8Array;
}
interface FlashArea {
  addr: number;
  length: number;
}

interface CryptoModule {
  SHA256(message: string): ArrayBuffer;
}

interface WifiModule {
  connect(ssid: string, options: { password: string }, onDone: (fault: string | null) => void): void;
  disconnect(onDone?: () => void): void;
  on(event: 'connected' | 'disconnected' | 'associated' | 'dhcp_timeout', listener: (details: unknown) => void): void;
  getIP(): { ip: string; mac: string };
  getStatus(): { station: string; ap: string };
  stopAP(onDone?: () => void): void;
  setHostname(name: string): void;
}

interface TelnetServerModule {
  setOptions(options: { mode: 'on' | 'off' }): void;
}

/** Asynchronous serial port. `write` may wait for room in the interpreter's buffer. */
interface SerialPort {
  setup(baud: number, options: { tx: Pin; rx: Pin }): void;
  on(event: 'data', listener: (bytes: string) => void): void;
  write(bytes: string): void;
}

declare const I2C1: I2C;
declare const Serial1: SerialPort, Serial2: SerialPort;
declare const OneWire: OneWireConstructor;
declare const E: EspruinoNamespace;
declare const process: EspruinoProcess;
declare const ESP32: Esp32Namespace | undefined;
/** Builds with Bluetooth only. */
declare const NRF: { sleep(): void } | undefined;
declare const global: { [name: string]: unknown };

/** ESP32. */
declare const D2: Pin, D4: Pin, D5: Pin, D13: Pin, D14: Pin, D15: Pin, D16: Pin, D17: Pin, D18: Pin, D19: Pin;
declare const D21: Pin, D22: Pin, D23: Pin, D25: Pin, D26: Pin, D27: Pin, D32: Pin, D33: Pin, D34: Pin, D35: Pin;
declare const D36: Pin, D39: Pin;
/** Espruino WiFi. */
declare const A0: Pin, A1: Pin, A4: Pin, A5: Pin, A6: Pin, A7: Pin, A8: Pin, A10: Pin, B0: Pin, B1: Pin;
declare const B3: Pin, B4: Pin, B5: Pin, B6: Pin, B7: Pin, B8: Pin, B9: Pin, B10: Pin, B13: Pin, B14: Pin, B15: Pin;

/** Base64 with padding (RFC 4648) of bytes or of a text that carries bytes. */
declare function btoa(bytes: Uint8Array): string;
declare function digitalRead(pin: Pin): number;
/** All at once, as bits: the last pin is the lowest. */
declare function digitalRead(pins: readonly Pin[]): number;
declare function digitalWrite(pin: Pin, value: boolean | number): void;
declare function pinMode(pin: Pin, mode: PinMode | 'auto', isAutomatic?: boolean): void;
declare function setWatch(onEdge: (edge: WatchEvent) => void, pin: Pin, options: WatchOptions): number;
declare function clearWatch(id: number): void;

/** Seconds since the board's epoch, with microseconds. `setTime` and SNTP move it. */
declare function getTime(): number;
/** An interval that was held up catches up: it fires once for each time missed. */
declare function setInterval(act: () => void, milliseconds: number): number;
declare function setTimeout(act: () => void, milliseconds: number): number;
/** Without an argument it would clear every interval of the program; the build refuses that. */
declare function clearInterval(id: number): void;
declare function clearTimeout(id: number): void;

declare function print(...values: unknown[]): void;
/** Forgets the running program and loads the saved one, as after a reset; or a file of flash in its place. Once the present call has ended. */
declare function load(file?: string): void;
declare function reset(clearFlash?: boolean): void;

declare function require(name: 'net'): NetModule;
declare function require(name: 'dgram'): DatagramModule;
declare function require(name: 'Storage'): StorageModule;
declare function require(name: 'Flash'): FlashModule;
declare function require(name: 'crypto'): CryptoModule;
declare function require(name: 'Wifi'): WifiModule;
declare function require(name: 'TelnetServer'): TelnetServerModule;
