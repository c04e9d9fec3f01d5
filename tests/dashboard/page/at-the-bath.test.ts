/* What somebody at the bath is told: the supply set by hand, the steps of a start, the easing, a part without current. */
import { Condition, Permissive, Phase, SupplyKind } from '@bathkeeper/shared-core/control';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { easedAmps, easing, nothingToDo, question } from '../../../dashboard/page/words/asking.js';
import { byHand } from '../../../dashboard/page/words/by-hand.js';
import { interruptionWords, standsWithoutCurrent } from '../../../dashboard/page/words/interruption.js';
import { startSteps } from '../../../dashboard/page/words/start-steps.js';
import { cannedController, cannedLive, cannedRun, NIGHT_MS } from './bath-in-plate.js';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

describe('a supply set by hand', () => {
  const at = (permittedAmps: number, cathodeCurrentAmps: number | null, phase: Phase = Phase.ramp) =>
    byHand(cannedLive({ supplyKind: SupplyKind.byHand, permittedAmps, cathodeCurrentAmps, phase }));
  test('the order is large and plain while the current is not what it should be', () => {
    expect(plain(at(12.4, 10.5)!.order)).toBe('Set 12.4 A on the supply');
    expect(at(12.4, 10.5)!.isSet).toBe(false);
  });
  test('it counts as set within the larger of 5 % and 0.3 A', () => {
    expect(at(12, 12.6)!.isSet).toBe(true);
    expect(at(12, 12.61)!.isSet).toBe(false);
    expect(at(1, 1.29)!.isSet).toBe(true);
    expect(at(1, 1.31)!.isSet).toBe(false);
  });
  test('without a reading it never counts as set', () => {
    expect(at(12, null)).toMatchObject({ isSet: false, detail: expect.stringContaining('No current reading') });
  });
  test('nothing is to be set on another supply, nor while nothing runs', () => {
    expect(byHand(cannedLive())).toBeNull();
    for (const phase of [Phase.idle, Phase.ready, Phase.trip, Phase.done]) expect(at(12, 0, phase)).toBeNull();
    expect(byHand(null)).toBeNull();
  });
  test('hold is not offered and says why; stop is', () => {
    const controller = cannedController({ live: cannedLive({ supplyKind: SupplyKind.byHand }) });
    expect(question('hold', controller)).toBeNull();
    expect(nothingToDo('hold', controller)).toContain('set by hand');
    expect(question('stop', controller)).not.toBeNull();
    expect(easing(controller)).toBeNull();
  });
});

describe('the steps of a start', () => {
  const steps = (missing: readonly number[], conditions: readonly number[] = []) =>
    startSteps(cannedLive({ phase: Phase.ready, permissivesMissing: missing, conditions }));
  const now = (missing: readonly number[]) => steps(missing).find(({ state }) => state === 'now')?.words;
  test('there is exactly one thing to do now, whatever is missing', () => {
    fc.assert(
      fc.property(fc.subarray(Object.values(Permissive)), (missing) => {
        expect(steps(missing).filter(({ state }) => state === 'now')).toHaveLength(1);
      }),
    );
  });
  test('a fresh start asks to close the latch, lets its test open it, asks to close it again, then start', () => {
    expect(now([Permissive.alertLatchClosed, Permissive.alertLatchProven])).toMatch(/^Press the reset button/);
    expect(now([Permissive.alertLatchProven])).toMatch(/^Wait for the test/);
    expect(now([Permissive.alertLatchClosed])).toMatch(/once more\.$/);
    expect(now([])).toBe('Press start at the bath.');
  });
  test('a latch that did not open is not waited for', () => {
    const told = steps([Permissive.alertLatchProven], [Condition.alertLatchNotOpening]);
    expect(told.find(({ state }) => state === 'now')?.words).toContain('would not have opened');
  });
  test('what else is missing comes before the latch, since the test waits for it', () => {
    const [first] = steps([Permissive.alertLatchProven, Permissive.rotationSeen]);
    expect(first).toMatchObject({ state: 'now', why: 'No rotation was seen.' });
  });
  test('they are told in ready only', () => {
    for (const phase of Object.values(Phase)) {
      if (phase !== Phase.ready) expect(startSteps(cannedLive({ phase }))).toEqual([]);
    }
  });
});

describe('easing the current', () => {
  const within = { leastAmps: 3.6, mostAmps: 19.2 };
  test('is offered in strike, ramp and plate, between the keep-alive and what is asked now', () => {
    expect(easing(cannedController())).toEqual(within);
    const offered = Object.entries(Phase).filter(
      ([, phase]) => easing(cannedController({ live: cannedLive({ phase }) })) !== null,
    );
    expect(offered.map(([name]) => name)).toEqual(['strike', 'ramp', 'plate']);
  });
  test('goes on from an easing that stands already', () => {
    expect(easing(cannedController({ live: cannedLive({ loweredToAmps: 10 }) }))?.mostAmps).toBe(10);
  });
  test('while something reduces the current is offered up to the whole of it, as the controller takes it', () => {
    const live = cannedLive({ permittedAmps: 9.6, derateFraction: 0.5 });
    expect(easing(cannedController({ live }))?.mostAmps).toBeCloseTo(19.2, 9);
  });
  test('is not offered when nothing is left to ease', () => {
    expect(easing(cannedController({ live: cannedLive({ permittedAmps: 3.6 }) }))).toBeNull();
  });
  test.each([
    ['12', 12],
    [' 12,5 ', 12.5],
    ['3.6', 3.6],
    ['19.2', 19.2],
    ['7.126', 7.13],
  ])('%s is taken', (typed, amps) => {
    expect(easedAmps(typed, within)).toEqual({ amps });
  });
  test.each(['19.21', '20', '3.59', '0', '-5', '', 'ten', '1e1', '12 A', 'Infinity'])(
    '%s is refused in a sentence',
    (typed) => {
      expect(easedAmps(typed, within).problem).toMatch(/^[A-Z].*\.$/);
    },
  );
  test('never lets more through than is asked now, nor less than the keep-alive', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 100, noNaN: true }), (amps) => {
        const answer = easedAmps(amps.toFixed(3), within);
        return answer.problem !== undefined || (answer.amps <= 19.2 && answer.amps >= 3.6);
      }),
    );
  });
});

describe('a part without current', () => {
  const tripped = (phaseSeconds: number, conditions: readonly number[] = []) =>
    cannedController({
      live: cannedLive({
        phase: Phase.trip,
        phaseSeconds,
        conditions,
        cathodeCurrentAmps: 0.02,
        isContactorClosed: false,
      }),
    });
  test('for a short time it may go on', () => {
    expect(plain(standsWithoutCurrent(tripped(40))!.title)).toBe('The part has stood without current for 40 s.');
    expect(standsWithoutCurrent(tripped(60))!.advice).toBe('Short enough to go on.');
  });
  test('after a minute it wants the acid dip and a mark on the piece', () => {
    expect(standsWithoutCurrent(tripped(61))!.advice).toMatch(/may not adhere.*sulphuric acid.*mark the piece/);
  });
  test('after a restart nobody claims to know how long it was', () => {
    const standing = standsWithoutCurrent(tripped(20, [Condition.restartedInRun]))!;
    expect(standing.title).toContain('at least');
    expect(standing.advice).toMatch(/^Nobody can tell.*dip/);
  });
  test('a part through which current still flows is not said to stand without it', () => {
    const flowing = (live: Parameters<typeof cannedLive>[0]) =>
      standsWithoutCurrent(cannedController({ live: cannedLive({ phase: Phase.trip, phaseSeconds: 90, ...live }) }));
    expect(flowing({ cathodeCurrentAmps: 19, isContactorClosed: false })).toBeNull();
    expect(flowing({ cathodeCurrentAmps: -2, isContactorClosed: false })).toBeNull();
    expect(flowing({ cathodeCurrentAmps: null, isContactorClosed: true })).toBeNull();
    expect(flowing({ cathodeCurrentAmps: null, isContactorClosed: false })).not.toBeNull();
  });
  test('nothing is said of a run that has ended, or of a part that has not begun to grow', () => {
    expect(standsWithoutCurrent({ ...tripped(600), run: cannedRun({ endedAtMs: NIGHT_MS }) })).toBeNull();
    expect(
      standsWithoutCurrent(cannedController({ live: cannedLive({ phase: Phase.trip, chargeAmpereHours: 0 }) })),
    ).toBeNull();
    expect(standsWithoutCurrent(cannedController())).toBeNull();
  });
  test('an interruption stays in the account of the run with its length and what it means', () => {
    const words = interruptionWords({ atMs: NIGHT_MS - 600_000, seconds: 240 }, NIGHT_MS, 'UTC');
    expect(plain(words)).toMatch(/^4 min until 01:54\. Long enough/);
    expect(interruptionWords({ atMs: NIGHT_MS, seconds: null }, NIGHT_MS, 'UTC')).toMatch(/^For an unknown time/);
  });
});
