/*
 * The virtual bath: a board that runs the very bundle that is flashed, its chips, the safety chain, the supply and the tank, on a
 * clock of its own. Advanced by the rehearsal, the tests and the demonstration. Same seed and same
 * inputs: same night, to the last record. The bundle sees only pins, buses and sockets; `truth` is for the others.
 */
import type { SimulatedButton } from '@bathkeeper/shared-core/messages';
import { AlarmList } from './alarm-list.js';
import { bathParts, type BathParts, type BenchSupplyKind } from './bath-parts.js';
import { type BathTruth, bathTruth } from './bath-truth.js';
import type { BoardSettings } from './board-settings.js';
import { type BenchBoard, boardKinds } from './board/board-kind.js';
import { Pin } from './board/pins.js';
import type { ContactorMovement } from './board/safety-chain.js';
import { faultKinds, isFaultName, type FaultName, type ScheduledFault } from './faults.js';
import { Interpreter } from './interpreter/interpreter.js';
import type { RealmPool } from './interpreter/realm.js';
import type { BathNetwork } from './peer/bath-network.js';
import { SeededNoise } from './seeded-noise.js';
import type { TankOptions } from './tank/tank-options.js';
import { WorldClock } from './world-clock.js';

const BOOT_SECONDS = 1.5;
const POWER_CUT_SECONDS = 5;
const PRESS_SECONDS = 0.5;
const CONSOLE_CHARACTERS = 65_536;

export interface VirtualBathOptions {
  /** Text of the bundle. */
  readonly bundle: string;
  readonly seed: number;
  readonly settings: BoardSettings;
  readonly tank?: Partial<TankOptions>;
  /** Those of scope `dashboard` are left to the caller. */
  readonly faults?: readonly ScheduledFault[];
  readonly network: BathNetwork;
  /** What the FRAM holds at the start, from `memoryImage` of another bath. */
  readonly memoryImage?: Uint8Array;
  /** False: the board has no FRAM. */
  readonly hasMemory?: boolean;
  /** True: the board has to join a wireless network first. Usually the network stands, as on a computer. */
  readonly hasWifi?: boolean;
  /** Default analogue; the bundle must be of the same kind. */
  readonly supplyKind?: BenchSupplyKind;
  /** Default esp32; the bundle must be of the same board. */
  readonly board?: BenchBoard;
  /** For many nights in a row: boots take their realms from here. Call `switchOff` at the end of each night. */
  readonly realms?: RealmPool;
}

export class VirtualBath {
  readonly parts: BathParts;
  /** Restarts of the board and why, the first power-up included. */
  readonly bootLog: { atSeconds: number; because: string }[] = [];
  /** Faults that began, in order. */
  readonly faultLog: { name: FaultName; atSeconds: number }[] = [];
  /** The console on the network is on until the program switches it off. */
  isTelnetOn = true;
  /** Bytes on the console reach the interpreter. */
  isConsoleAttached = true;
  /** Callbacks that were taken away, and how many at once. */
  readonly takenAwayLog: { atSeconds: number; count: number }[] = [];
  /** Presses of buttons, in order. */
  readonly pressLog: { button: SimulatedButton; atSeconds: number }[] = [];

  readonly #options: VirtualBathOptions;
  readonly #clock = new WorldClock();
  readonly #alarms = new AlarmList();
  readonly #entropy: SeededNoise;
  readonly #socketNoise: SeededNoise;
  /** What a fault leaves to chance. */
  readonly faultNoise: SeededNoise;
  #targetSeconds = 0;
  #interpreter: Interpreter | undefined;
  #bootNumber = 0;
  #hasJustBooted = false;
  /** Counts stops, so that only the newest one's boot takes place. */
  #stops = 0;
  #networkTrouble: 'none' | 'lost' | 'unanswered' = 'none';
  #consoleText = '';
  #exceptionsOfOldBoots = 0;

  constructor(options: VirtualBathOptions) {
    this.#options = options;
    const { seed } = options;
    this.#entropy = new SeededNoise(seed, 'board entropy');
    this.#socketNoise = new SeededNoise(seed, 'sockets');
    this.faultNoise = new SeededNoise(seed, 'faults');
    this.parts = bathParts(options, {
      powerFails: () => {
        this.powerCut();
      },
      watchdogExpires: () => {
        this.#restart('watchdog: no kick for its time');
      },
      outputsFloat: () => this.#interpreter === undefined,
    });
    for (const process of [this.#alarms, ...this.parts.processes]) this.#clock.add(process);
    for (const fault of options.faults ?? []) {
      if (fault.scope !== 'bath') continue;
      this.#alarms.at(fault.atSeconds, () => {
        this.injectFault(fault.name, fault.durationSeconds);
      });
    }
    this.#alarms.at(0, () => {
      this.#boot('power-up');
    });
  }

  /** Seconds since the bath was switched on. */
  get nightSeconds(): number {
    return this.#clock.nowSeconds;
  }
  /** Seconds since the board's present boot; 0 while it is off. */
  get uptimeSeconds(): number {
    return this.#interpreter?.uptimeSeconds ?? 0;
  }
  get contactorLog(): readonly ContactorMovement[] {
    return this.parts.chain.log;
  }
  /** What the program printed, uncaught exceptions included: the newest 64 K characters. */
  get consoleText(): string {
    return this.#consoleText;
  }
  /** Callbacks that threw, in all boots. A healthy night has none. */
  get exceptionCount(): number {
    return this.#exceptionsOfOldBoots + (this.#interpreter?.exceptionCount ?? 0);
  }
  /** The board's own access point, open by default on a board with Wi-Fi until the program closes it. */
  get isAccessPointOpen(): boolean {
    return this.#interpreter?.wifi?.accessPointIsOpen === true;
  }
  get isBoardRunning(): boolean {
    return this.#interpreter !== undefined;
  }
  /** A copy of the FRAM. */
  get memoryImage(): Uint8Array {
    return this.parts.memory.bytes.slice();
  }

  get truth(): BathTruth {
    return bathTruth(this.parts, this.nightSeconds);
  }

  /**
   * Runs everything that falls due in the next seconds: timers, watches, bytes, conversions, relays, faults. A callback
   * that blocks takes the bath's time ahead of what was asked; the next calls then do nothing until they have made up for it.
   */
  advance(seconds: number): void {
    this.#targetSeconds += seconds;
    const untilSeconds = this.#targetSeconds;
    if (this.#clock.nowSeconds > untilSeconds + 1e-9) return;
    for (;;) {
      this.#hasJustBooted = false;
      const callbacks = this.#interpreter?.callbacks;
      const dueSeconds = callbacks === undefined ? Infinity : callbacks.nextDueSeconds;
      if (dueSeconds <= this.#clock.nowSeconds + 1e-9) {
        callbacks!.runRound();
        if (this.#clock.nowSeconds > untilSeconds + 1e-9) return;
        continue;
      }
      const reached = this.#clock.advanceTo(Math.min(dueSeconds, untilSeconds), this.#isInterrupted);
      if (reached >= untilSeconds - 1e-9 && dueSeconds > untilSeconds + 1e-9 && !this.#isInterrupted()) return;
    }
  }

  /** A press; start, stop and reset can be held down. */
  press(button: SimulatedButton, seconds = PRESS_SECONDS): void {
    const now = this.nightSeconds;
    const { chain, pins } = this.parts;
    this.pressLog.push({ button, atSeconds: now });
    const pushed = (pin: string): void => {
      pins.drive(pin, false, now);
      this.#alarms.at(now + seconds, () => {
        pins.drive(pin, true, this.nightSeconds);
      });
    };
    switch (button) {
      case 'start':
        pushed(Pin.startButton);
        // Its second contact closes the chain for as long as the finger is there.
        chain.setStartPressed(true, now);
        this.#alarms.at(now + seconds, () => {
          chain.setStartPressed(false, this.nightSeconds);
        });
        break;
      case 'stop':
        pushed(Pin.stopButton);
        break;
      case 'reset':
        pushed(Pin.resetButton);
        break;
      case 'emergency-stop':
        chain.setEmergencyStop(true, now);
        break;
      case 'emergency-release':
        chain.setEmergencyStop(false, now);
        break;
      case 'latch-reset':
        chain.resetLatch(now);
        break;
    }
  }

  /** A datagram with this text reaches the board, unless the network is lost: false. */
  deliverSignOfLife(text: string): boolean {
    const interpreter = this.#interpreter;
    if (this.#networkTrouble === 'lost' || interpreter?.isNetworkJoined !== true) return false;
    interpreter.sockets.receiveDatagram(text);
    return true;
  }

  /** Begins a fault now. Without a duration it lasts its usual time. A fault of the dashboard, or an unknown one, throws. */
  injectFault(name: FaultName, durationSeconds?: number): void {
    const kind = isFaultName(name) ? faultKinds[name] : undefined;
    if (kind?.begin === undefined)
      throw new Error(`"${name}" is not a fault of the bath: the caller must carry it out`);
    this.faultLog.push({ name, atSeconds: this.nightSeconds });
    kind.begin(this, durationSeconds);
    const lastsSeconds = durationSeconds ?? kind.usualSeconds ?? Infinity;
    const { end } = kind;
    if (end === undefined || lastsSeconds === Infinity) return;
    this.#alarms.at(this.nightSeconds + lastsSeconds, () => {
      end(this);
    });
  }

  setNetworkTrouble(trouble: 'none' | 'lost' | 'unanswered'): void {
    if (trouble !== 'none' && this.#networkTrouble === 'none') this.#interpreter?.sockets.loseConnections();
    this.#networkTrouble = trouble;
    if (trouble === 'lost') this.#interpreter?.wifi?.lose();
  }

  /** Callbacks of the running program that could be taken away: `interval 200 ms`, `watch D27`. */
  get callbackNames(): string[] {
    return this.#interpreter?.callbackNames ?? [];
  }

  /** The interpreter removes callbacks, as it does after a stack overflow in one. Answers how many went. */
  takeAwayCallbacks(isMeant: (name: string) => boolean): number {
    const count = this.#interpreter?.takeAwayCallbacks(isMeant) ?? 0;
    if (count > 0) this.takenAwayLog.push({ atSeconds: this.nightSeconds, count });
    return count;
  }

  /** A byte 0x03 comes on the console: while it is attached, the interpreter takes away what it runs next, which is nearly always the control step. */
  interruptByConsole(): number {
    return this.isConsoleAttached ? this.takeAwayCallbacks((name) => name === 'interval 200 ms') : 0;
  }

  /** Board and chips lose their power, RAM with it; FRAM and flash keep theirs. It boots again when the power is back. */
  powerCut(offSeconds = POWER_CUT_SECONDS): void {
    const { bus, chain, converter, display, monitor, oneWire } = this.parts;
    this.#stopBoard();
    converter.loseOutput(this.nightSeconds);
    bus.isPowered = false;
    monitor.powerDown(this.nightSeconds);
    const stop = this.#stops;
    this.#alarms.at(this.nightSeconds + offSeconds, () => {
      if (stop !== this.#stops) return;
      const now = this.nightSeconds;
      bus.isPowered = true;
      monitor.reset(now);
      converter.powerUp(now);
      display.powerUp();
      for (const probe of oneWire.probes) probe.powerUp();
      chain.powerUpLatch(now);
      this.#bootSoon('power came back');
    });
  }

  /** The night is over: the board stops, and nothing starts it again. */
  switchOff(): void {
    this.#stopBoard();
  }

  /** The power fails after so many more bytes have reached the FRAM, or the flash of a board without. */
  cutPowerAfterMemoryBytes(count: number): void {
    const { memory, flash } = this.parts;
    if (this.#options.hasMemory === false) flash.bytesUntilPowerFails = count;
    else memory.bytesUntilPowerFails = count;
  }

  /** The program wants to run before the time that was planned: an event or a debounce, or it has just booted. */
  readonly #isInterrupted = (): boolean => this.#hasJustBooted || this.#interpreter?.callbacks.isWaiting === true;

  #restart(because: string): void {
    this.#stopBoard();
    this.#bootSoon(because);
  }

  #bootSoon(because: string): void {
    const stop = this.#stops;
    this.#alarms.at(this.nightSeconds + BOOT_SECONDS, () => {
      if (stop === this.#stops) this.#boot(because);
    });
  }

  /** Everything of the present boot ends; the pins float to their careful level. */
  #stopBoard(): void {
    const stopped = this.#interpreter;
    this.#interpreter = undefined;
    this.#stops++;
    if (stopped !== undefined) {
      this.#exceptionsOfOldBoots += stopped.exceptionCount;
      stopped.stop();
    }
    this.parts.watchdog.disable();
    this.parts.pins.release(this.nightSeconds);
  }

  #boot(because: string): void {
    this.bootLog.push({ atSeconds: this.nightSeconds, because });
    this.#bootNumber++;
    this.#print(`--- boot ${String(this.#bootNumber)}: ${because}`);
    const { oneWire, flash, pins, watchdog, storage } = this.parts;
    this.isConsoleAttached = true;
    const interpreter = new Interpreter({
      bundle: this.#options.bundle,
      board: boardKinds[this.#options.board ?? 'esp32'],
      i2c: this.parts.bus,
      ...{ oneWire, flash, pins, watchdog, storage },
      serial: this.parts.scpi,
      entropy: this.#entropy,
      socketNoise: this.#socketNoise,
      network: this.#options.network,
      hasWifi: this.#options.hasWifi === true,
      realms: this.#options.realms,
      networkTrouble: () => this.#networkTrouble,
      nowSeconds: () => this.#clock.nowSeconds,
      pass: (seconds) => {
        this.#clock.advanceTo(this.#clock.nowSeconds + seconds);
      },
      after: (seconds, run) => {
        this.#alarms.at(this.nightSeconds + seconds, run);
      },
      print: (line) => {
        this.#print(line);
      },
      telnetSwitched: (isOn) => {
        this.isTelnetOn = isOn;
      },
      consoleSwitched: (isAttached) => {
        this.isConsoleAttached = isAttached;
      },
      restart: () => {
        this.#restart('the program asked for it');
      },
    });
    this.#interpreter = interpreter;
    this.#hasJustBooted = true;
    interpreter.boot();
  }

  #print(line: string): void {
    this.#consoleText = (this.#consoleText + `[${this.nightSeconds.toFixed(1)}] ${line}\n`).slice(-CONSOLE_CHARACTERS);
  }
}
