/* The planned night against the supervisor that really runs it, and against arithmetic by hand. */
import { Command, Phase } from '@bathkeeper/shared-core/control';
import type { RecipeView } from '@bathkeeper/shared-core/messages';
import { type NightPoint, plannedNight, plannedRest, secondsToFinish } from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bathIn, lampshade } from '../control/scripted-bath.js';

/** Charge under the straight pieces. */
function chargeUnder(points: readonly NightPoint[]): number {
  let milliCoulombs = 0;
  for (let index = 1; index < points.length; index++) {
    const [from, to] = [points[index - 1]!, points[index]!];
    milliCoulombs += ((from.currentAmps + to.currentAmps) / 2) * (to.afterSeconds - from.afterSeconds) * 1000;
  }
  return milliCoulombs;
}

function seconds(points: readonly NightPoint[], phase: Phase): number | undefined {
  return points.find((point) => point.phase === phase)?.afterSeconds;
}

describe('the planned night', () => {
  test('has its corners where arithmetic puts them', () => {
    const points = plannedNight(lampshade);
    expect(points[0]).toEqual({ afterSeconds: 0, phase: Phase.strike, currentAmps: 4, chargeMilliCoulombs: 0 });
    expect(seconds(points, Phase.ramp)).toBe(600);
    expect(seconds(points, Phase.plate)).toBe(2400);
    // 600 s x 4 A + 1800 s x 12 A = 24 000 C; 156 000 C at 20 A
    expect(seconds(points, Phase.finish)).toBeCloseTo(2400 + 7800, 6);
    expect(secondsToFinish(points)).toBeCloseTo(10_200, 6);
    expect(points.at(-1)).toEqual({
      afterSeconds: 13_800,
      phase: Phase.done,
      currentAmps: 0,
      chargeMilliCoulombs: 180_000_000 + 7_200_000,
    });
  });

  test('is the night that the supervisor runs', () => {
    const points = plannedNight(lampshade);
    const bath = bathIn('ready').press('startPressed');
    const startedAtSeconds = bath.seconds;
    for (const phase of [Phase.ramp, Phase.plate, Phase.finish, Phase.done]) {
      bath.until(() => bath.state.phase === phase);
      expect(bath.seconds - startedAtSeconds).toBeGreaterThanOrEqual(seconds(points, phase)! - 1);
      expect(bath.seconds - startedAtSeconds).toBeLessThan(seconds(points, phase)! + 5);
    }
    expect(bath.state.chargeMilliCoulombs / points.at(-1)!.chargeMilliCoulombs).toBeCloseTo(1, 3);
  });

  test('from polarity on is the whole night', () => {
    const standing = { phase: Phase.polarity, phaseSeconds: 25, chargeMilliCoulombs: 0, derateFraction: 1 };
    expect(plannedNight(lampshade, standing)).toEqual(plannedNight(lampshade));
  });

  test('from anywhere in a run is what is left of it', () => {
    for (const phase of ['strike', 'ramp', 'plate', 'finish'] as const) {
      const bath = bathIn(phase);
      const { state } = bath;
      const points = plannedNight(lampshade, {
        phase: state.phase,
        phaseSeconds: (state.clockMs - state.phaseSinceMs) / 1000,
        chargeMilliCoulombs: state.chargeMilliCoulombs,
        derateFraction: 1,
      });
      expect(points[0]!.currentAmps).toBeCloseTo(state.outputs.permittedAmps, 6);
      const fromSeconds = bath.seconds;
      bath.until(() => state.phase === Phase.done);
      expect(Math.abs(bath.seconds - fromSeconds - points.at(-1)!.afterSeconds)).toBeLessThan(5);
    }
  });

  test('a ramp after a hold is planned from the current it has', () => {
    const bath = bathIn('hold').press('startPressed').advance(60);
    const points = plannedNight(lampshade, {
      phase: Phase.ramp,
      phaseSeconds: 60,
      chargeMilliCoulombs: bath.state.chargeMilliCoulombs,
      rampAmps: bath.state.outputs.permittedAmps,
      derateFraction: 1,
    });
    const fromSeconds = bath.seconds;
    bath.until(() => bath.state.phase === Phase.plate);
    expect(Math.abs(bath.seconds - fromSeconds - seconds(points, Phase.plate)!)).toBeLessThan(2);
  });

  test('cannot be told while idle, ready, done, held or tripped', () => {
    for (const phase of [Phase.idle, Phase.ready, Phase.done, Phase.hold, Phase.trip]) {
      expect(plannedNight(lampshade, { phase, phaseSeconds: 0, chargeMilliCoulombs: 0, derateFraction: 1 })).toEqual(
        [],
      );
    }
    expect(secondsToFinish([])).toBe(0);
  });

  test('derated plates longer at less', () => {
    const points = plannedNight(lampshade, {
      phase: Phase.plate,
      phaseSeconds: 0,
      chargeMilliCoulombs: 100_000_000,
      derateFraction: 0.4,
    });
    expect(points[0]!.currentAmps).toBe(8);
    expect(secondsToFinish(points)).toBeCloseTo(10_000, 6);
  });

  test('a charge that is reached in the strike or in the ramp ends it there', () => {
    const inStrike = plannedNight({ ...lampshade, chargeMilliCoulombs: 1_200_000 });
    expect(secondsToFinish(inStrike)).toBeCloseTo(300, 6);
    expect(seconds(inStrike, Phase.ramp)).toBeUndefined();
    // 2 400 C of strike; the other 4 000 C in t seconds of the ramp, which climbs 16 A in 1800 s
    const inRamp = plannedNight({ ...lampshade, chargeMilliCoulombs: 6_400_000 });
    const t = secondsToFinish(inRamp) - 600;
    expect(4 * t + ((16 / 1800) * t * t) / 2).toBeCloseTo(4000, 6);
  });

  test('charge is the area under the current, and time never runs back, for any recipe', () => {
    fc.assert(
      fc.property(
        fc.record({
          strikeAmps: fc.double({ min: 0.1, max: 10, noNaN: true }),
          strikeSeconds: fc.integer({ min: 0, max: 3600 }),
          rampSeconds: fc.integer({ min: 0, max: 7200 }),
          plateAmps: fc.double({ min: 10, max: 35, noNaN: true }),
          chargeMilliCoulombs: fc.integer({ min: 1, max: 2_000_000_000 }),
          finishAmps: fc.double({ min: 0, max: 5, noNaN: true }),
          finishSeconds: fc.integer({ min: 0, max: 7200 }),
        }),
        (recipe) => {
          const points = plannedNight(recipe);
          const last = points.at(-1)!;
          expect(last.currentAmps).toBe(0);
          expect(last.chargeMilliCoulombs).toBeCloseTo(
            recipe.chargeMilliCoulombs + recipe.finishAmps * recipe.finishSeconds * 1000,
            0,
          );
          expect(chargeUnder(points) / last.chargeMilliCoulombs).toBeCloseTo(1, 6);
          for (let index = 1; index < points.length; index++) {
            expect(points[index]!.afterSeconds).toBeGreaterThanOrEqual(points[index - 1]!.afterSeconds);
            expect(points[index]!.chargeMilliCoulombs).toBeGreaterThanOrEqual(points[index - 1]!.chargeMilliCoulombs);
          }
        },
      ),
    );
  });

  test('a recipe whose plating current is nothing has no end to plan', () => {
    expect(plannedNight({ ...lampshade, strikeAmps: 0, plateAmps: 0 })).toEqual([]);
  });
});

describe('what is left of a run, for the page', () => {
  const view = {
    ...lampshade,
    chargeAmpereHours: 50,
    averageThicknessMicrometres: 55.1,
    bathWarnCelsius: 28,
    bathHoldCelsius: 32,
  } as unknown as RecipeView;

  test('begins now at the permitted current and ends without current', () => {
    const bath = bathIn('ramp');
    const { state } = bath;
    const live: Parameters<typeof plannedRest>[1] = {
      phase: state.phase,
      phaseSeconds: 1,
      chargeAmpereHours: state.chargeMilliCoulombs / 3.6e6,
      permittedAmps: state.outputs.permittedAmps,
      derateFraction: 1,
      loweredToAmps: null,
    };
    const points = plannedRest(view, live, 1_000_000);
    expect(points[0]!.atMs).toBe(1_000_000);
    expect(points[0]!.currentAmps).toBeCloseTo(state.outputs.permittedAmps, 9);
    expect(points.at(-1)!.currentAmps).toBe(0);
    const atFinish = points.find((point) => point.currentAmps === 2)!;
    expect(atFinish.averageThicknessMicrometres).toBeCloseTo(55.1, 6);
    bath.command(Command.hold);
    expect(plannedRest(view, { ...live, phase: bath.state.phase }, 0)).toEqual([]);
  });

  test('is planned at the current that plating was lowered to', () => {
    const live = { phase: Phase.plate, phaseSeconds: 1, chargeAmpereHours: 40, permittedAmps: 10, derateFraction: 1 };
    // 10 Ah are left: an hour at 10 A, half an hour at 20 A
    const lowered = plannedRest(view, { ...live, loweredToAmps: 10 }, 0);
    expect(lowered.find((point) => point.currentAmps === 2)!.atMs).toBe(3_600_000);
    const whole = plannedRest(view, { ...live, permittedAmps: 20, loweredToAmps: null }, 0);
    expect(whole.find((point) => point.currentAmps === 2)!.atMs).toBe(1_800_000);
  });
});
