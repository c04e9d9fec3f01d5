/* Alarms: which comes first, and the story of one. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { AlarmView } from '@bathkeeper/shared-core/messages';
import {
  alarmStory,
  groupedByCause,
  inOrderOfCare,
  isActive,
  isStanding,
  notificationWords,
  stateWords,
  wantsAcknowledging,
} from '../../../dashboard/page/words/alarm-story.js';
import { earlierWarm, NIGHT_MS, stalled } from '../../browser/canned-night.js';

describe('alarms', () => {
  test('the story is told in the order in which it happened', () => {
    const lines = alarmStory(earlierWarm, NIGHT_MS, [], 'UTC').map((line) =>
      `${line.at} ${line.what}`.replaceAll('\u00a0', ' '),
    );
    expect(lines).toEqual([
      '00:04:00 the cause began at the bath',
      '00:04:10 the alarm was raised, 10 s later',
      '00:04:11 the phone was called',
      '00:05:00 returned to normal',
      '00:07:20 acknowledged on the page',
    ]);
  });
  test('what did not happen is not told', () => {
    const lines = alarmStory({ ...stalled, notifiedAtMs: null }, NIGHT_MS, [], 'UTC');
    expect(lines).toHaveLength(2);
  });
  test('what wants a person comes first, then the graver, then the newer', () => {
    const of = (change: Partial<AlarmView>): AlarmView => ({ ...stalled, ...change });
    const order = inOrderOfCare([
      of({ alarmId: 1, state: 'acknowledged' }),
      of({ alarmId: 2, state: 'unacknowledged', priority: 'low' }),
      of({ alarmId: 3, state: 'unacknowledged', priority: 'high', raisedAtMs: 1 }),
      of({ alarmId: 4, state: 'unacknowledged', priority: 'high', raisedAtMs: 2 }),
      of({ alarmId: 5, state: 'returned-unacknowledged' }),
    ]);
    expect(order.map((a) => a.alarmId)).toEqual([4, 3, 2, 5, 1]);
  });
  test('ordering loses no alarm', () => {
    const states = ['unacknowledged', 'acknowledged', 'returned-unacknowledged', 'normal'] as const;
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...states)), (chosen) => {
        const alarms = chosen.map((state, alarmId) => ({ ...stalled, alarmId, state }));
        return new Set(inOrderOfCare(alarms).map((a) => a.alarmId)).size === chosen.length;
      }),
    );
  });
  test('acknowledging and returning are two facts', () => {
    expect([isActive(stalled), wantsAcknowledging(stalled)]).toEqual([true, true]);
    const returned = { ...stalled, state: 'returned-unacknowledged' } as const;
    expect([isActive(returned), wantsAcknowledging(returned)]).toEqual([false, true]);
  });
  test.each(['none', 'waiting', 'nobody', 'delivered', 'failing'] as const)(
    'a call that is %s has words',
    (notification) => {
      expect(notificationWords({ ...stalled, notification })).toMatch(/^[A-Z].*\.$/);
    },
  );
  test('a call that never came through is not said to be tried again when somebody has acknowledged', () => {
    const words = notificationWords({ ...stalled, notification: 'failing', acknowledgedAtMs: stalled.raisedAtMs + 1 });
    expect(words).toBe('The phone could not be reached before somebody acknowledged it.');
  });
  test('with the journal, each change is told once, with who and why', () => {
    const entry = { controllerId: 'north-bench', name: earlierWarm.name, alarmId: earlierWarm.alarmId } as const;
    const lines = alarmStory(
      earlierWarm,
      NIGHT_MS,
      [
        {
          ...entry,
          entryId: 3,
          atMs: earlierWarm.acknowledgedAtMs!,
          what: 'acknowledged',
          state: 'normal',
          who: 'First watch',
          reason: null,
        },
        {
          ...entry,
          entryId: 2,
          atMs: earlierWarm.returnedAtMs!,
          what: 'returned',
          state: 'returned-unacknowledged',
          who: 'bath',
          reason: null,
        },
        {
          ...entry,
          entryId: 1,
          atMs: earlierWarm.raisedAtMs,
          what: 'raised',
          state: 'unacknowledged',
          who: 'bath',
          reason: null,
        },
        {
          ...entry,
          alarmId: 77,
          entryId: 4,
          atMs: NIGHT_MS,
          what: 'raised',
          state: 'unacknowledged',
          who: 'bath',
          reason: null,
        },
      ],
      'UTC',
    ).map((line) => `${line.at} ${line.what}`.replaceAll('\u00a0', ' '));
    expect(lines).toEqual([
      '00:04:00 the cause began at the bath',
      '00:04:10 the alarm was raised, 10 s later',
      '00:04:11 the phone was called',
      '00:05:00 returned to normal',
      '00:07:20 acknowledged by First watch',
    ]);
  });
  test('grouping by cause loses no alarm and shows none twice, whatever points where', () => {
    fc.assert(
      fc.property(
        fc.array(fc.option(fc.integer({ min: 0, max: 9 }), { nil: undefined }), { maxLength: 10 }),
        (causes) => {
          const alarms = causes.map((causedByAlarmId, alarmId) => ({
            ...stalled,
            alarmId,
            ...(causedByAlarmId === undefined ? {} : { causedByAlarmId }),
          }));
          const shown = groupedByCause(alarms).flatMap((group) => [group.alarm, ...group.cameWithIt]);
          expect(shown.map((alarm) => alarm.alarmId).sort()).toEqual(alarms.map((alarm) => alarm.alarmId).sort());
        },
      ),
    );
  });
  test('a trip stays in sight until it is reset at the bath, and says so in each of its states', () => {
    for (const state of ['unacknowledged', 'acknowledged', 'returned-unacknowledged', 'latched'] as const) {
      const trip = { ...stalled, state, isLatched: true };
      expect(isStanding(trip)).toBe(true);
      expect(stateWords(trip)).toContain('latched until it is reset at the bath');
    }
    expect(stateWords({ ...stalled, state: 'normal' })).not.toContain('latched');
  });
});
