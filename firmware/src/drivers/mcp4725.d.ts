import type { TwoWireBus } from '../ports.js';
/** How codes become amperes; measured at bring-up. */
export interface SupplyInput {
    readonly codeAtZero: number;
    readonly codesPerAmp: number;
}
/** Code for a current, rounded down; 0 for no current and for anything that is not a current. Example: 18.4 A at 100 a code is 1840. */
export declare function setPointCode(amps: number, supply: SupplyInput): number;
export interface SetPointOutput {
    /** True while the converter takes what is written and reads it back the same. */
    answers(): boolean;
    write(amps: number, nowMs: number): void;
}
export declare function setPointOutput(bus: TwoWireBus, supply: SupplyInput): SetPointOutput;
