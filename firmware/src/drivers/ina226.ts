/*
 * INA226 shunt monitor (TI SBOS547) at 0x40: current over the shunt, terminal voltage, and the alert limit that opens
 * the latch without any program. Read by the control loop each step. While a run is live it never rewrites a register
 * that was found changed: the limit may have been missing for a while, and that is for the supervisor to judge.
 *
 *   IN+ IN- sense screws of the shunt · VBS supply's + before the contactor · ALERT alert latch · SDA SCL I2C, A0 A1 ground
 */
import { MonitorFault, type Inputs } from '@bathkeeper/shared-core/control';
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
const MASK_REGISTER = 0x06;
/** Read-only flags in the mask register: alert, conversion ready, overflow. */
const MASK_FLAGS = 0x1c;
const CONVERSION_READY = 8;
/** Where the alert limit stands in the list of expected values. */
const LIMIT_AT = 7;
const FULL_SCALE = 32767;
const MICROVOLTS_PER_BIT = 2.5;
const CURRENT_LSB_MILLIAMPS = 2;
/** Four conversions without a new result: frozen. */
const FROZEN_MS = 600;
const CHECK_MS = 1000;

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
 * Reads current, voltage and fault into the inputs. Once a second it compares what the chip carries with what it
 * should carry, this alert limit included; a difference is `changed`, and is mended only while no run is live.
 */
export type ReadMonitor = (inputs: Inputs, limitAmps: number, isLive: boolean, nowMs: number) => void;

export function shuntMonitor(bus: TwoWireBus, shunt: Shunt): ReadMonitor {
  /** Registers by turns with what they should hold. The first four are written, the last two prove which chip this is. */
  const expected = [
    0x00,
    CONFIGURATION,
    0x05,
    calibrationRegister(CURRENT_LSB_MILLIAMPS, shunt.microOhms),
    MASK_REGISTER,
    MASK,
    0x07,
    -1,
    0xfe,
    0x5449,
    0xff,
    0x2260,
  ];
  let isChanged = true;
  let isClipped = false;
  let freshMs = -FROZEN_MS;
  let checkedMs = -CHECK_MS;

  const register = function (index: number): number {
    bus.writeTo(ADDRESS, index);
    const bytes = bus.readFrom(ADDRESS, 2);
    return bytes[0]! * 256 + bytes[1]!;
  };
  /** Compares all, after writing what can be written when asked to. */
  const check = function (isMending: boolean): void {
    isChanged = false;
    for (let i = 0; i < expected.length; i += 2) {
      const index = expected[i]!;
      const value = expected[i + 1]!;
      if (isMending && index < 8) bus.writeTo(ADDRESS, index, value >> 8, value & 255);
      const found = register(index);
      if ((index === MASK_REGISTER ? found & ~MASK_FLAGS : found) !== value) isChanged = true;
    }
  };

  return function (inputs: Inputs, limitAmps: number, isLive: boolean, nowMs: number): void {
    inputs.monitorFault = MonitorFault.silent;
    try {
      const limit = alertRegister(limitAmps, shunt);
      if (limit !== expected[LIMIT_AT]) isChanged = true;
      expected[LIMIT_AT] = limit;
      if (register(MASK_REGISTER) & CONVERSION_READY) {
        freshMs = nowMs;
        let shuntRegister = register(0x01);
        if (shuntRegister > FULL_SCALE) shuntRegister -= 65536;
        isClipped = shuntRegister === FULL_SCALE || shuntRegister <= -FULL_SCALE;
        inputs.currentAmps = shuntAmps(shuntRegister, shunt);
        inputs.terminalVolts = register(0x02) * 0.00125;
      }
      if (nowMs - checkedMs >= CHECK_MS) {
        checkedMs = nowMs;
        check(isChanged && !isLive);
      }
      if (nowMs - freshMs < FROZEN_MS) {
        inputs.monitorFault = isChanged ? MonitorFault.changed : isClipped ? MonitorFault.clipped : MonitorFault.none;
      }
    } catch (_) {
      // A chip that does not answer is an operating fault, told by the fault field.
    }
  };
}
