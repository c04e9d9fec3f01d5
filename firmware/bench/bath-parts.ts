/*
 * Puts the parts of a virtual bath together as the wiring notes draw them: which chip hangs on which bus address, which
 * pin goes to what, and which parts act by themselves on the bath's clock. Called once by each virtual bath.
 */
import { sealedBoardSettings, SETTINGS_FILE, type BoardSettings } from './board-settings.js';
import { Pin, Pins } from './board/pins.js';
import { SafetyChain } from './board/safety-chain.js';
import { Watchdog } from './board/watchdog.js';
import { CharacterDisplay } from './chips/character-display.js';
import { Ds18b20, OneWireLine } from './chips/ds18b20.js';
import { FlashPages } from './chips/flash-pages.js';
import { I2cBus } from './chips/i2c-bus.js';
import { Ina226 } from './chips/ina226.js';
import { Mb85rc256v } from './chips/mb85rc256v.js';
import { Mcp4725 } from './chips/mcp4725.js';
import { PersonAtSupply } from './instruments/person-at-supply.js';
import { ScpiSupply } from './instruments/scpi-supply.js';
import { FlashStorage } from './interpreter/storage.js';
import { SeededNoise } from './seeded-noise.js';
import { Rotation } from './tank/rotation.js';
import { defaultTankOptions, type TankOptions } from './tank/tank-options.js';
import { Tank } from './tank/tank.js';
import { TimedProcess } from './world-clock.js';

/** The tank takes at least this step, however seldom somebody looks at it. */
const TANK_STEP_SECONDS = 1;
/** Optional contacts by their names in the settings. */
const WATCHER_PINS = [Pin.leak, Pin.smoke, Pin.agitation, Pin.filter, Pin.level];

/** How the set-point reaches the supply: the bundle must be of the same kind. */
export type BenchSupplyKind = 'analogue' | 'scpi' | 'by-hand';

/** The parts behind the board's pins and buses, for faults and tests. */
export interface BathParts {
  readonly tank: Tank;
  readonly rotation: Rotation;
  readonly monitor: Ina226;
  readonly converter: Mcp4725;
  readonly memory: Mb85rc256v;
  readonly flash: FlashPages;
  readonly probe: Ds18b20;
  /** At the clips, in the order of `clipAddresses`. */
  readonly clips: readonly Ds18b20[];
  /** Above the bath, at each clip. */
  readonly clipRiseCelsius: { value: number };
  readonly oneWire: OneWireLine;
  readonly display: CharacterDisplay;
  readonly person: PersonAtSupply | undefined;
  readonly scpi: ScpiSupply | undefined;
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
  /** Default: analogue. */
  readonly supplyKind?: BenchSupplyKind;
}

/** What the parts tell the board around them. */
export interface PartsHost {
  powerFails(): void;
  watchdogExpires(): void;
  /** The board is off or restarting: its outputs are low because nobody drives them. */
  outputsFloat(): boolean;
}

/** ROM codes of the virtual bath's probes: the bath's, and those of two clips. For settings that name them. */
export const BATH_PROBE_ROM = new Ds18b20(() => 0, new SeededNoise(0, ''), 0, 0).address;
export const CLIP_ROMS: readonly string[] = [1, 2].map(
  (serial) => new Ds18b20(() => 0, new SeededNoise(0, ''), 0, serial).address,
);

class TankStep extends TimedProcess {
  constructor(readonly tank: Tank) {
    super();
    this.dueAtSeconds = TANK_STEP_SECONDS;
  }
  act(nowSeconds: number): void {
    this.tank.advanceTo(nowSeconds);
    this.dueAtSeconds += TANK_STEP_SECONDS;
  }
}

export function bathParts(options: PartsOptions, host: PartsHost): BathParts {
  const { seed, settings } = options;
  const tankOptions: TankOptions = {
    ...defaultTankOptions,
    supplyCodeAtZero: settings.supply.codeAtZero,
    supplyCodesPerAmp: settings.supply.codesPerAmp,
    // The person has set the supply's own voltage limit to what the rig may see.
    supplyCeilingVolts: settings.rig.terminalVoltsMax,
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
      pins.drive(Pin.contactorFeedback, chain.feedbackIsClosed, now);
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
  const supplyKind = options.supplyKind ?? 'analogue';
  const converter = new Mcp4725((code, now) => {
    if (supplyKind === 'analogue') tank.setAnalogueCode(code, now);
  });
  const display = new CharacterDisplay();
  const setSupplyAmps = (amps: number, now: number): void => {
    tank.setSupplyAmps(amps, now);
  };
  const person =
    supplyKind === 'by-hand'
      ? new PersonAtSupply(() => display.text, setSupplyAmps, new SeededNoise(seed, 'person'))
      : undefined;
  const scpi =
    supplyKind === 'scpi'
      ? new ScpiSupply({
          setAmps: setSupplyAmps,
          setCeilingVolts: (volts, now) => {
            tank.changeSupply((supply) => {
              supply.ceilingVolts = volts;
            }, now);
          },
          measuredAmps: (now) => {
            tank.advanceTo(now);
            return tank.currentAmps;
          },
        })
      : undefined;
  const memory = new Mb85rc256v(options.memoryImage, () => {
    host.powerFails();
  });
  memory.isAnswering = options.hasMemory !== false;
  const flash = new FlashPages(() => {
    host.powerFails();
  });
  const clipRiseCelsius = { value: 6 };
  const probeAt = (aboveBath: () => number, noiseName: string, serial: number): Ds18b20 =>
    new Ds18b20(
      (now) => {
        tank.advanceTo(now);
        return tank.bathCelsius + aboveBath();
      },
      new SeededNoise(seed, noiseName),
      tankOptions.probeNoiseCelsius,
      serial,
    );
  const probe = probeAt(() => 0, 'probe', 0);
  const clips = settings.fitted.clips.map((_rom, index) =>
    probeAt(() => clipRiseCelsius.value, `clip probe ${String(index)}`, index + 1),
  );
  const oneWire = new OneWireLine([probe, ...clips]);
  const watchdog = new Watchdog(() => {
    host.watchdogExpires();
  });
  const storage = new FlashStorage();
  storage.write(SETTINGS_FILE, sealedBoardSettings(settings));

  const bus = new I2cBus();
  bus.attach(0x40, monitor);
  bus.attach(0x60, converter);
  bus.attach(0x50, memory);
  bus.attach(0x27, display);
  if (supplyKind !== 'by-hand') display.isAnswering = false;
  pins.connectOutput(Pin.oneShotTrigger, (isHigh, now) => {
    chain.setTrigger(isHigh, now);
  });
  pins.connectOutput(Pin.oneShotClear, (isHigh, now) => {
    chain.setClear(isHigh, now, host.outputsFloat() ? 'board restarted' : undefined);
  });
  pins.connectOutput(Pin.motor, (isHigh, now) => {
    rotation.setMotorOn(isHigh, now);
  });
  pins.connectOutput(Pin.secondMeans, (isHigh, now) => {
    tank.changeSupply((supply) => {
      if (isHigh && !supply.isEnabled) scpi?.powerUp(now);
      supply.isEnabled = isHigh;
    }, now);
  });
  for (const contact of WATCHER_PINS) pins.drive(contact, true, 0);
  for (const button of [Pin.startButton, Pin.stopButton, Pin.resetButton]) pins.drive(button, true, 0);
  pins.drive(Pin.emergencyStop, true, 0);

  const processes = [
    ...[chain, monitor, watchdog, rotation, new TankStep(tank)],
    ...(scpi === undefined ? [] : [scpi]),
    ...(person === undefined ? [] : [person]),
  ];
  return {
    ...{ tank, rotation, monitor, converter, memory, flash, probe, clips, clipRiseCelsius, oneWire, display, person },
    ...{ scpi, chain, pins, watchdog, storage, bus },
    processes,
  };
}
