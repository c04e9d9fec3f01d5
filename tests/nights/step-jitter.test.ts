/*
 * The control step while the link flaps and while a dial holds the program up, in the virtual bath: what is bounded there. The
 * percentiles are the command's, `npm run nights -- --jitter`.
 */
import { describe, expect, it } from 'vitest';
import { ONE_SHOT_SECONDS } from '@bathkeeper/firmware/bench';
import { allStepJitter, type StepJitter } from './step-jitter.js';

describe('the control step', () => {
  const rows = allStepJitter(0.75, 3);
  const [quiet, broker, wifi, vanished, surged] = rows as [StepJitter, StepJitter, StepJitter, StepJitter, StepJitter];

  it('comes five times a second, and no later than half its period, while nothing is wrong with the link', () => {
    expect(quiet.intervalSeconds.median).toBeCloseTo(0.2, 3);
    expect(quiet.intervalSeconds.most).toBeLessThan(0.3);
  });

  it('is not held up by a broker that restarts each minute, nor by Wi-Fi that drops each minute', () => {
    for (const flapping of [broker, wifi]) {
      expect(flapping.connections).toBeGreaterThan(40);
      expect(flapping.intervalSeconds.most).toBeLessThan(0.3);
      expect(flapping.openings).toEqual([]);
    }
  });

  it('is held up by a dial that nobody answers for less than the one-shot holds, and the current stays as it was', () => {
    expect(vanished.stalls).toBeGreaterThan(0);
    expect(vanished.intervalSeconds.most).toBeLessThan(0.8 * ONE_SHOT_SECONDS);
    expect(vanished.openings).toEqual([]);
    expect(vanished.restarts).toBe(0);
    expect(vanished.leastAmps).toBeGreaterThan(quiet.leastAmps - 0.1);
    expect(vanished.mostAmps).toBeLessThan(quiet.mostAmps + 0.1);
  });

  it('leaves a current that rises within such a dial to the alert latch, which opens the contactor within two conversions', () => {
    expect(surged.mostAmps).toBeGreaterThan(1.4 * quiet.mostAmps);
    // Two windows of 64 averages of 2.2 ms (INA226, SBOS547) and the contactor's 30 ms.
    expect(surged.aboveLimitSeconds).toBeGreaterThan(0);
    expect(surged.aboveLimitSeconds).toBeLessThan(2 * 64 * 0.0022 + 0.03 + 0.01);
    expect(surged.openings).toEqual(['alert latch: current above its limit']);
  });
});
