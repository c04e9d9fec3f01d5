/* The state in one sentence: every phase, every fault, every way of not knowing. */
import { Condition, Permissive, Phase, SupplyKind } from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { type Hearing, stateSentence } from '../../../dashboard/page/words/sentence.js';
import { cannedController, cannedLive, cannedRun, NIGHT_MS, recipe } from './bath-in-plate.js';

const hearing: Hearing = { nowMs: NIGHT_MS, fresh: 'live', isConnected: true, timeZone: 'UTC' };
const plain = (text: string): string => text.replaceAll('\u00a0', ' ');
const words = (controller: Parameters<typeof stateSentence>[0], change: Partial<Hearing> = {}): string =>
  plain(stateSentence(controller, { ...hearing, ...change }).text);
const inPhase = (
  phase: Phase,
  live: Parameters<typeof cannedLive>[0] = {},
  run: Parameters<typeof cannedRun>[0] = {},
) => cannedController({ live: cannedLive({ phase, ...live }), run: cannedRun(run) });

describe('the state in one sentence', () => {
  test('says current, thickness and finish while plating', () => {
    const sentence = stateSentence(cannedController(), hearing);
    expect(plain(sentence.text)).toBe('Plating, 19.1 A, 71 of 300 µm, done about 12:55.');
    expect(sentence.tone).toBe('calm');
  });

  test('leaves the finish out when nobody can tell it', () => {
    expect(words(inPhase(Phase.plate, {}, { plannedFinishAtMs: null }))).toBe('Plating, 19.1 A, 71 of 300 µm.');
  });

  test('says what is wrong first while the run goes on', () => {
    const controller = inPhase(Phase.plate, { conditions: [Condition.rotationStoppedLong], derateFraction: 0.4 });
    expect(words(controller)).toBe(
      'The rotation has been stopped for over two minutes. Plating, 19.1 A, 71 of 300 µm, done about 12:55, reduced to 40 %.',
    );
    expect(stateSentence(controller, hearing).tone).toBe('wrong');
  });

  test('never calls a plating without a current reading calm', () => {
    const controller = inPhase(Phase.plate, { cathodeCurrentAmps: null });
    expect(words(controller)).toContain('no current reading');
    expect(stateSentence(controller, hearing).tone).toBe('wrong');
  });

  test('strike says when the ramp begins', () => {
    expect(words(inPhase(Phase.strike, { cathodeCurrentAmps: 3.6, phaseSeconds: 240 }))).toBe(
      'Striking, 3.6 A, ramp begins in 6 min.',
    );
  });

  test('ramp says how far the current has come', () => {
    expect(words(inPhase(Phase.ramp, { cathodeCurrentAmps: 11.2 }))).toContain('Ramping up, 11.2 A of 19.2 A');
  });

  test('polarity says what must flow before strike, and what is to be set by hand', () => {
    const live = { cathodeCurrentAmps: 0.1, permittedAmps: 0.72 };
    expect(words(inPhase(Phase.polarity, live))).toBe(
      'Proving the polarity, 0.10 A: 0.72 A must flow the right way before strike.',
    );
    expect(words(inPhase(Phase.polarity, { ...live, supplyKind: SupplyKind.byHand }))).toContain(
      '0.72 A is to be set on the supply',
    );
  });

  test.each([
    [1, 'waiting until the first copper has closed the surface', 'calm'],
    [2, 'backing off: the resistance climbs', 'wrong'],
    [3, 'paused at the bath: a press of start there goes on', 'waits'],
  ] as const)('a start in ramp state %i says why it does not go on', (rampState, clause, tone) => {
    for (const phase of [Phase.strike, Phase.ramp]) {
      const controller = inPhase(phase, { rampState, cathodeCurrentAmps: 3.1 });
      expect(words(controller)).toContain(clause);
      expect(words(controller)).not.toContain('done about');
      expect(stateSentence(controller, hearing).tone).toBe(tone);
    }
  });

  test('an eased current is said, and is no fault', () => {
    const controller = inPhase(Phase.plate, { loweredToAmps: 8, cathodeCurrentAmps: 8 });
    expect(words(controller)).toContain(', eased to 8.0 A.');
    expect(stateSentence(controller, hearing).tone).toBe('calm');
  });

  test('a trip that needed the second means says so before anybody reaches in', () => {
    const controller = {
      ...inPhase(Phase.trip, {
        isContactorClosed: false,
        cathodeCurrentAmps: 0,
        conditions: [Condition.currentDoesNotFall],
      }),
      told: { bringUp: [], interruptions: [], secondMeansOpened: { atMs: NIGHT_MS, condition: 39 } },
    };
    expect(words(controller)).toContain('The second means has cut the supply off: look at its ammeter');
  });

  test('finish says when the contactor opens at the latest', () => {
    expect(
      words(
        inPhase(Phase.finish, {
          cathodeCurrentAmps: 1.8,
          chargeAmpereHours: 271.8,
          phaseSeconds: 600,
          conditions: [Condition.chargeReached],
        }),
      ),
    ).toBe('Thickness reached, 300 of 300 µm; finishing at 1.8 A, opens in 50 min at the latest.');
  });

  test('finish by the longest run does not claim that the thickness is reached', () => {
    expect(words(inPhase(Phase.finish, { conditions: [Condition.longestRun] }))).toMatch(/^Out of time, 71 of 300 µm/);
  });

  test('done says thickness and copper', () => {
    expect(
      words(
        inPhase(Phase.done, {}, { endedAtMs: NIGHT_MS - 600_000, chargeAmpereHours: 271.8, depositMassGrams: 322.3 }),
      ),
    ).toBe('Done at 01:54: 300 µm, 322 g of copper. Take the part out.');
  });

  test('a run that ended early is not called done', () => {
    expect(
      words(
        inPhase(Phase.done, {}, { endedAtMs: NIGHT_MS - 600_000, endedBecause: 'A stop was asked for at the bath.' }),
      ),
    ).toBe('Ended at 01:54 with 71 of 300 µm: a stop was asked for at the bath.');
  });

  test('hold says why, and what alone goes on', () => {
    expect(
      words(inPhase(Phase.hold, { cathodeCurrentAmps: 3.6, phaseSeconds: 300, conditions: [Condition.bathHot] })),
    ).toBe('Held at 3.6 A for 5 min: the bath is too warm to plate. Only a press at the bath goes on.');
    expect(words(inPhase(Phase.hold, { conditions: [] }))).toContain('hold was asked for');
  });

  test('trip says the gravest cause and to reset at the bath', () => {
    const text = words(
      inPhase(Phase.trip, {
        isContactorClosed: false,
        cathodeCurrentAmps: 0,
        phaseSeconds: 30,
        conditions: [Condition.bathWarm, Condition.emergencyStop],
      }),
    );
    expect(text).toBe('Tripped 30 s ago: the emergency stop was pressed. The contactor is open; reset at the bath.');
  });

  test('a trip whose contactor still reports closed sends to the mains', () => {
    expect(words(inPhase(Phase.trip, { isContactorClosed: true, cathodeCurrentAmps: 0 }))).toContain(
      'switch the supply off at the mains',
    );
  });

  test('a trip whose current still flows after five seconds says that before anything about resetting', () => {
    const flowing = (phaseSeconds: number) => words(inPhase(Phase.trip, { isContactorClosed: false, phaseSeconds }));
    expect(flowing(5)).toContain('19.1 A still flows: switch the supply off at the mains now');
    expect(flowing(4)).not.toContain('still flows');
  });

  test('idle asks for a recipe', () => {
    expect(words(inPhase(Phase.idle))).toBe('Idle, no current flows. It wants a recipe.');
  });

  test('ready names the part, or what is missing', () => {
    const waiting = cannedController({ live: cannedLive({ phase: Phase.ready }), run: null, waitingRecipe: recipe });
    expect(words(waiting)).toBe('Ready: “Fluted bell lampshade” waits for the press at the bath.');
    const missing = {
      ...waiting,
      live: cannedLive({
        phase: Phase.ready,
        permissivesMissing: [Permissive.rotationSeen, Permissive.alertLatchClosed],
      }),
    };
    expect(words(missing)).toBe('Not ready to start “Fluted bell lampshade”: no rotation was seen, and 1 more.');
  });

  test.each(Object.entries(Phase))('phase %s has words in every state of hearing', (_name, phase) => {
    for (const fresh of ['live', 'stale', 'lost', 'never'] as const) {
      for (const isConnected of [true, false]) {
        for (const run of [cannedRun(), null]) {
          const text = words(cannedController({ live: cannedLive({ phase }), run }), { fresh, isConnected });
          expect(text).toMatch(/^[A-Z].*\.$/);
          expect(text).not.toMatch(/undefined|NaN|null|no words/);
        }
      }
    }
  });

  test.each(Object.entries(Condition))('condition %s is never silent in a trip', (_name, code) => {
    expect(words(inPhase(Phase.trip, { conditions: [code], isContactorClosed: false }))).not.toContain(
      'the cause is gone',
    );
  });

  test('a lost bath is told as last known, never as the present', () => {
    const sentence = stateSentence(cannedController(), { ...hearing, fresh: 'lost' });
    expect(plain(sentence.text)).toMatch(/^Nothing is heard from the bath\. Last known at 02:03: plating/);
    expect(sentence.tone).toBe('unknown');
  });

  test('a page without connection says so first', () => {
    expect(words(cannedController(), { isConnected: false })).toMatch(
      /^No connection to the dashboard\. Last known at/,
    );
  });

  test('a controller that was never heard is not called idle', () => {
    expect(words(cannedController({ live: null }), { fresh: 'never' })).toBe(
      'Nothing has been heard from north-bench yet.',
    );
  });

  test('a phase from the future is said to be unknown', () => {
    expect(stateSentence(inPhase(42 as Phase), hearing).tone).toBe('unknown');
  });
});
