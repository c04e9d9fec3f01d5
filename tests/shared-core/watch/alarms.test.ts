/* The pure half of alarms: latching, who may be silent and how long, what the plant suppresses, first-out, bursts, and a night in figures. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Condition, isLive, Phase } from '@bathkeeper/shared-core/control';
import type { AlarmName, AlarmState, JournalAct } from '@bathkeeper/shared-core/messages';
import {
  type AlarmAct,
  alarmFigures,
  alarmState,
  alarmStateAfter,
  type CalledAlarm,
  callPlace,
  canExplain,
  type FigureEntry,
  firstOutOf,
  isNewsInTrip,
  isShelvedAt,
  mayBeShelved,
  outOfServiceFaults,
  shelveFaults,
  suppressedBecause,
} from '@bathkeeper/shared-core/watch';

describe('an alarm that latches', () => {
  // ISA-18.2 / IEC 62682, the latched state, from memory: acknowledged and returned is not normal before the reset.
  it.each<[AlarmState, AlarmAct, AlarmState | undefined]>([
    ['normal', 'raise', 'unacknowledged'],
    ['unacknowledged', 'acknowledge', 'acknowledged'],
    ['unacknowledged', 'reset', undefined],
    ['acknowledged', 'return', 'latched'],
    ['acknowledged', 'reset', undefined],
    ['returned-unacknowledged', 'acknowledge', 'latched'],
    ['returned-unacknowledged', 'raise', 'unacknowledged'],
    ['latched', 'raise', 'unacknowledged'],
    ['latched', 'return', undefined],
    ['latched', 'acknowledge', undefined],
    ['latched', 'reset', 'normal'],
  ])('and is %s is after %s: %s', (state, act, after) => {
    expect(alarmStateAfter(state, act, true)).toBe(after);
  });

  it('says from its times that it is latched, until it was reset', () => {
    expect(alarmState(1, 1, true)).toBe('latched');
    expect(alarmState(1, 1, false)).toBe('normal');
    expect(alarmState(null, 1, true)).toBe('returned-unacknowledged');
    expect(alarmState(1, null, true)).toBe('acknowledged');
  });
});

describe('a silence that a person asks for', () => {
  const mild = { priority: 'medium', latches: false } as const;
  const reason = 'the filter is being cleaned';

  it.each([
    ['high', false, false],
    ['medium', true, false],
    ['medium', false, true],
    ['low', false, true],
  ] as const)('for priority %s that latches (%s) may be had: %s', (priority, latches, may) => {
    expect(mayBeShelved({ priority, latches })).toBe(may);
  });

  // OPC UA Part 9, MaxTimeShelved: a longer time is out of range. Twelve hours are ours.
  it.each([
    [1, true],
    [0.99, false],
    [720, true],
    [720.01, false],
    [-5, false],
    [Number.NaN, false],
    [Number.POSITIVE_INFINITY, false],
  ])('for %d minutes is granted: %s', (minutes, isGranted) => {
    expect(shelveFaults(mild, { reason, minutes }).length === 0).toBe(isGranted);
  });

  it('without a reason, too long and for a trip is refused with all three at once, and says what to do', () => {
    const faults = shelveFaults({ priority: 'high', latches: true }, { reason: '  ', minutes: 780 });
    expect(faults).toHaveLength(3);
    expect(faults.join(' ')).toMatch(/never silent.*reason is missing.*12 hours at most.*got 780.*out of service/s);
  });

  it('takes a reason of 200 characters and not of 201', () => {
    expect(outOfServiceFaults(mild, 'x'.repeat(200))).toEqual([]);
    expect(outOfServiceFaults(mild, 'x'.repeat(201))[0]).toContain('has 201 characters, at most 200');
  });

  it('holds from its beginning to just before its end, and not before a beginning that a clock set back has put ahead', () => {
    const shelf = { sinceMs: 1000, untilMs: 2000 };
    expect([999, 1000, 1999, 2000].map((nowMs) => isShelvedAt(shelf, nowMs))).toEqual([false, true, true, false]);
  });
});

describe('what the state of the plant suppresses', () => {
  it.each([
    ['current-off-permitted', Phase.done, true],
    ['current-off-permitted', Phase.idle, true],
    ['current-off-permitted', Phase.plate, false],
    ['current-off-permitted', Phase.hold, false],
    ['current-off-permitted', Phase.trip, true],
    ['rotation-stalled', Phase.ready, true],
    ['rotation-stalled', Phase.trip, false],
    ['filter-stopped', Phase.done, true],
    ['current-drifting', Phase.hold, true],
    ['temperature-drifting', Phase.hold, false],
    ['bath-temperature-out-of-band', Phase.idle, false],
    ['supply-fault', Phase.idle, false],
  ] as const)('for %s in phase %i: %s', (name, phase, isSuppressed) => {
    expect(suppressedBecause(name, phase) !== undefined).toBe(isSuppressed);
  });

  it('is never what endangers or what trips, in no phase', () => {
    const never = ['trip', 'held', 'held-for-long', 'contactor-contradicts', 'current-does-not-fall', 'controller-silent', 'clip-hot', 'not-acknowledged', 'store-not-writable', 'broker-lost'] as const; // prettier-ignore
    for (const name of never)
      for (const phase of Object.values(Phase)) expect(suppressedBecause(name, phase)).toBeUndefined();
  });

  it('is nothing but slow changes while the contactor is closed', () => {
    const drifting = ['current-drifting', 'cell-resistance-drifting', 'rotation-drifting', 'supply-drifting'];
    for (const phase of Object.values(Phase).filter(isLive))
      for (const name of ['current-off-permitted', 'rotation-stalled', 'contact-weak', 'filter-stopped', ...drifting])
        if (suppressedBecause(name as AlarmName, phase) !== undefined) expect(drifting).toContain(name);
  });
});

describe('first-out', () => {
  const raised = (alarmId: number, name: AlarmName, raisedAtMs: number, causedByAlarmId: number | null = null) => ({
    alarmId,
    name,
    raisedAtMs,
    causedByAlarmId,
  });

  it('is the earliest that can explain, within ten seconds', () => {
    const weak = raised(1, 'contact-weak', 0);
    expect(firstOutOf('current-off-permitted', 10_000, [weak])).toBe(1);
    expect(firstOutOf('current-off-permitted', 10_001, [weak])).toBeUndefined();
    expect(firstOutOf('current-off-permitted', 5_000, [raised(2, 'held', 3_000), weak])).toBe(1);
  });

  it('of what was explained itself is its own first-out', () => {
    const standing = [raised(1, 'contact-weak', 0), raised(2, 'held', 3_000, 1)];
    expect(firstOutOf('anode-passivating', 12_000, standing)).toBe(1);
  });

  it('is nothing that could not bring it about', () => {
    expect(firstOutOf('filter-stopped', 100, [raised(1, 'rotation-stalled', 0)])).toBeUndefined();
    expect(canExplain('held', 'contact-weak')).toBe(false);
  });

  it('explains neither a contactor that does not obey nor current that does not fall', () => {
    for (const cause of ['trip', 'held', 'supply-fault', 'contact-weak', 'clip-hot'] as const) {
      expect(canExplain(cause, 'contactor-contradicts')).toBe(false);
      expect(canExplain(cause, 'current-does-not-fall')).toBe(false);
    }
  });

  it('lets smoke in an acknowledged trip be news, and no emergency stop of whoever came', () => {
    expect([Condition.smoke, Condition.leak, Condition.bathOverheated].every(isNewsInTrip)).toBe(true);
    expect(isNewsInTrip(Condition.emergencyStop)).toBe(false);
    expect(isNewsInTrip(undefined)).toBe(false);
  });
});

describe('the call that an alarm is told in', () => {
  const called = (alarmId: number, fields: Partial<CalledAlarm> = {}): CalledAlarm => ({
    alarmId,
    priority: 'high',
    announcedAtMs: 0,
    calledWithAlarmId: null,
    isFloodCall: false,
    isOpen: true,
    ...fields,
  });
  const medium = { priority: 'medium', causedByAlarmId: undefined } as const;
  const alone = { calledWithAlarmId: undefined, isFloodCall: false };

  it('is its own when nothing else was raised', () => {
    expect(callPlace(medium, [], 1, 0)).toEqual(alone);
  });

  it('is that of what was raised within the same second', () => {
    expect(callPlace(medium, [called(1)], 2, 1000).calledWithAlarmId).toBe(1);
    expect(callPlace(medium, [called(1)], 2, 1001)).toEqual(alone);
  });

  it('is that of what explains it, also later', () => {
    const explained = { priority: 'medium', causedByAlarmId: 1 } as const;
    expect(callPlace(explained, [called(1)], 2, 9000).calledWithAlarmId).toBe(1);
  });

  it('is the one that stands for the other, not the other itself', () => {
    const others = [called(1, { announcedAtMs: -5000 }), called(2, { calledWithAlarmId: 1 })];
    expect(callPlace(medium, others, 3, 500).calledWithAlarmId).toBe(1);
  });

  it.each([
    ['somebody has answered', { isOpen: false }],
    ['wakes nobody', { priority: 'low' }],
  ] as const)('is never one that %s', (_why, fields) => {
    expect(callPlace(medium, [called(1, fields)], 2, 0)).toEqual(alone);
  });

  it('is never a milder one', () => {
    const high = { priority: 'high', causedByAlarmId: 1 } as const;
    expect(callPlace(high, [called(1, { priority: 'medium' })], 2, 0)).toEqual(alone);
  });

  it('of a flood begins with the eleventh in ten minutes, and the next ones join it', () => {
    const ten = Array.from({ length: 10 }, (_, index) => called(index + 1, { announcedAtMs: index * 50_000 }));
    expect(callPlace(medium, ten, 10, 500_000)).toEqual(alone);
    expect(callPlace(medium, ten, 11, 500_000)).toEqual({ calledWithAlarmId: undefined, isFloodCall: true });
    const flood = [...ten, called(11, { announcedAtMs: 500_000, isFloodCall: true })];
    expect(callPlace(medium, flood, 12, 550_000)).toEqual({ calledWithAlarmId: 11, isFloodCall: false });
    const answered = [...ten, called(11, { announcedAtMs: 500_000, isFloodCall: true, isOpen: false })];
    expect(callPlace(medium, answered, 12, 550_000)).toEqual({ calledWithAlarmId: undefined, isFloodCall: true });
  });

  it('always exists: every alarm that calls is told in its own call or in one that still rings and is as grave', () => {
    const rank = { low: 0, medium: 1, high: 2 };
    const anyCalled = fc.record({
      priority: fc.constantFrom('low' as const, 'medium' as const, 'high' as const),
      announcedAtMs: fc.integer({ min: 0, max: 3000 }),
      calledWithAlarmId: fc.constantFrom(null, 1, 2, 3),
      isFloodCall: fc.boolean(),
      isOpen: fc.boolean(),
    });
    const anyAlarm = fc.record({
      priority: fc.constantFrom('medium' as const, 'high' as const),
      causedByAlarmId: fc.constantFrom(undefined, 1, 2, 3),
    });
    fc.assert(
      fc.property(fc.array(anyCalled, { maxLength: 6 }), anyAlarm, fc.nat(20), (fields, alarm, count) => {
        const others = fields.map((one, index) => called(index + 1, one));
        const { calledWithAlarmId, isFloodCall } = callPlace(alarm, others, count, 3000);
        if (calledWithAlarmId === undefined) {
          expect(isFloodCall).toBe(count > 10);
          return;
        }
        const leader = others.find((one) => one.alarmId === calledWithAlarmId)!;
        expect(leader.isOpen && leader.calledWithAlarmId === null).toBe(true);
        expect(rank[leader.priority]).toBeGreaterThanOrEqual(rank[alarm.priority]);
      }),
    );
  });
});

describe('a night in figures', () => {
  const HOUR_MS = 3_600_000;
  const entry = (
    alarmId: number,
    what: JournalAct,
    seconds: number,
    fields: Partial<FigureEntry> = {},
  ): FigureEntry => ({
    alarmId,
    name: 'sensor-fault',
    priority: 'medium',
    atMs: seconds * 1000,
    what,
    isSilent: false,
    ...fields,
  });
  const night = (entries: FigureEntry[], hours = 10) => alarmFigures('north-bench', 0, hours * HOUR_MS, entries);

  it('of a quiet one are nothing', () => {
    expect(night([])).toEqual({
      controllerId: 'north-bench', fromMs: 0, toMs: 10 * HOUR_MS, raisedCount: 0, raisedPerHour: 0, raisedIn10MinutesMax: 0,
      byPriority: { high: 0, medium: 0, low: 0 }, silentCount: 0, longestStanding: null, chattering: [],
      secondsToAcknowledgeMedian: null, secondsToAcknowledgeMax: null, unacknowledgedCount: 0, stale: [],
    }); // prettier-ignore
  });

  it('count what was announced, by hour, by ten minutes and by priority, and what was silent apart', () => {
    const figures = night([
      entry(1, 'raised', 0, { priority: 'high', name: 'trip' }),
      entry(2, 'raised', 599),
      entry(3, 'raised', 600),
      entry(4, 'raised', 7200, { priority: 'low' }),
      entry(5, 'raised', 7300, { isSilent: true }),
    ]);
    expect(figures).toMatchObject({
      raisedCount: 4,
      raisedPerHour: 0.4,
      raisedIn10MinutesMax: 2,
      byPriority: { high: 1, medium: 2, low: 1 },
      silentCount: 1,
    });
  });

  // ISA-18.2, from memory: three times or more within one minute.
  it('call chattering what was raised three times within a minute, and not within a minute and more', () => {
    const chatter = (third: number) => [
      entry(1, 'raised', 100),
      entry(1, 'returned', 105),
      entry(1, 'raised-again', 130),
      entry(1, 'returned', 135),
      entry(1, 'raised-again', third),
    ];
    expect(night(chatter(159)).chattering).toEqual([{ name: 'sensor-fault', raisedCount: 3 }]);
    expect(night(chatter(160)).chattering).toEqual([]);
  });

  it('find the longest standing, to the end of the night where it still stands, from before its beginning where it stood', () => {
    expect(
      night([
        entry(1, 'raised', 0),
        entry(1, 'returned', 500),
        entry(2, 'raised', 35_000),
        entry(3, 'raised', 1, { name: 'held' }),
        entry(3, 'returned', 700),
      ]).longestStanding,
    ).toEqual({ alarmId: 2, name: 'sensor-fault', seconds: 1000 });
    const before = entry(4, 'raised', -3600);
    expect(night([before, entry(4, 'returned', 3600)])).toMatchObject({
      raisedCount: 0,
      longestStanding: { alarmId: 4, seconds: 7200 },
    });
  });

  // ISA-18.2, from memory: standing for more than 24 hours without a break.
  it('call stale what stood for more than a day without a break', () => {
    const stood = (seconds: number) => night([entry(1, 'raised', 0), entry(1, 'returned', seconds)], 48).stale;
    expect(stood(86_400)).toEqual([]);
    expect(stood(86_401)).toEqual([1]);
    expect(
      night([entry(1, 'raised', 0), entry(1, 'returned', 50_000), entry(1, 'raised-again', 50_001)], 28).stale,
    ).toEqual([]);
  });

  it('tell how soon somebody answered, from when it was first raised, and what nobody did', () => {
    const figures = night([
      entry(1, 'raised', 0),
      entry(1, 'returned', 10),
      entry(1, 'raised-again', 20),
      entry(1, 'acknowledged', 60),
      entry(2, 'raised', 100),
      entry(2, 'acknowledged', 120),
      entry(3, 'raised', 200),
      entry(3, 'acknowledged', 500),
      entry(4, 'raised', 1000),
    ]);
    expect(figures).toMatchObject({
      secondsToAcknowledgeMedian: 60,
      secondsToAcknowledgeMax: 300,
      unacknowledgedCount: 1,
    });
    expect(night([entry(1, 'raised', 0), entry(1, 'acknowledged', 20), entry(2, 'raised', 0), entry(2, 'acknowledged', 40)]).secondsToAcknowledgeMedian).toBe(30); // prettier-ignore
  });

  it('leave out what came after the night, and bear a clock that was set back', () => {
    expect(night([entry(1, 'raised', 0), entry(2, 'raised', 36_000)]).raisedCount).toBe(1);
    const back = night([entry(1, 'raised', 100), entry(1, 'acknowledged', 40), entry(2, 'raised', 50)]);
    expect(back).toMatchObject({ raisedCount: 2, raisedIn10MinutesMax: 2, secondsToAcknowledgeMax: 0 });
  });
});
