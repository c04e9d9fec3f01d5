/* The section through the tank: what is marked and where, when the part turns, how its outline grows. */
import { Condition, Permissive, Phase } from '@bathkeeper/shared-core/control';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bellOutline, bellProfile, bellRadius } from '../../../dashboard/page/tank/bell.js';
import { marksOf } from '../../../dashboard/page/tank/marks.js';
import { rings, SECTION_BOX } from '../../../dashboard/page/tank/places.js';
import { sectionWords } from '../../../dashboard/page/tank/section-words.js';
import { shaftWords, turnSeconds } from '../../../dashboard/page/tank/turning.js';
import { conditionWords } from '../../../dashboard/page/words/conditions.js';
import { stalled } from '../../browser/canned-night.js';
import { cannedController, cannedLive, NIGHT_MS } from './bath-in-plate.js';

const withLive = (live: Parameters<typeof cannedLive>[0]) => cannedController({ live: cannedLive(live) });

describe('marks', () => {
  test('a good night carries none', () => {
    expect(marksOf(cannedController(), [])).toEqual([]);
  });
  test.each(Object.entries(Condition).filter(([, code]) => conditionWords[code].gravity !== 'note'))(
    'condition %s is marked at its own place only',
    (_name, code) => {
      const marks = marksOf(withLive({ conditions: [code] }), []);
      expect(marks.map((m) => m.place)).toEqual([conditionWords[code].place]);
    },
  );
  test('a reached charge is not marked', () => {
    expect(marksOf(withLive({ conditions: [Condition.chargeReached] }), [])).toEqual([]);
  });
  test('what stands at one place is gathered in one mark, the worst first and the others counted', () => {
    const marks = marksOf(
      withLive({ conditions: [Condition.bathWarm, Condition.bathOverheated, Condition.bathHot] }),
      [],
    );
    expect(marks).toHaveLength(1);
    expect(marks[0]!.mark).toBe('overheated +2');
    expect(marks[0]!.found.map(({ gravity }) => gravity)).toEqual(['trip', 'hold', 'warn']);
  });
  test('with everything wrong each place has one mark, the most dangerous place first, and nothing is left out', () => {
    const all = Object.values(Condition);
    const marks = marksOf(withLive({ conditions: all }), []);
    expect(new Set(marks.map(({ place }) => place)).size).toBe(marks.length);
    expect(marks[0]!.place).toBe('contactor');
    const told = marks.flatMap(({ found }) => found.map(({ clause }) => clause)).sort();
    const wrong = all.filter((code) => conditionWords[code].gravity !== 'note');
    expect(told).toEqual(wrong.map((code) => conditionWords[code].clause).sort());
  });
  test('every mark of a condition says what to check first', () => {
    for (const { found } of marksOf(withLive({ conditions: Object.values(Condition) }), [])) {
      for (const { checkFirst } of found) expect(checkFirst).toMatch(/^[A-Z].{20,}\.$/);
    }
  });
  test('what the drawing itself finds begins with the act', () => {
    const secondMeansOpened = { atMs: NIGHT_MS, condition: Condition.currentDoesNotFall };
    const dead = { cathodeCurrentAmps: null, bathTemperatureCelsius: null, phase: Phase.trip, isContactorClosed: true };
    const controller = { ...withLive(dead), told: { bringUp: [], interruptions: [], secondMeansOpened } };
    const said = marksOf(controller, []).flatMap(({ found }) => found.map(({ checkFirst }) => checkFirst));
    expect(said).toHaveLength(4);
    for (const words of said) expect(words).toMatch(/^(Look at the|Switch the supply off) /);
  });
  test('a second means that was opened is marked in the trip, and not after its reset', () => {
    const told = {
      bringUp: [],
      interruptions: [],
      secondMeansOpened: { atMs: NIGHT_MS, condition: Condition.currentDoesNotFall },
    };
    const tripped = { ...withLive({ phase: Phase.trip, isContactorClosed: false }), told };
    expect(marksOf(tripped, []).map(({ place }) => place)).toEqual(['second-means']);
    expect(marksOf({ ...withLive({ phase: Phase.ready }), told }, [])).toEqual([]);
  });
  test('every place has its ring within the drawing', () => {
    for (const { cx, cy, rx, ry } of Object.values(rings)) {
      expect(cx - rx).toBeGreaterThanOrEqual(SECTION_BOX.left);
      expect(cx + rx).toBeLessThanOrEqual(SECTION_BOX.left + SECTION_BOX.width);
      expect(cy - ry).toBeGreaterThanOrEqual(SECTION_BOX.top);
      expect(cy + ry).toBeLessThanOrEqual(SECTION_BOX.top + SECTION_BOX.height);
    }
  });
  test('a reading that is missing is marked even without a condition', () => {
    const marks = marksOf(withLive({ cathodeCurrentAmps: null, bathTemperatureCelsius: null }), []);
    expect(marks.map((m) => m.place).sort()).toEqual(['probe', 'shunt']);
  });
  test('an alarm that the dashboard judges is marked while it is active, and for its own bath', () => {
    const off = { ...stalled, name: 'current-off-permitted' } as const;
    expect(marksOf(cannedController(), [off]).map((m) => m.place)).toEqual(['shunt']);
    expect(marksOf(cannedController(), [{ ...off, state: 'returned-unacknowledged' }])).toEqual([]);
    expect(marksOf(cannedController(), [{ ...off, controllerId: 'south-bench' }])).toEqual([]);
  });
  test('what a start still wants is marked otherwise than what is wrong', () => {
    const marks = marksOf(
      withLive({ phase: Phase.ready, permissivesMissing: [Permissive.rotationSeen, Permissive.recipeLoaded] }),
      [],
    );
    expect(marks).toMatchObject([{ place: 'shaft', kind: 'wants' }]);
  });
  test('a contactor that reports closed in a trip is marked', () => {
    expect(marksOf(withLive({ phase: Phase.trip, isContactorClosed: true }), [])[0]).toMatchObject({
      place: 'contactor',
      mark: 'still closed',
    });
  });
  test('the section in words names what is marked and when readings are old', () => {
    const controller = withLive({ conditions: [Condition.rotationStopped], secondsSinceRotationPulse: 25 });
    const words = sectionWords(controller, 'stale', marksOf(controller, []));
    expect(words).toContain('marked: the rotation stopped');
    expect(words).toContain('These readings are old');
  });
});

describe('turning', () => {
  test('follows the pulses', () => {
    expect(turnSeconds(cannedLive(), 'live')).toBe(5);
  });
  test('stands still as soon as the pulse is overdue', () => {
    expect(turnSeconds(cannedLive({ secondsSinceRotationPulse: 12.4 }), 'live')).toBe(5);
    expect(turnSeconds(cannedLive({ secondsSinceRotationPulse: 12.6 }), 'live')).toBeNull();
  });
  test('old readings never turn the part', () => {
    for (const fresh of ['stale', 'lost', 'never'] as const) expect(turnSeconds(cannedLive(), fresh)).toBeNull();
    expect(turnSeconds(null, 'live')).toBeNull();
  });
  test('unknown rotation is standing, not turning', () => {
    const live = cannedLive({ rotationPulsesPerMinute: null, secondsSinceRotationPulse: null });
    expect(turnSeconds(live, 'live')).toBeNull();
    expect(shaftWords(live).pulse).toBe('no pulse seen yet');
  });
});

describe('the outline of the part', () => {
  test('widens from neck to lip', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 0.99, noNaN: true }), (t) => bellRadius(t + 0.01) > bellRadius(t) - 1e-9),
    );
  });
  test('copper lies outside of the print everywhere, at the drawn thickness', () => {
    const print = bellProfile(0);
    bellProfile(9).forEach((point, k) => {
      expect(Math.hypot(point.x - print[k]!.x, point.y - print[k]!.y)).toBeCloseTo(9, 6);
      expect(point.x).toBeGreaterThan(print[k]!.x);
    });
  });
  test('is a closed path of plain numbers', () => {
    expect(bellOutline(3, 180, 196)).toMatch(/^M[\d. L-]+Z$/);
  });
});
