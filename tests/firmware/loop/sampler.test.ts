/* A second of readings as a record, and what of it survives the memory's columns. */
import '../loop/stand-in-board.js';
import { createRunState, type Inputs, MonitorFault, ProbeFault } from '@bathkeeper/shared-core/control';
import { recordOfStored, RecordColumn } from '@bathkeeper/shared-core/messages';
import { describe, expect, it } from 'vitest';
import { packedRow } from '../../../firmware/src/memory/rows.js';
import { sampler } from '../../../firmware/src/sampler.js';

/** The record of one second in which these currents were read, as it comes out of the memory again. */
function kept(...currents: number[]): number[] {
  const samples = sampler();
  const inputs = {
    monitorFault: MonitorFault.none,
    probeFault: ProbeFault.none,
    terminalVolts: 3,
    bathCelsius: 24,
    rotationPulses: 0,
  } as Inputs;
  for (const currentAmps of currents) samples.add(createRunState(), { ...inputs, currentAmps }, 20);
  const bytes = packedRow(samples.record(createRunState(), inputs, 1000));
  return recordOfStored(Buffer.from(bytes).toString('base64'))!;
}

describe('the extremes of a current', () => {
  it('are what was read, either way', () => {
    const row = kept(19.5, -3.25, 327.6);
    expect(row[RecordColumn.currentMin]).toBe(-325);
    expect(row[RecordColumn.currentMax]).toBe(32_760);
  });

  it.each([400, 819, -400])('of %d A are what they are, and so is the mean', (amps) => {
    const row = kept(amps, amps);
    expect(row[RecordColumn.currentMin]).toBe(amps * 100);
    expect(row[RecordColumn.currentMax]).toBe(amps * 100);
    expect(row[RecordColumn.currentSum]).toBe(amps * 100);
  });
});
