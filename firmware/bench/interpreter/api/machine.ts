/*
 * What the parts of Espruino's API need of the boot they belong to: the hardware behind it, its callbacks, values of the
 * program's own realm, and the end of it all when the board stops. Implemented by the interpreter of one boot.
 */
import type { BoardKind } from '../../board/board-kind.js';
import type { Pins } from '../../board/pins.js';
import type { Watchdog } from '../../board/watchdog.js';
import type { OneWireLine } from '../../chips/ds18b20.js';
import type { FlashPages } from '../../chips/flash-pages.js';
import type { I2cBus } from '../../chips/i2c-bus.js';
import type { SerialDevice } from '../../instruments/serial-device.js';
import type { SeededNoise } from '../../seeded-noise.js';
import type { Callbacks } from '../callbacks.js';
import type { SocketHost, Sockets } from '../sockets.js';
import type { RealmPool } from '../realm.js';
import type { FlashStorage } from '../storage.js';
import type { VirtualWifi } from '../wifi.js';

/** The hardware and the world that one boot runs in. */
export interface BoardHost {
  readonly bundle: string;
  readonly board: BoardKind;
  readonly i2c: I2cBus;
  readonly oneWire: OneWireLine;
  readonly flash: FlashPages;
  /** What hangs on the board's serial line; undefined: nothing. */
  readonly serial: SerialDevice | undefined;
  readonly pins: Pins;
  readonly watchdog: Watchdog;
  readonly storage: FlashStorage;
  readonly entropy: SeededNoise;
  readonly socketNoise: SeededNoise;
  readonly network: SocketHost['network'];
  readonly hasWifi: boolean;
  /** Where realms of older boots wait; undefined: each boot makes its own. */
  readonly realms: RealmPool | undefined;
  networkTrouble(): ReturnType<SocketHost['networkTrouble']>;
  nowSeconds(): number;
  /** The bath's time goes on; no callback runs. */
  pass(seconds: number): void;
  after(seconds: number, run: () => void): void;
  print(line: string): void;
  telnetSwitched(isOn: boolean): void;
  /** E.setConsole: whether a byte on the console still reaches the interpreter. */
  consoleSwitched(isAttached: boolean): void;
  /** E.reboot() at once, load() after the callback. */
  restart(): void;
}

export interface Machine {
  readonly host: BoardHost;
  readonly callbacks: Callbacks;
  readonly sockets: Sockets;
  readonly wifi: VirtualWifi | undefined;
  /** Seconds since this boot began. */
  readonly uptimeSeconds: number;
  /** The call takes this long; throws when the board stopped meanwhile. */
  spend(seconds: number): void;
  /** Throws when the board has stopped: nothing of an old boot may touch the hardware. */
  standOrFall(): void;
  /** Throws an error of the program's own realm. */
  fail(message: string): never;
  newBytes(length: number): Uint8Array;
  realmBytes(bytes: Uint8Array): Uint8Array;
  realmValue(value: unknown): unknown;
  parsed(json: string): unknown;
  listen(event: string, listener: unknown): void;
  takeErrorFlags(): string[];
}
