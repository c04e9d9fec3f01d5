/*
 * Every phase meets every event: one letter says which phase it is in after the next step (or after the delay of a condition).
 * The tables are the specification; a phase or an event that is added has to be written into them. What each condition needs to be raised
 * is in its own suite; here it stands, and the reaction of its row is what moves the phase.
 */
import { Command, Condition, offerRecipe, Phase, RecipeFault, SupplyKind } from '@bathkeeper/shared-core/control';
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
  O: 'polarity',
} as const;
type Letter = keyof typeof letters;
const order: readonly Letter[] = ['I', 'R', 'S', 'A', 'P', 'F', 'D', 'H', 'T', 'O'];

type Happens = (bath: ScriptedBath) => unknown;
const command =
  (which: Command): Happens =>
  (bath) =>
    bath.command(which);
const input =
  (change: Partial<ScriptedBath['inputs']>, seconds: number): Happens =>
  (bath) => {
    bath.inputs.contactorClosed = bath.state.outputs.contactorEnabled && bath.inputs.contactorClosed;
    bath.beforeStep = () => Object.assign(bath.inputs, change);
    return bath.advance(seconds);
  };

/** Events by name: what happens, and for how long it is then watched. */
const events: Record<string, readonly [happens: Happens, expected: string]> = {
  //                                                                                I R S A P F D H T O
  'start pressed': [(bath) => bath.press('startPressed'), /*                    */ 'I O S A P F D A T O'],
  'start held without a press of this phase': [input({ startHeld: true }, 0.2), /**/ 'I R S A P F D H T O'],
  'start pressed, then held': [
    (bath) => {
      bath.press('startPressed');
      bath.inputs.startHeld = true;
      bath.step();
    },
    /*                                                                        */ 'I O A P P F D A T O',
  ],
  'stop pressed': [(bath) => bath.press('stopPressed'), /*                      */ 'I I D D D D D D T D'],
  'reset pressed': [(bath) => bath.press('resetPressed'), /*                    */ 'I R S A P F D H R O'],
  'reset held': [input({ resetHeld: true }, 0.2), /*                            */ 'I R S A P F D H T O'],
  'start, stop and reset pressed at once': [
    (bath) => {
      bath.inputs.startPressed = bath.inputs.stopPressed = true;
      bath.press('resetPressed');
    },
    /*                                                                        */ 'I I D D D D D D R D',
  ],
  'stop asked from afar': [command(Command.stop), /*                            */ 'I I D D D D D D T D'],
  'hold asked from afar': [command(Command.hold), /*                            */ 'I R H H H H D H T H'],
  'acknowledge asked from afar': [command(Command.acknowledge), /*              */ 'I R S A P F D H T O'],
  'lower asked from afar': [command(Command.lower), /*                          */ 'I R S A P F D H T O'],
  'recipe asked of the step': [command(Command.recipe), /*                      */ 'I R S A P F D H T O'],
  'a command that does not exist': [command(9 as Command), /*                   */ 'I R S A P F D H T O'],
  'recipe offered': [
    (bath) => {
      bath.offer({ ...lampshade, recipeId: 42 });
      bath.step();
    },
    /*                                                                        */ 'R R S A P F R H T O',
  ],
  'malformed recipe offered': [
    (bath) => {
      expect(bath.offer({ ...lampshade, plateAmps: NaN })).not.toBe(RecipeFault.none);
      bath.step();
    },
    /*                                                                        */ 'I R S A P F D H T O',
  ],
  'nothing for a second': [(bath) => bath.advance(1.2), /*                      */ 'I R S A P F D H T S'],
  'emergency stop pressed': [input({ emergencyStopPressed: true }, 0.2), /*     */ 'I R T T T T D T T T'],
  'alert latch opens': [input({ alertLatchOpen: true }, 0.2), /*                */ 'I R T T T T D T T T'],
  'contactor is open for a step': [
    (bath) => {
      bath.contactorFor = () => false;
      bath.step();
    },
    /*                                                                        */ 'I R T T T T D T T T',
  ],
  'contactor is closed for a step': [
    (bath) => {
      bath.contactorFor = () => true;
      bath.step();
    },
    /*                                                                        */ 'I R S A P F D H T O',
  ],
  'contactor is closed for 4 s': [
    (bath) => {
      bath.contactorFor = () => true;
      bath.advance(4);
    },
    /*                                                                        */ 'T T S A P F T H T S',
  ],
  'monitor silent for 2 s': [input({ monitorFault: 1 }, 2), /*                  */ 'I R T T T T D T T T'],
  // over 150 % everywhere but in plate, where it is 125 %
  'current of 25 A for 3 s': [
    (bath) => {
      bath.currentFor = () => 25;
      bath.advance(3);
    },
    /*                                                                        */ 'T T T T H T T T T T',
  ],
  'current the wrong way for 1 s': [
    (bath) => {
      bath.currentFor = (amps) => -amps;
      bath.advance(1);
    },
    /*                                                                        */ 'I R T T T T D T T T',
  ],
  'no current at the ceiling for 40 s': [
    (bath) => {
      bath.currentFor = () => 0;
      bath.voltsFor = () => 8;
      bath.advance(40);
    },
    /*                                                                        */ 'I R S A H F D H T T',
  ],
  'bath at 32 degrees for 32 s': [input({ bathCelsius: 32 }, 32), /*            */ 'I R H H H F D H T H'],
  'shaft stands for 150 s': [
    (bath) => {
      bath.isTurning = false;
      bath.advance(150);
    },
    /*                                                                        */ 'I R S A P F D H T S',
  ],
  'charge reached': [
    (bath) => {
      bath.state.chargeMilliCoulombs = Math.max(bath.state.chargeMilliCoulombs, 180_000_000);
      bath.advance(1);
    },
    /*                                                                        */ 'I R F F F F D H T D',
  ],
  'longest time used up': [
    (bath) => {
      bath.state.liveMs = 36_000_000;
      bath.advance(1);
    },
    /*                                                                        */ 'I R F F F F D F T D',
  ],
  'its time is over': [
    (bath) => {
      bath.state.phaseSinceMs -= 3_600_000;
      bath.state.phaseEndsAtMs -= 3_600_000;
      bath.state.ramp.doneMs += 3_600_000;
      bath.step();
    },
    /*                                                                        */ 'I R A P P D D H T O',
  ],
  'settings become invalid': [
    (bath) => {
      bath.settingsAreValid = false;
      bath.step();
    },
    /*                                                                        */ 'I R S A P F D H T O',
  ],
};

/** The outputs that belong to the phase, whatever happened. */
function expectOutputs(bath: ScriptedBath): void {
  const { outputs } = bath.state;
  if (!bath.isLive()) expect(outputs.permittedAmps).toBe(0);
  if (bath.isLive()) {
    expect(outputs).toMatchObject({ contactorEnabled: true, supplyEnabled: true, alertTestOn: false });
    expect(outputs.permittedAmps).toBeGreaterThan(0);
  } else if (bath.phaseName() !== 'ready') {
    expect(outputs).toMatchObject({ contactorEnabled: false, motorOn: false, alertTestOn: false });
  }
  if (bath.phaseName() === 'idle' || bath.phaseName() === 'done') expect(outputs.supplyEnabled).toBe(false);
}

describe('every phase meets every event', () => {
  test('and the table names each phase', () => {
    expect(order.map((letter) => letters[letter])).toEqual(Object.keys(Phase));
  });

  describe.each(Object.entries(events))('%s', (name, [happens, expected]) => {
    test.each(order.map((letter, index) => [letters[letter], letters[expected.split(' ')[index] as Letter]]))(
      'in %s leads to %s',
      (from, to) => {
        const bath = bathIn(from);
        bath.told.splice(0);
        const charge = bath.state.chargeMilliCoulombs;
        bath.inputs.lowerToAmps = 1;
        happens(bath);
        expect(bath.phaseName()).toBe(to);
        expectOutputs(bath);
        // Charge has not fallen unless a recipe began anew.
        if (name !== 'recipe offered') expect(bath.state.chargeMilliCoulombs).toBeGreaterThanOrEqual(charge);
      },
    );
  });
});

/** What each condition makes of each phase once it stands there: with a supply that can be set from here, and with one set by hand. */
const reactions: readonly (readonly [names: readonly (keyof typeof Condition)[], expected: string, byHand: string])[] =
  [
    //            I R S A P F D H T O      by hand (no finish, no hold)
    [
      ['bathWarm', 'probeFault', 'rotationStopped', 'currentOutsideBand', 'bathWillOverheat', 'probeStuck', 'clipHot'],
      /*      */ 'I R S A P F D H T O',
      /*      */ 'I R S A P . D . T O',
    ],
    [
      [
        'rotationGivenUp',
        'rotationSlow',
        'longestPhase',
        'longestHold',
        'notAcknowledged',
        'supplyFault',
        'memoryFault',
      ],
      /*      */ 'I R S A P F D H T O',
      /*      */ 'I R S A P . D . T O',
    ],
    [
      ['dashboardUnseen', 'rampWaiting', 'contactWeakInStart', 'alertLatchNotOpening'],
      /*      */ 'I R S A P F D H T O',
      /*      */ 'I R S A P . D . T O',
    ],
    [
      ['rotationStoppedLong', 'anodePassivating', 'bathCold', 'agitationStopped', 'filterStopped'],
      /*      */ 'I R S A P F D H T O',
      /*      */ 'I R S A P . D . T O',
    ],
    [
      ['currentHigh', 'bathHot', 'probeFaultLong', 'contactLost', 'probeStuckLong', 'liquidLow', 'longestDerate'],
      /*      */ 'I R H H H F D H T H',
      /*      */ 'T T T T T . T . T T',
    ],
    [
      ['currentVeryHigh', 'alertLatch', 'monitorSilent', 'monitorChanged', 'monitorClipped', 'bathOverheated'],
      /*      */ 'T T T T T T T T T T',
      /*      */ 'T T T T T . T . T T',
    ],
    [
      ['emergencyStop', 'contactorDropped', 'restartedInRun', 'contactorContradicts', 'shortCircuit', 'reverseCurrent'],
      /*      */ 'T T T T T T T T T T',
      /*      */ 'T T T T T . T . T T',
    ],
    [
      ['senseImplausible', 'clipOverheated', 'leak', 'smoke', 'currentDoesNotFall', 'voltageHigh', 'noCurrentAtStart'],
      /*      */ 'T T T T T T T T T T',
      /*      */ 'T T T T T . T . T T',
    ],
    [['polarityReversed'], /*      */ 'T T T T T T T T T T', /*      */ 'T T T T T . T . T T'],
    [['chargeReached'], /*         */ 'I R F F F F D H T D', /*      */ 'I R D D D . D . T D'],
    [['longestRun'], /*            */ 'I R F F F F D F T D', /*      */ 'I R D D D . D . T D'],
  ];

/** The condition stands in the next step, as if its delay had run out. That step has no slow look, which would find no cause. */
function raise(bath: ScriptedBath, code: Condition): void {
  const { state } = bath;
  const bit = 1 << ((code - 1) & 31);
  bath.untilLookIsDue().step();
  for (const word of code > 32
    ? (['conditionsHigh', 'seenHigh', 'delayedHigh'] as const)
    : (['conditions', 'seen', 'delayed'] as const)) {
    state[word] |= bit;
  }
  state.notedMs[code] = state.clockMs;
  state.isToJudge = true;
  state.isQuiet = false;
}

/** By hand a run never gets to finish or hold. */
function bathByHandIn(phase: keyof typeof Phase): ScriptedBath {
  if (phase !== 'done') return bathIn(phase, lampshade, SupplyKind.byHand);
  return bathIn('plate', lampshade, SupplyKind.byHand).press('stopPressed').advance(1);
}

describe('the reaction of every condition in every phase', () => {
  test('names each condition once', () => {
    expect(reactions.flatMap(([names]) => names).sort()).toEqual(Object.keys(Condition).sort());
  });

  const rows = reactions.flatMap(([names, expected, byHand]) => names.map((name) => [name, expected, byHand] as const));
  test.each(rows)('%s: from I R S A P F D H T O to %s', (name, expected) => {
    const reached = order.map((letter) => {
      const bath = bathIn(letters[letter]);
      raise(bath, Condition[name]);
      bath.step();
      expectOutputs(bath);
      return Object.keys(letters).find((key) => letters[key as Letter] === bath.phaseName());
    });
    expect(reached.join(' ')).toBe(expected);
  });

  test.each(rows)('%s, supply by hand: from I R S A P F D H T O', (name, _expected, expected) => {
    const reached = order.map((letter, index) => {
      if (expected.split(' ')[index] === '.') return '.';
      const bath = bathByHandIn(letters[letter]);
      const { permittedAmps } = bath.state.outputs;
      raise(bath, Condition[name]);
      bath.step();
      // Nobody can lower it from here: as much as it was, or nothing.
      if (bath.isLive()) expect(bath.state.outputs.permittedAmps).toBe(permittedAmps);
      return Object.keys(letters).find((key) => letters[key as Letter] === bath.phaseName());
    });
    expect(reached.join(' ')).toBe(expected);
  });
});

describe('offering a recipe', () => {
  test.each(['polarity', 'strike', 'ramp', 'plate', 'finish', 'hold', 'trip'] as const)(
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
