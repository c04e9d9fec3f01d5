/*
 * The form of every text that says what to do: it begins with the act of the woken person, and where that act can hurt, the caution stands in
 * the same sentence. The verbs and the hazards are listed here, so that a new text has to be thought about. Our own practice, no source.
 */
import { Condition } from '@bathkeeper/shared-core/control';
import { adviceFor, conditionAdvice, firstStep } from '@bathkeeper/shared-core/watch';
import { describe, expect, test } from 'vitest';
import { alarmTexts } from '../../../dashboard/server/watch/alarm-texts.js';
import { checkFirstOf } from '../../../dashboard/server/watch/condition-alarms.js';
import { causeWords } from '../../../dashboard/server/watch/drift-words.js';

/** Each tells hands, legs or eyes what to do. "Do not" is none of them: it leaves a person standing there. */
const ACTS = new Set(
  `Acknowledge Check Compare Cool Ease Exchange Find Free Go Hold Leave Let Look Measure Open Put Restart Set Switch Take
   Unplug Wait Warm Write`.split(/\s+/),
);

const texts: [string, string][] = [
  ...Object.entries(Condition).map(([name, code]): [string, string] => [`condition ${name}`, conditionAdvice[code]]),
  ...Object.entries(alarmTexts).map(([name, { checkFirst }]): [string, string] => [`alarm ${name}`, checkFirst]),
  ...Object.entries(causeWords).map(([name, { check }]): [string, string] => [`cause ${name}`, check]),
  ['condition of a newer controller', adviceFor(63)],
];

describe('what to do', () => {
  test.each(texts)('%s begins with an act', (_name, text) => {
    expect(ACTS).toContain(text.split(/[ ,:]/)[0]);
  });

  test.each(Object.entries(Condition))(
    'a trip or a hold by %s begins with an act of that very cause',
    (_name, code) => {
      for (const name of ['trip', 'held'] as const)
        expect(checkFirstOf(name, code)).toBe(`${conditionAdvice[code]} ${alarmTexts[name].checkFirst}`);
    },
  );

  test.each(texts)('%s ends its first sentence soon enough for a locked phone', (_name, text) => {
    expect(firstStep(text).first.length).toBeLessThan(160);
  });

  /** Where hands would come near acid, heat, current or a shaft that turns: what the first sentence must say of it. */
  test.each([
    ['currentHigh', /touch no bar/],
    ['currentVeryHigh', /before you reach/],
    ['alertLatch', /before you reach/],
    ['monitorClipped', /before you reach/],
    ['shortCircuit', /before you reach/],
    ['reverseCurrent', /before you touch/],
    ['polarityReversed', /before you touch/],
    ['voltageHigh', /before you touch/],
    ['contactLost', /before you touch/],
    ['contactorDropped', /touch nothing before the supply is off/],
    ['contactorContradicts', /hands out of the tank/],
    ['currentDoesNotFall', /hands out of the tank/],
    ['currentOutsideBand', /touch no joint/],
    ['contactWeakInStart', /touch nothing while current flows/],
    ['supplyFault', /touch no bar/],
    ['clipHot', /touch no joint/],
    ['clipOverheated', /do not touch the joint/],
    ['bathOverheated', /do not reach into the hot acid/],
    ['bathCold', /only with a heater made for acid/],
    ['rotationStopped', /before hands go into the tank/],
    ['rotationStoppedLong', /before hands go into the tank/],
    ['rotationGivenUp', /before hands go into the tank/],
    ['rotationSlow', /hands out while the motor may turn/],
    ['probeFault', /gloves on/],
    ['probeFaultLong', /gloves on/],
    ['probeStuck', /gloves on/],
    ['probeStuckLong', /gloves on/],
    ['restartedInRun', /gloves and goggles/],
    ['chargeReached', /gloves on/],
    ['longestHold', /gloves on/],
    ['longestPhase', /hands out/],
    ['leak', /gloves and goggles .* acid/],
    ['liquidLow', /what leaks is acid/],
  ] as const)('%s has its caution beside the act', (name, caution) => {
    expect(firstStep(conditionAdvice[Condition[name]]).first).toMatch(caution);
  });

  test('nothing is felt for with a hand, and no joint is tightened while current flows', () => {
    for (const [name, text] of texts) {
      expect(text, name).not.toMatch(/\bfeel\b/i);
      if (/\b[Tt]ighten/.test(text)) expect(text, name).toMatch(/off at its mains/);
    }
  });
});
