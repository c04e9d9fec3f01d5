/* Numbers, times, ages, conditions and questions in words. */
import {
  Condition,
  conditionRows,
  Permissive,
  Phase,
  Reaction,
  ROW_COLUMNS,
  RowColumn,
} from '@bathkeeper/shared-core/control';
import { adviceFor, conditionAdvice } from '@bathkeeper/shared-core/watch';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ageWords, freshness, readingAgeSeconds } from '../../../dashboard/page/words/age.js';
import {
  conditionWords,
  gravestCondition,
  permissiveWords,
  wordsForCondition,
  wordsForPermissive,
} from '../../../dashboard/page/words/conditions.js';
import { commandWords, nothingToDo, question } from '../../../dashboard/page/words/asking.js';
import * as numbers from '../../../dashboard/page/words/numbers.js';
import { phaseName } from '../../../dashboard/page/words/phases.js';
import { recipeLines, recipeSummary, runLines } from '../../../dashboard/page/words/recipe-words.js';
import { aboutTime, nearTimeWords, spanWords, timeWords } from '../../../dashboard/page/words/times.js';
import { cannedController, cannedLive, cannedRun, NIGHT_MS, recipe } from './bath-in-plate.js';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

describe('numbers', () => {
  test.each([
    [numbers.ampsWords(18.44), '18.4 A'],
    [numbers.ampsWords(0.364), '0.36 A'],
    [numbers.ampsWords(0.996), '1.0 A'],
    [numbers.ampsWords(120.4), '120 A'],
    [numbers.ampsWords(-0.001), '0.00 A'],
    [numbers.ampsWords(-2), '−2.0 A'],
    [numbers.ampsWords(null), 'no reading'],
    [numbers.ampsWords(Number.NaN), 'no reading'],
    [numbers.voltsWords(1.9237), '1.92 V'],
    [numbers.celsiusWords(24.06), '24.1 °C'],
    [numbers.celsiusWords(24, 'imperial'), '75.2 °F'],
    [numbers.celsiusWords(null, 'imperial'), 'no reading'],
    [numbers.micrometresWords(304.8, 'imperial'), '12.00 mil'],
    [numbers.micrometresWords(12.7, 'imperial'), '0.500 mil'],
    [numbers.micrometresOf(152.4, 304.8, 'imperial'), '6.00 of 12.00 mil'],
    [numbers.gramsWords(283.495, 'imperial'), '10.0 oz'],
    [numbers.densityWords(1.6, 'imperial'), '14.9 A/ft²'],
    [numbers.micrometresWords(211.7), '212 µm'],
    [numbers.micrometresWords(3.21), '3.2 µm'],
    [numbers.gramsWords(321.44), '321 g'],
    [numbers.ampereHoursWords(64.12), '64.1 Ah'],
    [numbers.densityWords(1.6), '1.6 A/dm²'],
    [numbers.rotationWords(12), '12.0 /min'],
    [numbers.percentWords(0.4), '40 %'],
  ])('%s', (got, expected) => {
    expect(plain(got)).toBe(expected);
  });

  test('the thickness is never rounded up to a target that is not reached', () => {
    expect(plain(numbers.micrometresOf(299.8, 300))).toBe('299 of 300 µm');
    expect(plain(numbers.micrometresOf(300.2, 300))).toBe('300 of 300 µm');
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 5000, noNaN: true }),
        fc.double({ min: 0, max: 0.9999, noNaN: true }),
        fc.constantFrom('metric' as const, 'imperial' as const),
        (asked, share, units) => {
          const [reached, of] = numbers.micrometresOf(asked * share, asked, units).split(' of ');
          return Number(reached) < parseFloat(of!) || parseFloat(of!) === 0;
        },
      ),
    );
  });
});

describe('times', () => {
  const now = Date.UTC(2026, 1, 10, 22, 0);
  test('the coming morning needs no day', () => {
    expect(nearTimeWords(Date.UTC(2026, 1, 11, 6, 40), now, 'UTC')).toBe('06:40');
  });
  test('beyond twelve hours the day is said', () => {
    expect(nearTimeWords(Date.UTC(2026, 1, 11, 14, 0), now, 'UTC')).toBe('14:00 tomorrow');
    expect(timeWords(Date.UTC(2026, 1, 9, 23, 50), now, 'UTC')).toBe('23:50 yesterday');
    expect(timeWords(Date.UTC(2026, 1, 14, 8, 5), now, 'UTC')).toBe('08:05 on Sat 14 Feb');
  });
  test('a forecast is rounded to five minutes when it is far', () => {
    expect(aboutTime(Date.UTC(2026, 1, 11, 6, 42, 40), now, 'UTC')).toBe('about 06:45');
    expect(aboutTime(Date.UTC(2026, 1, 10, 22, 11, 40), now, 'UTC')).toBe('about 22:12');
  });
  test('times are those of the named zone', () => {
    expect(timeWords(Date.UTC(2026, 1, 10, 23, 30), Date.UTC(2026, 1, 10, 22, 0), 'Europe/Berlin')).toBe(
      '00:30 tomorrow',
    );
  });
  test.each([
    [0, '0 s'],
    [-5, '0 s'],
    [89, '89 s'],
    [90, '90 s'],
    [119, '119 s'],
    [120, '2 min'],
    [150, '2 min 30 s'],
    [174, '2 min 50 s'],
    [299, '5 min'],
    [596, '10 min'],
    [640, '11 min'],
    [89 * 60, '89 min'],
    [8 * 3600 + 40 * 60, '8 h 40 min'],
    [2 * 3600, '2 h'],
    [51 * 3600, '2 days 3 h'],
  ])('%d seconds is %s', (seconds, words) => {
    expect(plain(spanWords(seconds))).toBe(words);
  });
});

describe('a day', () => {
  test('is told with its year where that is another one', () => {
    const now = Date.UTC(2026, 1, 10, 2, 4);
    expect(timeWords(Date.UTC(2026, 0, 5, 6, 40), now, 'UTC')).toBe('06:40 on Mon 5 Jan');
    expect(timeWords(Date.UTC(2025, 10, 27, 6, 40), now, 'UTC')).toBe('06:40 on Thu 27 Nov 2025');
  });
});

describe('the age of what is shown', () => {
  test('is live up to five seconds, stale beyond, lost beyond fifteen', () => {
    expect([0, 5, 5.1, 15, 15.1].map((age) => freshness(age, true))).toEqual([
      'live',
      'live',
      'stale',
      'stale',
      'lost',
    ]);
  });
  test('is lost at once when the controller said goodbye', () => {
    expect(freshness(0.5, false)).toBe('lost');
  });
  test('is never when nothing was heard', () => {
    expect(freshness(null, true)).toBe('never');
    expect(ageWords(null, 'never')).toBe('never heard');
  });
  test('counts in the seconds of the reader when a simulated bath runs faster', () => {
    expect(readingAgeSeconds(1_000_000, 1_060_000, 60, 2)).toBe(3);
    expect(readingAgeSeconds(1_000_000, 1_000_000, 1, 2.5)).toBe(2.5);
  });
  test('says that readings are old as soon as they are', () => {
    expect(plain(ageWords(2.2, 'live'))).toBe('heard 2 s ago');
    expect(ageWords(8, 'stale')).toContain('old');
    expect(ageWords(80, 'lost')).toContain('last known');
  });
});

describe('conditions and permissives', () => {
  test('every condition has its clause, its mark of at most two words and its place', () => {
    for (const code of Object.values(Condition)) {
      const words = conditionWords[code];
      expect(words.clause.length).toBeGreaterThan(8);
      expect(words.mark.split(' ').length).toBeLessThanOrEqual(2);
    }
    expect(Object.keys(conditionWords)).toHaveLength(Object.keys(Condition).length);
  });
  test('every permissive says what is missing and what to do', () => {
    for (const code of Object.values(Permissive)) {
      expect(permissiveWords[code].missing).toMatch(/^[a-z]/);
      expect(permissiveWords[code].remedy).toMatch(/^[A-Z].*\.$/);
    }
    expect(Object.keys(permissiveWords)).toHaveLength(Object.keys(Permissive).length);
  });
  test('codes of a newer controller are said, not swallowed', () => {
    expect(wordsForCondition(63).clause).toContain('63');
    expect(wordsForPermissive(31).missing).toContain('31');
    expect(gravestCondition([63])).not.toBeNull();
  });
  test('the page judges a condition as the controller does: warn, derate, hold and trip agree with its table', () => {
    // Both lead to a contactor that cannot be trusted to stop the current: told as graver than a trip.
    const dangers: number[] = [Condition.contactorContradicts, Condition.currentDoesNotFall];
    const gravityOf: Partial<Record<number, string>> = {
      [Reaction.note]: 'note',
      [Reaction.finish]: 'note',
      [Reaction.finishNow]: 'note',
      [Reaction.warn]: 'warn',
      [Reaction.derate]: 'derate',
      [Reaction.hold]: 'hold',
      [Reaction.trip]: 'trip',
    };
    for (const [name, code] of Object.entries(Condition)) {
      const reaction = conditionRows[(code - 1) * ROW_COLUMNS + RowColumn.reaction]!;
      const expected = dangers.includes(code) ? 'danger' : gravityOf[reaction];
      expect(`${name} ${conditionWords[code].gravity}`).toBe(`${name} ${expected}`);
    }
  });
  test('every condition has its advice: sentences, not too long for a phone, and mains before hands', () => {
    for (const [name, code] of Object.entries(Condition)) {
      expect(conditionAdvice[code], name).toMatch(/^[A-Z].{20,}\.$/);
      expect(conditionAdvice[code].length, name).toBeLessThan(220);
    }
    for (const code of [
      Condition.currentDoesNotFall,
      Condition.contactorContradicts,
      Condition.shortCircuit,
    ] as const) {
      expect(conditionAdvice[code]).toMatch(/mains/);
    }
    expect(adviceFor(63)).toContain('older than the controller');
  });
  test('the gravest condition wins, and a reached charge is no fault', () => {
    expect(gravestCondition([Condition.bathWarm, Condition.monitorSilent])).toBe(
      conditionWords[Condition.monitorSilent],
    );
    expect(gravestCondition([Condition.chargeReached])).toBeNull();
  });
  test('every phase has a name', () => {
    for (const phase of Object.values(Phase)) expect(phaseName[phase]).toMatch(/^[a-z]+$/);
  });
});

describe('hold and stop', () => {
  const inPhase = (phase: Phase) => cannedController({ live: cannedLive({ phase }) });
  test('hold is offered from strike to finish only', () => {
    const offered = Object.entries(Phase).filter(([, phase]) => question('hold', inPhase(phase)) !== null);
    expect(offered.map(([name]) => name)).toEqual(['strike', 'ramp', 'plate', 'finish']);
  });
  test('stop is offered wherever a stop changes something', () => {
    const offered = Object.entries(Phase).filter(([, phase]) => question('stop', inPhase(phase)) !== null);
    expect(offered.map(([name]) => name)).toEqual(['ready', 'strike', 'ramp', 'plate', 'finish', 'hold', 'polarity']);
  });
  test('both are offered when nobody knows the state, since both only lower risk', () => {
    const unknown = cannedController({ live: null });
    expect(question('hold', unknown)).not.toBeNull();
    expect(question('stop', unknown)).not.toBeNull();
  });
  test('a dull button says why', () => {
    expect(nothingToDo('hold', inPhase(Phase.hold))).toBe('Already held.');
    expect(nothingToDo('stop', inPhase(Phase.trip))).toContain('no current');
  });
  test('what became of a command keeps the words of the dashboard', () => {
    const command = {
      commandId: 4,
      kind: 'hold',
      askedAtMs: NIGHT_MS,
      state: 'done',
      words: 'Hold reached the bath.',
    } as const;
    expect(commandWords(command)).toBe('Hold, done: Hold reached the bath.');
    expect(commandWords({ ...command, state: 'no-answer', words: '' })).toBe('Hold, no answer.');
  });
});

describe('a recipe in words', () => {
  test('says current, time, thickness and copper', () => {
    expect(plain(recipeSummary(recipe))).toBe('19.2 A for about 14 h 43 min, 300 µm on average, 322 g of copper.');
  });
  test('says that an unwatched rotation is not watched', () => {
    expect(recipeLines({ ...recipe, rotationPulsesPerMinute: 0 }).at(-1)?.words).toContain('not watched');
  });
  test('the run in figures follows the newest charge', () => {
    const lines = runLines(cannedRun(), cannedLive({ chargeAmpereHours: 135.9 }), NIGHT_MS, { timeZone: 'UTC' });
    expect(plain(lines.find((l) => l.term === 'Charge')!.words)).toBe('136 Ah of 272 Ah');
    expect(plain(lines.find((l) => l.term === 'Copper')!.words)).toBe('161 g of 322 g');
  });
});
