/*
 * One second of readings as one record: the mean of the good readings, their extremes, what was permitted, every condition that
 * stood in any step. Fed by each control step, emptied once a second. A second without a good reading says so by its counts.
 */
import { type Inputs, MonitorFault, ProbeFault, type RunState } from '@bathkeeper/shared-core/control';
import type { ChainRow } from './memory/chain.js';
import { CHARGE_UPPER } from './memory/record-row.js';

/** Extremes of a second without a good reading, amperes: any reading replaces them in a merge. The dashboard takes them for none, since electricCount is 0. */
export const NO_MIN_AMPS = 10000;
export const NO_MAX_AMPS = -NO_MIN_AMPS;

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
  let ampsMin = NO_MIN_AMPS;
  let ampsMax = NO_MAX_AMPS;
  let pulsesBefore = 0;

  return {
    add: function (state: RunState, inputs: Inputs, permittedAmps: number): void {
      steps++;
      conditions |= state.conditions;
      conditionsHigh |= state.conditionsHigh;
      permittedSum += permittedAmps;
      if (inputs.monitorFault === MonitorFault.none) {
        const amps = inputs.currentAmps;
        goodSteps++;
        currentSum += amps;
        voltageSum += inputs.terminalVolts;
        if (amps < ampsMin) ampsMin = amps;
        if (amps > ampsMax) ampsMax = amps;
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
        hundredths(ampsMin),
        hundredths(ampsMax),
        goodSteps ? Math.round((voltageSum * 1000) / goodSteps) : 0,
        probeIsGood ? 1 : 0,
        probeIsGood ? hundredths(inputs.bathCelsius) : 0,
        inputs.rotationPulses - pulsesBefore,
        conditionsHigh,
        Math.floor(state.chargeMilliCoulombs / CHARGE_UPPER),
      ];
      steps = goodSteps = conditions = conditionsHigh = permittedSum = currentSum = voltageSum = 0;
      ampsMin = NO_MIN_AMPS;
      ampsMax = NO_MAX_AMPS;
      pulsesBefore = inputs.rotationPulses;
      return row;
    },
  };
}
