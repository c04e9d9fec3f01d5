/*
 * Puts the parts of a virtual bath together as the wiring notes draw them: which chip hangs on which bus address, which
 * pin goes to what, and which parts act by themselves on the bath's clock. Called once by each virtual bath.
 */
import { sealedBoardSettings, SETTINGS_FILE, type BoardSettings } from './board-settings.js';
import { Pin, Pins } from './board/pins.js';
import { SafetyChain } from './board/safety-chain.js';
import { Watchdog } from './board/watchdog.js';
import { Ds18b20 } from './chips/ds18b20.js';
import { I2cBus } from './chips/i2c-bus.js';
import { Ina226 } from './chips/ina226.js';
import { Mb85rc256v } from './chips/mb85rc256v.js';
import { Mcp4725 } from './chips/mcp4725.js';
import { FlashStorage } from './interpreter/storage.js';
import { SeededNoise } from './seeded-noise.js';
import { Rotation } from './tank/rotation.js';
import { defaultTankOptions, type TankOptions } from './tank/tank-options.js';
import { Tank } from './tank/tank.js';
import type { TimedProcess } from './world-clock.js';

/** The tank takes at least this step, however seldom somebody looks at it. */
const TANK_STEP_SECONDS = 1;

/** The parts behind the board's pins and buses, for faults and tests. */
export interface BathParts {
  readonly tank: Tank;
  readonly rotation: Rotation;
  readonly monitor: Ina226;
  readonly converter: Mcp4725;
  readonly memory: Mb85rc256v;
  readonly probe: Ds18b20;
  readonly chain: SafetyChain;
  readonly pins: Pins;
  readonly watchdog: Watchdog;
  readonly storage: FlashStorage;
  readonly bus: I2cBus;
  /** Those that act by themselves; of two due at once the first acts first. */
  readonly processes: readonly TimedProcess[];
}

export interface PartsOptions {
  readonly seed: number;
  readonly settings: BoardSettings;
  readonly tank?: Partial<TankOptions>;
  readonly memoryImage?: Uint8Array;
  readonly hasMemory?: boolean;
}

/** What the parts tell the board around them. */
export interface PartsHost {
  powerFails(): void;
  watchdogExpires(): void;
  /** The board is off or restarting: its outputs are low because nobody drives them. */
  outputsFloat(): boolean;
}

export function bathParts(options: PartsOptions, host: PartsHost): BathParts {
  const { seed, settings } = options;
  const tankOptions: TankOptions = {
    ...defaultTankOptions,
    supplyCodeAtZero: settings.supply.codeAtZero,
    supplyCodesPerAmp: settings.supply.codesPerAmp,
    ...options.tank,
  };
  const tank = new Tank(tankOptions, settings.shunt.microOhms / 1e6, seed);
  const pins = new Pins();
  const chain = new SafetyChain(
    (isClosed, now) => {
      tank.setCircuitClosed(isClosed, now);
    },
    (now) => {
      pins.drive(Pin.alertLatch, chain.isLatchClosed, now);
      pins.drive(Pin.contactorFeedback, chain.isContactorClosed, now);
      pins.drive(Pin.emergencyStop, chain.isEmergencyStopReleased, now);
    },
  );
  const rotation = new Rotation(
    tankOptions.pulsesPerMinute,
    tankOptions.turnJitterFraction,
    new SeededNoise(seed, 'rotation'),
    (isHigh, now) => {
      pins.drive(Pin.rotation, isHigh, now);
    },
  );
  const monitor = new Ina226(tank, new SeededNoise(seed, 'monitor'), (isLow, now) => {
    chain.setAlertPin(isLow, now);
  });
  const converter = new Mcp4725((code, now) => {
    tank.setAnalogueCode(code, now);
  });
  const memory = new Mb85rc256v(options.memoryImage, () => {
    host.powerFails();
  });
  memory.isAnswering = options.hasMemory !== false;
  const probe = new Ds18b20(
    (now) => {
      tank.advanceTo(now);
      return tank.bathCelsius;
    },
    new SeededNoise(seed, 'probe'),
    tankOptions.probeNoiseCelsius,
  );
  const watchdog = new Watchdog(() => {
    host.watchdogExpires();
  });
  const storage = new FlashStorage();
  storage.write(SETTINGS_FILE, sealedBoardSettings(settings));

  const bus = new I2cBus();
  bus.attach(0x40, monitor);
  bus.attach(0x60, converter);
  bus.attach(0x50, memory);
  pins.connectOutput(Pin.oneShotTrigger, (isHigh, now) => {
    chain.setTrigger(isHigh, now);
  });
  pins.connectOutput(Pin.oneShotClear, (isHigh, now) => {
    chain.setClear(isHigh, now, host.outputsFloat() ? 'board restarted' : undefined);
  });
  pins.connectOutput(Pin.motor, (isHigh, now) => {
    rotation.setMotorOn(isHigh, now);
  });
  for (const button of [Pin.startButton, Pin.stopButton, Pin.resetButton]) pins.drive(button, true, 0);
  pins.drive(Pin.emergencyStop, true, 0);

  const tankStep: TimedProcess = {
    dueAtSeconds: TANK_STEP_SECONDS,
    act(nowSeconds) {
      tank.advanceTo(nowSeconds);
      this.dueAtSeconds += TANK_STEP_SECONDS;
    },
  };
  const processes = [chain, monitor, watchdog, rotation, tankStep];
  return {
    ...{ tank, rotation, monitor, converter, memory, probe, chain, pins, watchdog, storage, bus },
    processes,
  };
}
