/* What stands on a run sheet, in both unit systems: figures that say how sure they are, and what happened in its order with who acknowledged. */
import { describe, expect, it, test } from 'vitest';
import {
  type RunRecord,
  runSheet,
  runSpan,
  type UnitSystem,
  weighedDeposit,
  weighingsOf,
} from '@bathkeeper/shared-core/trade';
import { weighing } from '../../../browser/canned-entries.js';
import { aRecord, ENDED_MS, STARTED_MS } from './a-record.js';

const HOUR = 3_600_000;

const wordsOf = (label: string, units: UnitSystem = 'metric', change: Partial<RunRecord> = {}): string | undefined =>
  runSheet(aRecord(change), units, 'UTC')
    .groups.flatMap(({ rows }) => rows)
    .find((row) => row.label === label)
    ?.words.replaceAll('\u00a0', ' ');

describe('the figures of a run sheet', () => {
  test.each([
    ['Charge', '154.2 Ah of 154.2 Ah asked'],
    // 154.2 Ah × 1.18549 g/Ah × 100 % (computed from the SI)
    ['Deposit, by Faraday’s law', /^183 g/],
    ['Average thickness, by Faraday’s law', /^170 µm/],
    ['Current', '17.9 A on average, 0.1 to 21.2 A'],
    ['Bath', '24.1 °C on average, 21.6 to 25.3 °C'],
    ['Energy at the terminals', '0.301 kWh'],
    ['Without current', '80 s in 1 interruption'],
    ['Current, against a meter', 'Wed 31 Dec 2025, up to 28.3 A'],
  ])('%s', (label, expected) => {
    expect(wordsOf(label)).toMatch(expected);
  });

  test.each([
    ['Deposit, by Faraday’s law', /^6.45 oz/],
    ['Average thickness, by Faraday’s law', /^6.69 mil/],
    ['Bath', /^75.4 °F on average, 70.9 to 77.5 °F$/],
    ['Area', '1.292 ft²'],
    ['Temperature, against a thermometer', '-0.54 °F difference'],
  ])('%s in imperial units', (label, expected) => {
    const calibration = [{ step: 5, atMs: 0, a: -300 }];
    expect(wordsOf(label, 'imperial', { calibration })).toMatch(expected);
  });

  it('say what is not known', () => {
    const unknown = { recipe: null, deposit: null, calibration: [] };
    expect(wordsOf('Recipe', 'metric', unknown)).toBe('not known to this dashboard');
    expect(wordsOf('Calibration', 'metric', unknown)).toBe('none was told to this dashboard');
    expect(runSheet(aRecord(unknown), 'metric', 'UTC').title).toBe('Run 3');
    const restarted = [{ fromMs: null, untilMs: 1, seconds: null, adhesion: '' }];
    expect(wordsOf('Without current', 'metric', { interruptions: restarted })).toBe('at least 0 s in 1 interruption');
  });
});

describe('the balance on a run sheet', () => {
  const both = [weighing('before', 812, 1), weighing('after', 989.6, 5)];
  const weighed = (after: number) => {
    const entries = [both[0]!, weighing('after', after, 5)];
    return {
      entries,
      weighed: weighedDeposit(weighingsOf(entries)!, { recipe: aRecord().recipe, chargeAmpereHours: 154.2 }),
    };
  };
  test.each([
    ['Weight before', '812 g, right within 0.1 g, by Robin'],
    ['Weight after', '989.6 g, right within 0.1 g, by Robin'],
    ['Deposit, by the balance', '177.6 g (177.4 to 177.8 g)'],
    // 177.6 g of 182.8 g: 154.2 Ah × 1.18549 g/Ah (computed from the SI)
    ['Cathode efficiency', /^97.2 % \(/],
    // 177.6 g over 12 dm² at 8.96 g/cm³ (handbook density, from memory); 165.0 to 165.4 are the same in so many digits.
    ['Average thickness, by the balance', /^165 µm$/],
    ['Doubtful', undefined],
  ])('%s', (label, expected) => {
    const words = wordsOf(label, 'metric', weighed(989.6));
    if (expected === undefined) expect(words).toBeUndefined();
    else expect(words).toMatch(expected);
  });

  it('stands alone where only one was weighed, and asks where Faraday’s law forbids it', () => {
    expect(wordsOf('Weight before', 'imperial', { entries: [both[0]!] })).toMatch(
      /^28.6425 oz, right within 0.0035 oz/,
    );
    // 812 g are 28.642 46… oz: a digit more would be the noise of the change of units.
    const coarse = {
      ...both[0]!,
      body: { kind: 'weighing', when: 'before', grams: 812.0156, uncertaintyGrams: 1 },
    } as const;
    expect(wordsOf('Weight before', 'metric', { entries: [coarse] })).toMatch(/^812 g, right within 1 g/);
    expect(wordsOf('Weight before', 'imperial', { entries: [coarse] })).toMatch(/^28.643 oz, right within 0.035 oz/);
    expect(wordsOf('Weight after', 'metric', { entries: [both[0]!] })).toBeUndefined();
    expect(wordsOf('Doubtful', 'metric', weighed(1212))).toContain('cannot have come from');
  });
});

describe('the head of a run sheet', () => {
  it('names bath, controller, run, time and end, and says SIMULATED where it was', () => {
    const { title, whose, when } = runSheet(aRecord({ isSimulated: true }), 'metric', 'UTC');
    expect(title).toBe('Fluted bell lampshade');
    expect(whose).toBe('SIMULATED. Run 3 in Copper 60 L (north-bench).');
    expect(when.replaceAll('\u00a0', ' ')).toBe(
      'Mon 9 Feb 2026, 22:04 to Tue 06:40, 8 h 36 min. It ended because the charge was reached.',
    );
  });

  it('takes the time zone that it is told', () => {
    expect(runSheet(aRecord(), 'metric', 'America/New_York').when).toContain('Mon 9 Feb 2026, 17:04 to Tue 01:40');
  });

  it.each([
    ['Europe/Berlin', 8 * HOUR, 'Mon 9 Feb 2026, 23:04 to Tue 07:04'],
    ['Asia/Tokyo', 8 * HOUR, 'Tue 10 Feb 2026, 07:04 to 15:04'],
    ['UTC', 24 * HOUR, 'Mon 9 Feb 2026, 22:04 to Tue 10 Feb 2026, 22:04'],
    ['UTC', 7 * 24 * HOUR, 'Mon 9 Feb 2026, 22:04 to Mon 16 Feb 2026, 22:04'],
  ])('names the day of the end where it is another one, in %s after %d ms', (zone, lastedMs, expected) => {
    const began = Date.UTC(2026, 1, 9, 22, 4);
    expect(runSpan(began, began + lastedMs, zone)).toBe(expected);
  });
});

describe('a time far from the run', () => {
  it('is told with its day and year, where a weekday would be any', () => {
    const [, stalledStory] = aRecord().alarms;
    const late = { ...stalledStory!.alarm, acknowledgedAtMs: ENDED_MS + 40 * 86_400_000 };
    const lines = runSheet(aRecord({ alarms: [{ alarm: late, journal: [] }], happened: [{ atMs: STARTED_MS - 3 * 86_400_000, words: 'x.' }] }), 'metric', 'UTC').story; // prettier-ignore
    expect(lines[0]).toMatchObject({ at: 'Fri 22:04', words: 'Fri 6 Feb 2026: x.' });
    expect(lines.find(({ kind }) => kind === 'alarm')!.words).toContain('Acknowledged on the page Sun 22 Mar 2026, 06:40; gone Tue 02:05.');
  }); // prettier-ignore
});

describe('what happened', () => {
  const story = runSheet(aRecord(), 'imperial', 'UTC').story;
  it('is told in its order, with phases, interruption, alarms and the end', () => {
    expect(story.map(({ at }) => at)).toEqual([...story].sort((a, b) => a.atMs - b.atMs).map(({ at }) => at));
    expect(story.map(({ at, words }) => `${at} ${words.replaceAll('\u00a0', ' ')}`)).toEqual([
      'Mon 22:04 Strike, for 10 min.',
      'Mon 22:14 Ramp, for 30 min.',
      'Mon 22:44 Plate, for 6 h 56 min.',
      expect.stringMatching(
        /^Mon 23:04 Current is not what it should be: .*\. Acknowledged by Robin Tue 00:07; gone Tue 00:05\.$/,
      ),
      expect.stringMatching(
        /^Tue 01:04 Without current for 80 s, until Tue 01:05\. Long enough that new copper may not adhere/,
      ),
      expect.stringMatching(
        /^Tue 02:03 Rotation stopped: No pulse for 23 s.*Acknowledged on the page Tue 02:05; gone Tue 02:05\.$/,
      ),
      'Tue 03:04 The current was lowered from afar to 12 A.',
      'Tue 05:40 Finish, for 60 min.',
      'Tue 06:40 The run ended.',
    ]);
  });

  it.each([
    ['רובין', 'Acknowledged by \u2068רובין\u2069 Tue 02:05'],
    ['Kim (web-push)', 'Acknowledged by Kim (web-push) Tue 02:05'],
    [null, 'Acknowledged on the page Tue 02:05'],
  ])('tells who acknowledged: %s', (acknowledgedBy, words) => {
    const [, stalledStory] = aRecord().alarms;
    const alarm = { ...stalledStory!.alarm, acknowledgedBy };
    const lines = runSheet(aRecord({ alarms: [{ alarm, journal: [] }] }), 'metric', 'UTC').story;
    expect(lines.find(({ kind }) => kind === 'alarm')!.words).toContain(words);
  });

  it('marks what wanted care', () => {
    expect(story.filter(({ weight }) => weight === 'care')).toHaveLength(3);
  });
});
