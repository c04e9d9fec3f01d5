/*
 * One second of readings as one record: the mean of the good readings, their extremes, what was permitted, every condition that
 * stood in any step. Fed by each control step, emptied once a second. A second without a good reading says so by its counts.
 */
import { type Inputs, MonitorFault, ProbeFault, type RunState } from '@bathkeeper/shared-core/control';
import type { ChainRow } from './memory/chain.js';
import { CHARGE_UPPER } from './memory/record-row.js';

/** Extremes of a second without a good reading: any reading replaces them in a merge. The dashboard takes them for none, since electricCount is 0. */
export const NO_MIN = 1000000;
export const NO_MAX = -NO_MIN;

export interface Sampler {
  add(state: RunState, inputs: Inputs, permittedAmps: number): void;
  /** The record of all steps since the last call, one at least. Its number and boot are 0 yet: chain and keeper set them. */
  record(state: RunState, inputs: Inputs, uptimeMs: number): ChainRow;
}

/** Whole hundredths. Example: 18.404 gives 1840. */
export function hundredths(value: number): number {
  return Math.round(value * 100);
}

export function sampler(): Sampler {
  let steps = 0;
  let goodSteps = 0;
  let conditions = 0;
  let conditionsHigh = 0;
  let permittedSum = 0;
  let currentSum = 0;
  let voltageSum = 0;
  let currentMin = NO_MIN;
  let currentMax = NO_MAX;
  let pulsesBefore = 0;

  return {
    add: function (state: RunState, inputs: Inputs, permittedAmps: number): void {
      steps++;
      conditions |= state.conditions;
      conditionsHigh |= state.conditionsHigh;
      permittedSum += permittedAmps;
      if (inputs.monitorFault === MonitorFault.none) {
        const current = hundredths(inputs.currentAmps);
        goodSteps++;
        currentSum += inputs.currentAmps;
        voltageSum += inputs.terminalVolts;
        if (current < currentMin) currentMin = current;
        if (current > currentMax) currentMax = current;
      }
    },
    record: function (state: RunState, inputs: Inputs, uptimeMs: number): ChainRow {
      const probeIsGood = inputs.probeFault === ProbeFault.none;
      const row = [
        0,
        1,
        0,
        Math.floor(uptimeMs / 100),
        state.runNumber,
        state.phase,
        conditions,
        state.chargeMilliCoulombs,
        hundredths(permittedSum / steps),
        goodSteps ? 1 : 0,
        goodSteps ? hundredths(currentSum / goodSteps) : 0,
        currentMin,
        currentMax,
        goodSteps ? Math.round((voltageSum * 1000) / goodSteps) : 0,
        probeIsGood ? 1 : 0,
        probeIsGood ? hundredths(inputs.bathCelsius) : 0,
        inputs.rotationPulses - pulsesBefore,
        conditionsHigh,
        Math.floor(state.chargeMilliCoulombs / CHARGE_UPPER),
      ];
      steps = goodSteps = conditions = conditionsHigh = permittedSum = currentSum = voltageSum = 0;
      currentMin = NO_MIN;
      currentMax = NO_MAX;
      pulsesBefore = inputs.rotationPulses;
      return row;
    },
  };
}
