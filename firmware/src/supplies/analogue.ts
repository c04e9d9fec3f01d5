/*
 * A supply with an analogue input: the set-point as a code of the converter, by two-point calibration, and a slow trim by the shunt for
 * what the calibration leaves. The trim aims a little under what is permitted, is bounded, stands still while anything is wrong or
 * the set-point moves, and is forgotten at zero. Called in each control step.
 */
import { CEILING_FRACTION, type Inputs, MonitorFault, SupplyFault, SupplyKind } from '@bathkeeper/shared-core/control';
import { codeFault, setPointCode, writeCode } from '../drivers/mcp4725.js';
import type { Board } from '../ports.js';
import type { Settings } from '../settings.js';
import type { SupplyOutput } from './supply-output.js';

export const SUPPLY_KIND = SupplyKind.analogue;
export const BUS_HERTZ = 400000;

/** Between two looks at what the converter carries, and between two trims. */
const CHECK_STEPS = 5;
/** The set-point has to stand still for so long before its result is judged; ours, no source. */
const SETTLE_MS = 3000;
/** Of the set-point, either way: what two-point calibration may leave by drift. More is no drift, and is not trimmed away. */
const TRIM_MAX = 0.05;
/** Of the difference once a second: a time constant of 20 s. */
const TRIM_GAIN = 0.05;
/** It aims so far under what is permitted that ripple and the converter's step do not carry it over; between the two it rests. */
const AIM = 0.997;

export function supplyOutput(board: Board, settings: Settings): SupplyOutput {
  const bus = board.twoWire;
  /** Nearer to its ceiling the supply limits the voltage, and more set-point would only wait to overshoot. */
  const ceilingVolts = CEILING_FRACTION * settings.limits.terminalVoltsMax;
  let stepsToCheck = 0;
  let askedAmps = 0;
  let movedMs = 0;
  /** As a fraction of the set-point. */
  let trim = 0;

  const trimmed = function (inputs: Inputs): number {
    const share = inputs.currentAmps / askedAmps;
    if (inputs.terminalVolts > ceilingVolts) return trim;
    // What is farther off than any drift is a fault, and that is for the supervisor: nothing is left that asks for more.
    if (!(Math.abs(share - 1) <= 2 * TRIM_MAX)) return Math.min(trim, 0);
    return share >= AIM && share <= 1
      ? trim
      : Math.max(-TRIM_MAX, Math.min(TRIM_MAX, trim + (AIM - share) * TRIM_GAIN));
  };

  const output: SupplyOutput = {
    kind: SUPPLY_KIND,
    fault: SupplyFault.silent,
    isAtZero: false,
    write: function (permittedAmps: number, inputs: Inputs, isSteady: boolean, nowMs: number): void {
      stepsToCheck--;
      if (permittedAmps !== askedAmps) {
        askedAmps = permittedAmps;
        movedMs = nowMs;
      } else if (isSteady && stepsToCheck > 0) {
        // The converter holds what it was told last.
        return;
      }
      if (!(permittedAmps > 0)) trim = 0;
      else if (isSteady && !output.fault && inputs.monitorFault === MonitorFault.none && nowMs - movedMs >= SETTLE_MS) {
        trim = trimmed(inputs);
      }
      const code = setPointCode(permittedAmps * (1 + trim), settings.supply);
      if (code) output.isAtZero = false;
      try {
        writeCode(bus, code);
        if (stepsToCheck <= 0) {
          stepsToCheck = CHECK_STEPS;
          output.fault = codeFault(bus, code);
          output.isAtZero = !code && !output.fault;
        }
      } catch (_) {
        // No answer is an operating fault: no start without a set-point; in a run the supervisor is told.
        output.fault = SupplyFault.silent;
        output.isAtZero = false;
        stepsToCheck = 0;
      }
    },
  };
  return output;
}
