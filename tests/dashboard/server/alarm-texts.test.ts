/* What a phone says in the night: every condition has words, every alarm its title, its advice and whom it wakes. */
import { Condition, conditionRows, Reaction, ROW_COLUMNS, RowColumn } from '@bathkeeper/shared-core/control';
import type { AlarmName } from '@bathkeeper/shared-core/messages';
import { describe, expect, test } from 'vitest';
import { alarmTexts } from '../../../dashboard/server/watch/alarm-texts.js';
import { alarmOfCondition, checkFirstOf } from '../../../dashboard/server/watch/condition-alarms.js';
import { conditionWords } from '../../../dashboard/server/watch/condition-words.js';
import { alarmTitle } from '../../../dashboard/page/words/alarm-titles.js';

const reactionOf = (code: number): number => conditionRows[(code - 1) * ROW_COLUMNS + RowColumn.reaction]!;

describe('conditions in words', () => {
  test.each(Object.entries(Condition))('%s has words with numbers and without', (_name, code) => {
    for (const words of [conditionWords(code), conditionWords(code, 31_250, 28_000)]) {
      expect(words).toMatch(/^[a-z].{7,}[^.]$/);
      expect(words).not.toMatch(/no words|undefined|NaN|^condition /);
    }
    expect(conditionWords(code), 'no numbers are invented').not.toMatch(/ 0\.0/);
  });
  test('a value and its limit are said in their unit', () => {
    expect(conditionWords(Condition.bathOverheated, 41_500, 40_000)).toBe(
      "bath above this rig's limit: 41.5 °C, limit 40.0 °C",
    );
    // What is told of a lost contact is the current, and half of what is permitted.
    expect(conditionWords(Condition.contactLost, 3850, 12_000)).toBe(
      'contact lost, voltage at its ceiling and too little current: 3.85 A, limit 12.00 A',
    );
    expect(conditionWords(Condition.rotationStopped, 23_400, 20_000)).toBe('no rotation pulse for 23 s, limit 20 s');
  });
  test('a code of a newer controller is said, not swallowed', () => {
    expect(conditionWords(63)).toContain('63');
    expect(alarmOfCondition(63)).toBeUndefined();
  });
});

describe('whom an alarm wakes', () => {
  test('every alarm has title, advice and priority, and a short name on the page', () => {
    for (const [name, text] of Object.entries(alarmTexts)) {
      expect(text.title, name).toMatch(/^[A-Z]/);
      expect(text.checkFirst, name).toMatch(/^[A-Z].{20,}\.$/);
      expect(alarmTitle[name as AlarmName], name).toBeTruthy();
    }
    expect(Object.keys(alarmTitle).sort()).toEqual(Object.keys(alarmTexts).sort());
  });
  test.each(
    Object.entries(Condition).filter(([, code]) => [Reaction.warn, Reaction.derate].includes(reactionOf(code) as 2)),
  )('%s lets the run go on, so it has an alarm of its own: no hold or trip would tell of it', (_name, code) => {
    expect(alarmOfCondition(code)).toBeDefined();
  });
  test('a mere note of the controller and a reached aim are no alarm', () => {
    const quiet = Object.values(Condition).filter((code) =>
      [Reaction.note, Reaction.finish, Reaction.finishNow].includes(reactionOf(code) as 1),
    );
    expect(quiet.map(alarmOfCondition)).toEqual(quiet.map(() => undefined));
  });
  test.each([
    'trip',
    'held',
    'held-for-long',
    'current-does-not-fall',
    'contactor-contradicts',
    'rotation-stalled',
    'rotation-given-up',
    'controller-silent',
    'command-refused',
    'not-acknowledged',
  ] as const)('%s wakes a person', (name) => {
    expect(alarmTexts[name].priority).toBe('high');
  });
  test('what only the person at the bath can meet wakes nobody else', () => {
    expect(alarmTexts['alert-latch-not-opening'].priority).toBe('low');
  });
  test('current that cannot be stopped is shouted, and only that', () => {
    const shouted = Object.entries(alarmTexts).filter(([, { title }]) => /[A-Z]{4,} [A-Z]{4,}/.test(title));
    expect(shouted.map(([name]) => name).sort()).toEqual(['contactor-contradicts', 'current-does-not-fall']);
    for (const [, { title }] of shouted) expect(title).toContain('mains');
  });
});

describe('advice', () => {
  test('a trip whose cause is known begins with what to check for that cause', () => {
    const words = checkFirstOf('trip', Condition.shortCircuit);
    expect(words).toMatch(/^Switch the supply off at its mains .*\. Then look for a part that touches an anode/);
    expect(words).toContain(alarmTexts.trip.checkFirst);
  });
  test('an alarm of one condition is not told twice', () => {
    expect(checkFirstOf('clip-hot', Condition.clipHot)).toBe(alarmTexts['clip-hot'].checkFirst);
    expect(checkFirstOf('trip')).toBe(alarmTexts.trip.checkFirst);
  });
  test.each([
    ['bath-temperature-out-of-band', Condition.bathCold, /^Warm the room/],
    ['bath-temperature-out-of-band', Condition.bathWarm, /^Open the room's window/],
    ['sensor-fault', Condition.probeStuck, /^Put a second thermometer/],
    ['sensor-fault', Condition.probeFault, /^Look at the probe's plug/],
  ] as const)('%s of condition %i says what that one wants', (name, condition, first) => {
    expect(checkFirstOf(name, condition)).toMatch(first);
  });
});
