/*
 * One second of readings as one record: the mean of the good readings, their extremes, what was permitted, every condition that
 * stood in any step. Fed by each control step, emptied once a second. A second without a good reading says so by its counts.
 */
import { type Inputs, MonitorFault, ProbeFault, type RunState } from '@bathkeeper/shared-core/control';
import { NO_MAX, NO_MIN, type RecordRow } from './memory/record-row.js';

export interface Sampler {
  add(state: RunState, inputs: Inputs, permittedAmps: number): void;
  /** The record of all steps since the last call. Its number and boot are 0 yet: the outbox sets them. */
  record(state: RunState, inputs: Inputs, uptimeTenths: number): RecordRow;
}

/** Whole hundredths. Example: 18.404 gives 1840. */
export function hundredths(value: number): number {
  return Math.round(value * 100);
}

export function sampler(): Sampler {
  let steps = 0;
  let goodSteps = 0;
  let conditions = 0;
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
    record: function (state: RunState, inputs: Inputs, uptimeTenths: number): RecordRow {
      const probeIsGood = inputs.probeFault === ProbeFault.none;
      const row = [
        0,
        1,
        0,
        uptimeTenths,
        state.runNumber,
        state.phase,
        conditions >>> 0,
        state.chargeMilliCoulombs,
        steps ? hundredths(permittedSum / steps) : 0,
        goodSteps ? 1 : 0,
        goodSteps ? hundredths(currentSum / goodSteps) : 0,
        currentMin,
        currentMax,
        goodSteps ? Math.round((voltageSum * 1000) / goodSteps) : 0,
        probeIsGood ? 1 : 0,
        probeIsGood ? hundredths(inputs.bathCelsius) : 0,
        inputs.rotationPulses - pulsesBefore,
      ];
      steps = goodSteps = conditions = permittedSum = currentSum = voltageSum = 0;
      currentMin = NO_MIN;
      currentMax = NO_MAX;
      pulsesBefore = inputs.rotationPulses;
      return row;
    },
  };
}
