/*
 * A whole night of firmware and bath alone, to its end: finish and an open contactor, by the charge that Faraday's law asks.
 */
import { describe, expect, it } from 'vitest';
import { depositMassGrams } from '@bathkeeper/shared-core/trade';
import { parseFault } from '@bathkeeper/firmware/bench';
import { playBathNight } from './bath-night.js';

describe('ten hours of bath and bundle', () => {
  it('reaches its charge, finishes, opens the contactor and weighs what Faraday says', () => {
    const { summary, bath } = playBathNight({ hours: 10, seed: 1 });
    expect(summary.problems).toEqual([]);
    expect(summary.ended).toContain('done');
    expect(bath.truth.isContactorClosed).toBe(false);
    expect(summary.records).toMatchObject({ lost: 0, doubled: 0 });
    expect(Math.abs(summary.accountedChargeAmpereHours / summary.trueChargeAmpereHours - 1)).toBeLessThan(0.005);
    // 1.18549 g/Ah for Cu(II): M / (2 F), CODATA 2018 and IUPAC atomic weights.
    expect(bath.truth.depositMassGrams / depositMassGrams(summary.trueChargeAmpereHours)).toBeCloseTo(1, 2);
    expect(bath.truth.depositMassGrams / (1.18549 * summary.trueChargeAmpereHours)).toBeCloseTo(1, 2);
  });

  it('stays at the keep-alive current in hold until a press at the bath, however long that takes', () => {
    const parsed = parseFault('probe-absent@01:00+15m');
    if (typeof parsed === 'string') throw new Error(parsed);
    const { bath, standIn } = playBathNight({ hours: 2, seed: 2, faults: [parsed] });
    // The probe is back since 01:15; nobody pressed.
    expect(bath.truth.isContactorClosed).toBe(true);
    expect(bath.truth.currentAmps).toBeGreaterThan(3);
    expect(bath.truth.currentAmps).toBeLessThan(4.2);
    bath.press('start');
    standIn.play(bath, 2400);
    expect(bath.truth.currentAmps).toBeGreaterThan(18);
  });
});
