/*
 * Every phase meets every event: one letter says which phase it is in after the next step (or after the delay of a condition).
 * The table is the specification; a phase or an event that is added has to be written into it.
 */
import { Command, Condition, offerRecipe, Phase, RecipeFault } from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { bathIn, lampshade, type ScriptedBath } from './scripted-bath.js';

const letters = {
  I: 'idle',
  R: 'ready',
  S: 'strike',
  A: 'ramp',
  P: 'plate',
  F: 'finish',
  D: 'done',
  H: 'hold',
  T: 'trip',
} as const;
type Letter = keyof typeof letters;
const order: readonly Letter[] = ['I', 'R', 'S', 'A', 'P', 'F', 'D', 'H', 'T'];

/** Events by name: what happens, and for how long it is then watched. */
const events: Record<string, (bath: ScriptedBath) => void> = {
  'start pressed': (bath) => bath.press('startPressed'),
  'stop pressed': (bath) => bath.press('stopPressed'),
  'reset pressed': (bath) => bath.press('resetPressed'),
  'start, stop and reset pressed at once': (bath) => {
    bath.inputs.startPressed = bath.inputs.stopPressed = true;
    bath.press('resetPressed');
  },
  'stop asked from afar': (bath) => bath.command(Command.stop),
  'hold asked from afar': (bath) => bath.command(Command.hold),
  'acknowledge asked from afar': (bath) => bath.command(Command.acknowledge),
  'recipe offered': (bath) => {
    bath.offer({ ...lampshade, recipeId: 42 });
    bath.step();
  },
  'malformed recipe offered': (bath) => {
    expect(bath.offer({ ...lampshade, plateAmps: NaN })).not.toBe(RecipeFault.none);
    bath.step();
  },
  'nothing for a second': (bath) => bath.advance(1),
  'emergency stop pressed': (bath) => {
    bath.inputs.emergencyStopPressed = true;
    bath.step();
  },
  'alert latch opens': (bath) => {
    bath.inputs.alertLatchOpen = true;
    bath.step();
  },
  'contactor is open for a step': (bath) => {
    bath.contactorFor = () => false;
    bath.step();
  },
  'contactor is closed for a step': (bath) => {
    bath.contactorFor = () => true;
    bath.step();
  },
  'contactor is closed for 4 s': (bath) => {
    bath.contactorFor = () => true;
    bath.advance(4);
  },
  'monitor silent for 2 s': (bath) => {
    bath.inputs.monitorFault = 1;
    bath.advance(2);
  },
  'current of 25 A for 3 s': (bath) => {
    bath.currentFor = () => 25;
    bath.advance(3);
  },
  'bath at 28 degrees for 32 s': (bath) => {
    bath.inputs.bathCelsius = 28;
    bath.advance(32);
  },
  'bath at 32 degrees for 32 s': (bath) => {
    bath.inputs.bathCelsius = 32;
    bath.advance(32);
  },
  'bath at 40 degrees for 32 s': (bath) => {
    bath.inputs.bathCelsius = 40;
    bath.advance(32);
  },
  'probe absent for 32 s': (bath) => {
    bath.inputs.probeFault = 1;
    bath.advance(32);
  },
  'shaft stands for 150 s': (bath) => {
    bath.isTurning = false;
    bath.advance(150);
  },
  'charge reached': (bath) => {
    bath.state.chargeMilliCoulombs = Math.max(bath.state.chargeMilliCoulombs, 180_000_000);
    bath.advance(1);
  },
  'longest time used up': (bath) => {
    bath.state.liveMs = 36_000_000;
    bath.advance(1);
  },
  'phase has lasted an hour': (bath) => {
    bath.state.phaseSinceMs -= 3_600_000;
    bath.state.phaseEndsAtMs -= 3_600_000;
    bath.step();
  },
  'settings become invalid': (bath) => {
    bath.settingsAreValid = false;
    bath.step();
  },
};

const expected: Record<keyof typeof events, string> = {
  //                                        I R S A P F D H T   (strike that is held begins again; hold here came from plating)
  'start pressed': /*                   */ 'I S S A P F D A T',
  'stop pressed': /*                    */ 'I I D D D D D D T',
  'reset pressed': /*                   */ 'I R S A P F D H R',
  'start, stop and reset pressed at once': 'I I D D D D D D R',
  'stop asked from afar': /*            */ 'I I D D D D D D T',
  'hold asked from afar': /*            */ 'I R H H H H D H T',
  'acknowledge asked from afar': /*     */ 'I R S A P F D H T',
  'recipe offered': /*                  */ 'R R S A P F R H T',
  'malformed recipe offered': /*        */ 'I R S A P F D H T',
  'nothing for a second': /*            */ 'I R S A P F D H T',
  'emergency stop pressed': /*          */ 'I R T T T T D T T',
  'alert latch opens': /*               */ 'I R T T T T D T T',
  'contactor is open for a step': /*    */ 'I R T T T T D T T',
  'contactor is closed for a step': /*  */ 'I R S A P F D H T',
  'contactor is closed for 4 s': /*     */ 'T T S A P F T H T',
  'monitor silent for 2 s': /*          */ 'I R T T T T D T T',
  'current of 25 A for 3 s': /*         */ 'T T T T H T T T T',
  'bath at 28 degrees for 32 s': /*     */ 'I R S A P F D H T',
  'bath at 32 degrees for 32 s': /*     */ 'I R H H H F D H T',
  'bath at 40 degrees for 32 s': /*     */ 'I R T T T T D T T',
  'probe absent for 32 s': /*           */ 'I R S A P F D H T',
  'shaft stands for 150 s': /*          */ 'I R S A P F D H T',
  'charge reached': /*                  */ 'I R F F F F D H T',
  'longest time used up': /*            */ 'I R F F F F D F T',
  'phase has lasted an hour': /*        */ 'I R A P P D D H T',
  'settings become invalid': /*         */ 'I R S A P F D H T',
};

describe('every phase meets every event', () => {
  test('and the table names each of both', () => {
    expect(Object.keys(expected)).toEqual(Object.keys(events));
    expect(order.map((letter) => letters[letter])).toEqual(Object.keys(Phase));
  });

  describe.each(Object.keys(events))('%s', (name) => {
    test.each(order.map((letter, index) => [letters[letter], letters[expected[name]!.split(' ')[index] as Letter]]))(
      'in %s leads to %s',
      (from, to) => {
        const bath = bathIn(from);
        bath.told.splice(0);
        const charge = bath.state.chargeMilliCoulombs;
        events[name]!(bath);
        expect(bath.phaseName()).toBe(to);
        // Whatever happened: where nothing may flow nothing is permitted, and charge has not fallen unless a recipe began anew.
        const { outputs } = bath.state;
        if (!bath.isLive()) expect(outputs.permittedAmps).toBe(0);
        if (!bath.isLive() && to !== 'ready')
          expect(outputs).toMatchObject({ contactorEnabled: false, motorOn: false });
        if (bath.isLive()) expect(outputs).toMatchObject({ contactorEnabled: true, motorOn: true });
        if (name !== 'recipe offered') expect(bath.state.chargeMilliCoulombs).toBeGreaterThanOrEqual(charge);
      },
    );
  });
});

describe('offering a recipe', () => {
  test.each(['strike', 'ramp', 'plate', 'finish', 'hold', 'trip'] as const)(
    'in %s is refused and leaves the run as it is',
    (phase) => {
      const bath = bathIn(phase);
      const before = structuredClone({ ...bath.state, events: [], eventsAreOld: true });
      expect(offerRecipe(bath.state, { ...lampshade, recipeId: 42 }, bath.limits)).toBe(RecipeFault.runIsLive);
      expect(bath.state.events).toEqual([{ kind: 7, code: RecipeFault.runIsLive, a: 42, b: 0 }]);
      expect({ ...bath.state, events: [], eventsAreOld: true }).toEqual(before);
    },
  );

  test.each(['idle', 'ready', 'done'] as const)(
    'in %s is taken, disables the chain until the next step, and says so',
    (phase) => {
      const bath = bathIn(phase);
      expect(offerRecipe(bath.state, { ...lampshade, recipeId: 42 }, bath.limits)).toBe(RecipeFault.none);
      expect(bath.state.events).toEqual([
        { kind: 6, code: 0, a: 42, b: 0 },
        { kind: 2, code: Phase.ready, a: Phase[phase], b: 0 },
      ]);
      expect(bath.state.outputs.contactorEnabled).toBe(false);
      expect(bath.state.chargeMilliCoulombs).toBe(0);
      bath.step();
      expect(bath.state.events).toEqual(
        phase === 'done' ? [expect.objectContaining({ kind: 4, code: Condition.chargeReached })] : [],
      );
    },
  );
});
