/*
 * What a start must not take over from the one before it, nor from a reading that cannot be believed. Expected times are those of the first
 * start: a second of current the right way, 5 s of announcement, 5 s for the alert latch.
 */
import { Command, Condition, type Phase } from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { bathIn, type ScriptedBath } from './scripted-bath.js';

/** Tripped in this phase by the emergency stop, reset, and pressed again. */
function startedAgain(phase: keyof typeof Phase): ScriptedBath {
  const bath = bathIn(phase);
  bath.inputs.emergencyStopPressed = true;
  bath.step();
  bath.inputs.emergencyStopPressed = false;
  bath.advance(5).press('resetPressed');
  bath.until(() => bath.state.outputs.contactorEnabled, 0.2, 60);
  return bath.press('startPressed');
}

describe('polarity', () => {
  test.each(['strike', 'plate'] as const)('is proven for a whole second again after a trip in %s', (phase) => {
    const bath = startedAgain(phase);
    bath.advance(1);
    expect(bath.phaseName()).toBe('polarity');
    bath.step();
    expect(bath.phaseName()).toBe('strike');
  });

  test('is not proven by what a monitor shows that is at fault', () => {
    const bath = bathIn('polarity').advance(0.6);
    bath.inputs.monitorFault = 1;
    bath.step();
    bath.inputs.monitorFault = 0;
    bath.advance(1);
    expect(bath.phaseName()).toBe('polarity');
    bath.step();
    expect(bath.phaseName()).toBe('strike');
  });

  test('is not proven by no current where none is permitted', () => {
    const bath = bathIn('polarity');
    bath.limits = { ...bath.limits, currentAmpsMax: 0 };
    bath.voltsFor = () => 1;
    bath.currentFor = () => 0;
    bath.advance(10);
    expect(bath.phaseName()).toBe('polarity');
    expect(bath.state.outputs.permittedAmps).toBe(0);
  });

  test('a start that had no current does not spoil the next', () => {
    const bath = bathIn('ready');
    bath.currentFor = () => 0;
    bath.press('startPressed').advance(32);
    expect(bath.raised()).toEqual([Condition.noCurrentAtStart]);
    bath.currentFor = (amps) => amps;
    bath.press('resetPressed');
    bath.start();
    expect(bath.raised()).toEqual([]);
    bath.command(Command.stop);
    expect(bath.phaseName()).toBe('done');
  });
});
