import { type Inputs } from '@bathkeeper/shared-core/control';
import type { TwoWireBus } from '../ports.js';
/** The shunt and its calibration against a trusted meter. */
export interface Shunt {
    readonly microOhms: number;
    /** measured / shown */
    readonly currentGain: number;
    readonly currentOffsetAmps: number;
}
/**
 * Calibration register, trunc(0.00512 / (LSB x R)) in milliamperes and microohms.
 * Example: `calibrationRegister(1, 2000)` is 2560 (TI's example, SBOS547).
 */
export declare function calibrationRegister(currentLsbMilliamps: number, shuntMicroOhms: number): number;
/** Calibrated current of a shunt register. Example: 18600 over 1500 microohms is 31 A. */
export declare function shuntAmps(register: number, shunt: Shunt): number;
/** Alert limit register for a current, rounded down to the careful side. Example: 31 A over 1500 microohms is 18600. */
export declare function alertRegister(limitAmps: number, shunt: Shunt): number;
export interface ShuntMonitor {
    /**
     * Reads current, voltage and fault into the inputs. Once a second it compares what the chip carries with what it
     * should carry, this alert limit included; a difference is `changed`, and is mended only while no run is live.
     */
    read(inputs: Inputs, limitAmps: number, isLive: boolean, nowMs: number): void;
}
export declare function shuntMonitor(bus: TwoWireBus, shunt: Shunt): ShuntMonitor;
