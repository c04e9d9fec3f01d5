import { ProbeFault, type Inputs } from '@bathkeeper/shared-core/control';
import type { OneWireBus } from '../ports.js';
/**
 * Check byte of the first `count` bytes (Maxim application note 27).
 * Example: 02 1C B8 01 00 00 00 gives A2.
 */
export declare function dallasCrc(bytes: ArrayLike<number>, count: number): number;
/** The temperature register in sixteenths of a degree, signed. Example: 91 01 is 401, that is 25.0625 C. */
export declare function temperatureRaw(scratchpad: ArrayLike<number>): number;
/** What is wrong with nine bytes read from the scratchpad; none when they are a temperature. */
export declare function scratchpadFault(scratchpad: ArrayLike<number>): ProbeFault;
export interface TemperatureProbe {
    /** Once a second: takes the finished conversion into the inputs and starts the next. Before the first: absent. */
    read(inputs: Inputs, nowMs: number): void;
}
export declare function temperatureProbe(bus: OneWireBus, offsetCelsius: number): TemperatureProbe;
