/*
 * INA226 shunt monitor (TI SBOS547) at 0x40: current over the shunt, terminal voltage, and the alert limit that opens
 * the latch without any program. Read by the control loop each step, with one further register by turns. While a run is live it
 * never rewrites a register that was found changed: the limit may have been missing for a while, and that is for the supervisor to judge.
 *
 *   IN+ IN- sense screws of the shunt · VBS supply's + before the contactor · ALERT alert latch · SDA SCL I2C, A0 A1 ground
 */
import { type Inputs, isLive, MonitorFault, type Phase } from '@bathkeeper/shared-core/control';
import type { TwoWireBus } from '../ports.js';

/** The shunt and its calibration against a trusted meter. */
export interface Shunt {
  readonly microOhms: number;
  /** measured / shown */
  readonly currentGain: number;
  readonly currentOffsetAmps: number;
}

const ADDRESS = 0x40;
/** Averaging 64, 1.1 ms shunt + 1.1 ms bus, continuous: one result in 140.8 ms (SBOS547, table 6 to 9). */
const CONFIGURATION = 0x4727;
/** Alert when the shunt voltage is above the limit; active low, transparent (the latch outside does the latching). */
const MASK = 0x8000;
/** Read-only flags in the mask register: alert, conversion ready, overflow. */
const MASK_FLAGS = 0x1c;
const CONVERSION_READY = 8;
const FULL_SCALE = 32767;
const MICROVOLTS_PER_BIT = 2.5;
const CURRENT_LSB_MILLIAMPS = 2;
/** Looks at the mask (every other step) without a new result, until it counts as frozen: a result takes 0.7 of a step. */
const FROZEN_LOOKS = 2;

/** Asked of the monitor instead of a limit when the alert latch is to be tested: whatever flows is above it. */
export const LIMIT_OF_TEST = -1e9;
const REGISTER_OF_TEST = 0x8000;

/** Registers with what they should hold. The first four are written, the last two prove which chip this is. */
const MASK_AT = 0;
const LIMIT_AT = 1;
const WRITTEN = 4;
const REGISTERS = new Uint8Array([0x06, 0x07, 0x00, 0x05, 0xfe, 0xff]);
/** Which of them is looked at in which step: a brown-out shows in the mask. */
const TURNS = new Uint8Array([0, 1, 0, 2, 0, 3, 0, 4, 0, 5]);

/**
 * Calibration register, trunc(0.00512 / (LSB x R)) in milliamperes and microohms.
 * Example: `calibrationRegister(1, 2000)` is 2560 (TI's example, SBOS547).
 */
export function calibrationRegister(currentLsbMilliamps: number, shuntMicroOhms: number): number {
  return Math.floor(5120000 / (currentLsbMilliamps * shuntMicroOhms));
}

/** Calibrated current of a shunt register. Example: 18600 over 1500 microohms is 31 A. */
export function shuntAmps(register: number, shunt: Shunt): number {
  return ((register * MICROVOLTS_PER_BIT) / shunt.microOhms) * shunt.currentGain + shunt.currentOffsetAmps;
}

/** Alert limit register for a current, rounded down to the careful side. Example: 31 A over 1500 microohms is 18600. */
export function alertRegister(limitAmps: number, shunt: Shunt): number {
  const register = Math.floor(
    ((limitAmps - shunt.currentOffsetAmps) * shunt.microOhms) / shunt.currentGain / MICROVOLTS_PER_BIT,
  );
  return register > 0 ? Math.min(register, FULL_SCALE) : 0;
}

/**
 * Reads current, voltage and fault into the inputs, and compares one register with what it should carry, this alert limit
 * included; a difference is `changed`, and is mended only while the run's phase is not live. All registers are seen in ten steps.
 */
export type ReadMonitor = (inputs: Inputs, limitAmps: number, phase: Phase) => void;

export function shuntMonitor(bus: TwoWireBus, shunt: Shunt): ReadMonitor {
  const expected = [
    MASK,
    -1,
    CONFIGURATION,
    calibrationRegister(CURRENT_LSB_MILLIAMPS, shunt.microOhms),
    0x5449,
    0x2260,
  ];
  const gain = (MICROVOLTS_PER_BIT / shunt.microOhms) * shunt.currentGain;
  /** Bits by place in REGISTERS: not, or not yet, seen to hold what they should. */
  let changed = 63;
  let looksWithoutResult = FROZEN_LOOKS;
  let turn = 0;
  let limitSet = 0;

  const register = function (index: number): number {
    bus.writeTo(ADDRESS, index);
    const bytes = bus.readFrom(ADDRESS, 2);
    return bytes[0]! * 256 + bytes[1]!;
  };
  /** Compares one, after writing it when it is known to be wrong and may be written. */
  const look = function (at: number, phase: Phase): void {
    const bit = 1 << at;
    const value = expected[at]!;
    if (changed & bit && at < WRITTEN && !isLive(phase)) bus.writeTo(ADDRESS, REGISTERS[at]!, value >> 8, value & 255);
    let found = register(REGISTERS[at]!);
    if (at === MASK_AT) {
      looksWithoutResult = found & CONVERSION_READY ? 0 : looksWithoutResult + 1;
      found &= ~MASK_FLAGS;
    }
    changed = found === value ? changed & ~bit : changed | bit;
  };

  const expectLimit = function (): void {
    expected[LIMIT_AT] = limitSet === LIMIT_OF_TEST ? REGISTER_OF_TEST : alertRegister(limitSet, shunt);
    changed |= 1 << LIMIT_AT;
  };

  return function (inputs: Inputs, limitAmps: number, phase: Phase): void {
    inputs.monitorFault = MonitorFault.silent;
    try {
      let shuntRegister = register(0x01);
      if (shuntRegister > FULL_SCALE) shuntRegister -= 65536;
      inputs.currentAmps = shuntRegister * gain + shunt.currentOffsetAmps;
      inputs.terminalVolts = register(0x02) * 0.00125;
      if (limitAmps !== limitSet) {
        limitSet = limitAmps;
        /* @__NOINLINE__ */ expectLimit();
        look(LIMIT_AT, phase);
      } else {
        look(TURNS[turn]!, phase);
        turn = (turn + 1) % TURNS.length;
      }
      if (looksWithoutResult < FROZEN_LOOKS) {
        inputs.monitorFault = changed
          ? MonitorFault.changed
          : shuntRegister === FULL_SCALE || shuntRegister <= -FULL_SCALE
            ? MonitorFault.clipped
            : MonitorFault.none;
      }
    } catch (_) {
      // A chip that does not answer is an operating fault, told by the fault field.
    }
  };
}
