/* The journal, silences and a night's figures in words. */
import { describe, expect, test } from 'vitest';
import type { AlarmFigures, JournalAct } from '@bathkeeper/shared-core/messages';
import { actWords, figureLines, nightWindow } from '../../../dashboard/page/words/journal-words.js';
import { shelfMinutes, silenceWords } from '../../../dashboard/page/words/silences.js';
import { dayHeading } from '../../../dashboard/page/words/times.js';
import { NIGHT_MS } from '../../browser/canned-night.js';

const plain = (words: string): string => words.replaceAll('\u00a0', ' ');

describe('an entry of the journal', () => {
  test.each<[JournalAct, string, string | null, string]>([
    ['raised', 'clock', null, 'raised'],
    ['acknowledged', 'First watch', null, 'acknowledged by First watch'],
    ['shelved', 'page', 'supply swapped', 'shelved on the page: supply swapped'],
    ['shelf-ended', 'clock', null, 'shelf ended by itself'],
    ['reset', 'bath', null, 'reset at the bath'],
    ['taken-out-of-service', 'page', 'no filter', 'taken out of service on the page: no filter'],
    ['suppressed', 'clock', 'The run is over.', 'silent by design: The run is over.'],
  ])('%s by %s is told', (what, who, reason, words) => {
    expect(actWords({ what, who, reason })).toBe(words);
  });
  test('days are headed by their date, today and yesterday by name', () => {
    expect(dayHeading(NIGHT_MS, NIGHT_MS, 'UTC')).toBe('Today, Tue 10 Feb');
    expect(dayHeading(NIGHT_MS - 86_400_000, NIGHT_MS, 'UTC')).toBe('Yesterday, Mon 9 Feb');
    expect(dayHeading(NIGHT_MS - 3 * 86_400_000, NIGHT_MS, 'UTC')).toBe('Sat 7 Feb');
    expect(dayHeading(NIGHT_MS - 365 * 86_400_000, NIGHT_MS, 'UTC')).toBe('Mon 10 Feb 2025');
  });
});

describe('a silence', () => {
  test('says who, until when, why, and that it calls nobody; one full stop ends a reason', () => {
    const shelf = { kind: 'shelved', who: 'page', reason: 'probe swapped.', sinceMs: NIGHT_MS, untilMs: NIGHT_MS + 3_600_000 } as const; // prettier-ignore
    expect(silenceWords(shelf, NIGHT_MS, 'UTC')).toBe(
      'Shelved on the page until 03:04: probe swapped. It calls nobody until then.',
    );
    expect(silenceWords({ kind: 'suppressed-by-design', reason: 'The run is over.' }, NIGHT_MS)).toBe(
      'Silent by design: The run is over.',
    );
  });
  test('no shelf is offered that is longer than twelve hours', () => {
    expect(Math.max(...shelfMinutes)).toBe(12 * 60);
    expect([...shelfMinutes]).toEqual([...shelfMinutes].sort((a, b) => a - b));
  });
});

describe('a night', () => {
  test('runs from noon to noon on the clock of the device, in whole milliseconds, and the newest ends now', () => {
    const at = new Date(2026, 1, 10, 2, 4).getTime() + 0.25;
    const night = nightWindow(at, 0);
    expect(night).toEqual({ fromMs: new Date(2026, 1, 9, 12).getTime(), toMs: Math.floor(at), isOver: false });
    expect(nightWindow(at, 1)).toEqual({
      fromMs: new Date(2026, 1, 8, 12).getTime(),
      toMs: new Date(2026, 1, 9, 12).getTime(),
      isOver: true,
    });
  });
  test('after noon the newest night has begun that day', () => {
    const at = new Date(2026, 1, 10, 12, 1).getTime();
    expect(nightWindow(at, 0).fromMs).toBe(new Date(2026, 1, 10, 12).getTime());
  });
  test('nights follow each other without a gap, also over the hour that a summer takes', () => {
    const at = new Date(2026, 2, 31, 3).getTime();
    for (let back = 1; back < 7; back++) expect(nightWindow(at, back).toMs).toBe(nightWindow(at, back - 1).fromMs);
  });
});

describe('figures of a night', () => {
  const quiet: AlarmFigures = {
    controllerId: 'north-bench',
    fromMs: 0,
    toMs: 1,
    raisedCount: 0,
    raisedPerHour: 0,
    raisedIn10MinutesMax: 0,
    byPriority: { high: 0, medium: 0, low: 0 },
    longestStanding: null,
    chattering: [],
    secondsToAcknowledgeMedian: null,
    secondsToAcknowledgeMax: null,
    unacknowledgedCount: 0,
    silentCount: 0,
    stale: [],
  };
  test('a quiet night takes one line', () => {
    expect(figureLines(quiet)).toEqual([{ term: 'Raised', words: 'none' }]);
  });
  test('eleven within ten minutes are a flood, ten are not (IEC 62682 / ISA-18.2, from memory)', () => {
    const most = (raisedIn10MinutesMax: number): string =>
      figureLines({ ...quiet, raisedCount: 20, raisedIn10MinutesMax }).find((line) => line.term === 'Most in 10 min')!.words; // prettier-ignore
    expect(most(10)).toBe('10');
    expect(most(11)).toMatch(/^11: a flood/);
  });
  test('everything that the night had is told', () => {
    const lines = figureLines({
      ...quiet,
      raisedCount: 3,
      raisedPerHour: 0.25,
      raisedIn10MinutesMax: 3,
      byPriority: { high: 1, medium: 2, low: 0 },
      longestStanding: { alarmId: 1, name: 'held', seconds: 600 },
      chattering: [{ name: 'contact-weak', raisedCount: 3 }],
      secondsToAcknowledgeMedian: 30,
      secondsToAcknowledgeMax: 80,
      unacknowledgedCount: 1,
      silentCount: 2,
      stale: [4],
    }).map(({ term, words }) => plain(`${term}: ${words}`));
    expect(lines).toEqual([
      'Raised: 3 (high 1, medium 2, low 0), 0.3 an hour',
      'While silent: 2, not counted here',
      'Most in 10 min: 3',
      'Longest standing: Held, 10 min',
      'To acknowledge: half within 30 s, the slowest 80 s',
      'Unacknowledged: 1 to this hour',
      'Chattering: Contact is weak: raised 3 times. Its limit or its delay does not fit.',
      'Stale: 1 standing for more than a day: mend the cause, or take it out of service with a reason.',
    ]);
  });
});
