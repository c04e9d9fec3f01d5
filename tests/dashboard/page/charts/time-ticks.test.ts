/* Marks of an axis of time by the clocks of a zone, against the days on which clocks change by law. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { timeTicks } from '../../../../dashboard/page/charts/time-ticks.js';
import { aheadMs, momentOf } from '../../../../dashboard/page/words/zone.js';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const BERLIN = 'Europe/Berlin';
/** EU Directive 2000/84/EC: clocks change at 01:00 UTC on the last Sunday of March and of October. */
const SPRING = Date.UTC(2026, 2, 29, 1);
const AUTUMN = Date.UTC(2026, 9, 25, 1);

const words = (from: number, length: number, width: number, zone: string): string[] =>
  timeTicks({ from, to: from + length }, width, zone).map((tick) => tick.words);

describe('a zone', () => {
  test('is ahead by one hour in winter and two in summer', () => {
    expect(aheadMs(SPRING - 1000, BERLIN)).toBe(HOUR);
    expect(aheadMs(SPRING, BERLIN)).toBe(2 * HOUR);
    expect(aheadMs(AUTUMN - 1000, BERLIN)).toBe(2 * HOUR);
    expect(aheadMs(AUTUMN, BERLIN)).toBe(HOUR);
    expect(aheadMs(0, 'Asia/Kolkata')).toBe(5.5 * HOUR);
  });
  test('tells the moment of a time that clocks show once, twice, and never', () => {
    expect(momentOf(Date.UTC(2026, 2, 29, 12), BERLIN)).toBe(Date.UTC(2026, 2, 29, 10));
    expect(momentOf(Date.UTC(2026, 9, 25, 2, 30), BERLIN)).toBe(Date.UTC(2026, 9, 25, 0, 30));
    expect(momentOf(Date.UTC(2026, 2, 29, 2, 30), BERLIN)).toBe(SPRING);
    expect(momentOf(Date.UTC(2026, 3, 5, 2), 'Australia/Sydney')).toBe(Date.UTC(2026, 3, 4, 15));
  });
});

describe('marks', () => {
  test('stand at whole hours of a night in which the clock is set on, with none at the hour that is left out', () => {
    expect(words(SPRING - 3 * HOUR, 6 * HOUR, 500, BERLIN)).toEqual(['23:00', '29 Mar', '01:00', '03:00', '04:00', '05:00', '06:00']); // prettier-ignore
  });
  test('stand twice at the hour that clocks show twice', () => {
    expect(words(AUTUMN - 2 * HOUR, 4 * HOUR, 300, BERLIN)).toEqual(['01:00', '02:00', '02:00', '03:00', '04:00']);
  });
  test('stay at 06:00, noon and midnight across a change of the clock', () => {
    expect(words(SPRING - 13 * HOUR, 30 * HOUR, 400, BERLIN)).toEqual(['18:00', '29 Mar', '06:00', '12:00', '18:00']);
  });
  test('name days at midnight, Mondays, months and years', () => {
    expect(words(Date.UTC(2026, 10, 23), 3 * DAY, 250, 'UTC')).toEqual(['23 Nov', '24 Nov', '25 Nov', '26 Nov']);
    expect(words(Date.UTC(2026, 10, 1), 30 * DAY, 400, 'UTC')).toEqual(['2 Nov', '9 Nov', '16 Nov', '23 Nov', '30 Nov']); // prettier-ignore
    expect(words(Date.UTC(2025, 10, 15), 100 * DAY, 300, 'UTC')).toEqual(['Dec', '2026', 'Feb']);
    expect(words(Date.UTC(2020, 5, 1), 366 * 6 * DAY, 250, 'UTC')).toEqual(['2022', '2024', '2026']);
  });
  test('go down to the second', () => {
    expect(words(Date.UTC(2026, 10, 23, 3, 10, 58), 5000, 200, 'UTC')).toEqual(['03:10:58', '03:11:00', '03:11:02']);
  });
  test('stand in half-hour zones by what their clocks show', () => {
    expect(words(Date.UTC(2026, 0, 5, 12), 3 * HOUR, 300, 'Asia/Kolkata')).toEqual(['18:00', '19:00', '20:00']);
  });
  test('are in order, within the view, and never more than have room', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 4e12 }),
        fc.integer({ min: 4, max: 11 }).chain((digits) => fc.integer({ min: 10 ** digits, max: 10 ** (digits + 1) })),
        fc.integer({ min: 100, max: 1600 }),
        fc.constantFrom(BERLIN, 'UTC', 'Asia/Kolkata', 'America/St_Johns'),
        (from, length, width, zone) => {
          const ticks = timeTicks({ from, to: from + length }, width, zone);
          expect(ticks.length).toBeLessThanOrEqual(Math.max(2, Math.floor(width / 62)) + 2);
          for (const [index, { atMs }] of ticks.entries()) {
            expect(atMs).toBeGreaterThanOrEqual(from);
            expect(atMs).toBeLessThanOrEqual(from + length);
            if (index > 0) expect(atMs).toBeGreaterThan(ticks[index - 1]!.atMs);
          }
        },
      ),
    );
  });
});
