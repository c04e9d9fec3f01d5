/* The charge account and the sense of time: late steps, bursts, gaps of the monitor, clocks that jump. */
import { gatedAmps, Phase } from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { bathIn, rig, type ScriptedBath } from './scripted-bath.js';

/** Charge of what is done to a plating bath that shows 20 A, in millicoulombs. */
function chargeOf(act: (bath: ScriptedBath) => void): number {
  const bath = bathIn('plate');
  const before = bath.state.chargeMilliCoulombs;
  act(bath);
  return bath.state.chargeMilliCoulombs - before;
}

describe('charge', () => {
  test('is the mean of two good readings times the time between them', () => {
    expect(chargeOf((bath) => bath.step())).toBe(4_000);
    expect(
      chargeOf((bath) => {
        bath.currentFor = () => 10;
        bath.step();
      }),
    ).toBe(3_000);
  });

  test('counts a late step up to 20 s in full, and of a longer gap only its first 20 s', () => {
    expect(chargeOf((bath) => bath.step(20))).toBe(400_000);
    expect(chargeOf((bath) => bath.step(25))).toBe(400_000);
    expect(chargeOf((bath) => bath.step(3600))).toBe(400_000);
  });

  test('bridges readings of a monitor at fault by the good ones on either side', () => {
    const charge = chargeOf((bath) => {
      bath.inputs.monitorFault = 1;
      bath.currentFor = () => 999;
      bath.advance(0.8);
      bath.inputs.monitorFault = 0;
      bath.currentFor = () => 10;
      bath.step();
    });
    expect(charge).toBe(15_000);
  });

  test('never falls: reverse current counts as none', () => {
    const charge = chargeOf((bath) => {
      bath.currentFor = () => -0.4;
      bath.step();
      bath.step();
    });
    expect(charge).toBe(2_000);
  });

  test('keeps what is less than a millicoulomb for the next step', () => {
    const bath = bathIn('plate');
    bath.currentFor = () => 0.0033;
    bath.voltsFor = () => 0.1; // with more voltage than this a loose lead would be told
    bath.step();
    const before = bath.state.chargeMilliCoulombs;
    for (let steps = 0; steps < 100; steps++) bath.step();
    // 100 steps of 0.66 mC
    expect(bath.state.chargeMilliCoulombs - before).toBeGreaterThanOrEqual(65);
    expect(bath.state.chargeMilliCoulombs - before).toBeLessThanOrEqual(67);
    expect(Number.isInteger(bath.state.chargeMilliCoulombs)).toBe(true);
  });

  test('is not counted before a run, nor after it', () => {
    for (const phase of ['ready', 'done', 'trip'] as const) {
      const bath = bathIn(phase);
      bath.currentFor = () => 0.4;
      const before = bath.state.chargeMilliCoulombs;
      bath.advance(100);
      expect(bath.state.chargeMilliCoulombs).toBe(before);
    }
  });

  test('of a run begins with its first live step, not with the wait before it', () => {
    const bath = bathIn('ready');
    bath.advance(10).press('startPressed');
    expect(bath.state.chargeMilliCoulombs).toBe(0);
  });
});

describe('time', () => {
  test('a burst of steps within one millisecond changes nothing', () => {
    const bath = bathIn('plate');
    bath.step();
    const before = structuredClone(bath.state);
    for (let steps = 0; steps < 10; steps++) bath.step(0);
    expect(bath.state).toEqual(before);
  });

  test('a clock that jumps back stands still, counts nothing twice, and goes on', () => {
    const bath = bathIn('plate');
    const { chargeMilliCoulombs, liveMs } = bath.state;
    bath.step(-1000);
    expect(bath.state.chargeMilliCoulombs).toBe(chargeMilliCoulombs);
    expect(bath.state.liveMs).toBe(liveMs);
    bath.advance(2);
    expect(bath.state.liveMs).toBe(liveMs + 2000);
    expect(bath.state.chargeMilliCoulombs).toBe(chargeMilliCoulombs + 40_000);
    bath.inputs.monitorFault = 1;
    bath.advance(1.4);
    expect(bath.state.phase).toBe(Phase.trip);
  });

  test('a late step is live time in full', () => {
    const bath = bathIn('plate');
    const { liveMs } = bath.state;
    bath.step(25);
    expect(bath.state.liveMs).toBe(liveMs + 25_000);
  });

  test('a ramp that missed twenty seconds is where it would have been', () => {
    const late = bathIn('ramp');
    const steady = bathIn('ramp');
    late.step(20);
    steady.advance(20);
    expect(late.state.outputs.permittedAmps).toBeCloseTo(steady.state.outputs.permittedAmps, 9);
  });

  test('a controller that was up for weeks before its first run is no different', () => {
    const bath = bathIn('idle');
    bath.step(40 * 86_400);
    bath.offer({ ...bathIn('ready').state.recipe! });
    bath.advance(12).press('startPressed').advance(2);
    expect(bath.phaseName()).toBe('strike');
    expect(bath.raised()).toEqual([]);
    expect(bath.state.chargeMilliCoulombs).toBeLessThan(5_000);
  });
});

describe('the output gate', () => {
  test.each(['strike', 'ramp', 'plate', 'finish', 'hold'] as const)('passes nothing above the limit in %s', (phase) => {
    const { state } = bathIn(phase);
    expect(gatedAmps(24, state, rig)).toBe(24);
    expect(gatedAmps(24.01, state, rig)).toBe(24);
    expect(gatedAmps(Infinity, state, rig)).toBe(24);
    expect(gatedAmps(24, state, { ...rig, currentAmpsMax: 12 })).toBe(12);
    expect(gatedAmps(0.01, state, rig)).toBe(0.01);
    for (const nonsense of [NaN, -1, -Infinity, undefined as unknown as number]) {
      expect(gatedAmps(nonsense, state, rig)).toBe(0);
    }
    expect(gatedAmps(5, state, { ...rig, currentAmpsMax: NaN })).toBe(0);
    state.outputs.contactorEnabled = false;
    expect(gatedAmps(5, state, rig)).toBe(0);
  });

  test.each(['idle', 'ready', 'done', 'trip'] as const)('passes only zero in %s', (phase) => {
    const { state } = bathIn(phase);
    state.outputs.contactorEnabled = true;
    expect(gatedAmps(5, state, rig)).toBe(0);
    expect(gatedAmps(0, state, rig)).toBe(0);
  });
});
