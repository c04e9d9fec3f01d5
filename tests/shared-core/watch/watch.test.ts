/* The pure watch: delays, the life of an alarm, current, temperature and silence at their boundaries. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Phase, SupplyKind } from '@bathkeeper/shared-core/control';
import type { AlarmState, LiveView } from '@bathkeeper/shared-core/messages';
import {
  type AlarmAct,
  alarmState,
  alarmStateAfter,
  bathWatch,
  delayedCondition,
  findingsInLive,
  findingsInSilence,
  isCurrentOff,
  judged,
} from '@bathkeeper/shared-core/watch';

describe('an alarm', () => {
  // IEC 62682 and ISA-18.2, state transition diagram, from memory: acknowledging and returning are two independent facts.
  it.each<[AlarmState, AlarmAct, AlarmState | undefined]>([
    ['normal', 'raise', 'unacknowledged'],
    ['normal', 'return', undefined],
    ['normal', 'acknowledge', undefined],
    ['unacknowledged', 'raise', undefined],
    ['unacknowledged', 'return', 'returned-unacknowledged'],
    ['unacknowledged', 'acknowledge', 'acknowledged'],
    ['acknowledged', 'raise', undefined],
    ['acknowledged', 'return', 'normal'],
    ['acknowledged', 'acknowledge', undefined],
    ['returned-unacknowledged', 'raise', 'unacknowledged'],
    ['returned-unacknowledged', 'return', undefined],
    ['returned-unacknowledged', 'acknowledge', 'normal'],
  ])('that is %s is after %s: %s', (state, act, after) => {
    expect(alarmStateAfter(state, act)).toBe(after);
  });

  it('says its state from its times', () => {
    expect(alarmState(null, null)).toBe('unacknowledged');
    expect(alarmState(1, null)).toBe('acknowledged');
    expect(alarmState(null, 1)).toBe('returned-unacknowledged');
    expect(alarmState(1, 1)).toBe('normal');
  });
});

describe('a delayed condition', () => {
  const delays = { onMs: 10_000, offMs: 5_000 };

  it('stands when it was true for its on-delay without a break, with its cause at the first of it', () => {
    const condition = delayedCondition();
    expect(judged(condition, true, 0, delays)).toBeUndefined();
    expect(judged(condition, true, 9_999, delays)).toBeUndefined();
    expect(judged(condition, true, 10_000, delays)).toBe('raised');
    expect(condition.causeAtMs).toBe(0);
  });

  it('begins anew after a break', () => {
    const condition = delayedCondition();
    judged(condition, true, 0, delays);
    judged(condition, false, 9_000, delays);
    judged(condition, true, 9_500, delays);
    expect(judged(condition, true, 19_499, delays)).toBeUndefined();
    expect(judged(condition, true, 19_500, delays)).toBe('raised');
  });

  it('raises and clears by turns, whatever comes', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.boolean(), fc.nat(20_000))), (readings) => {
        const condition = delayedCondition();
        let nowMs = 0;
        const turns: string[] = [];
        for (const [isTrue, ms] of readings) {
          nowMs += ms;
          const turned = judged(condition, isTrue, nowMs, delays);
          if (turned) turns.push(turned);
        }
        turns.forEach((turned, index) => {
          expect(turned).toBe(index % 2 === 0 ? 'raised' : 'cleared');
        });
      }),
    );
  });
});

function live(fields: Partial<LiveView> = {}): LiveView {
  return {
    takenAtMs: 0, phase: Phase.plate, phaseSeconds: 100, liveSeconds: 1000, cathodeCurrentAmps: 19, terminalVolts: 2,
    bathTemperatureCelsius: 24, permittedAmps: 19, chargeAmpereHours: 1, rotationPulsesPerMinute: 6, secondsSinceRotationPulse: 3,
    derateFraction: 1, isContactorClosed: true, conditions: [], permissivesMissing: [],
    supplyKind: SupplyKind.analogue, rampState: 0, loweredToAmps: null, ...fields,
  }; // prettier-ignore
}
const band = { lowestCelsius: 18, highestCelsius: 28 };

/** Plays one reading a second; answers what turned, and when. */
function played(
  seconds: number,
  at: (second: number) => Partial<LiveView>,
  watch = bathWatch(),
  fromSecond = 0,
): string[] {
  const turns: string[] = [];
  for (let second = fromSecond; second < fromSecond + seconds; second++)
    for (const finding of findingsInLive(watch, live(at(second)), band, second * 1000))
      turns.push(
        `${finding.name} ${finding.turned} at ${String(second)} s, cause ${String(finding.causeAtMs / 1000)} s`,
      );
  return turns;
}

describe('the current', () => {
  it.each([
    [4.3, 4, false],
    [4.31, 4, true],
    [3.7, 4, false],
    [3.69, 4, true],
    [19.95, 19, false],
    [19.96, 19, true],
    [0.3, 0, false],
    [0.31, 0, true],
  ])('of %f A at %f A permitted is off its permitted value: %s', (measured, permitted, isOff) => {
    expect(isCurrentOff(measured, permitted)).toBe(isOff);
  });

  it('is not judged while the set-point moved in the last 5 s', () => {
    expect(
      played(60, (second) => ({ permittedAmps: second < 30 ? 10 : 19, cathodeCurrentAmps: second < 34 ? 10 : 19 })),
    ).toEqual([]);
  });

  it('is judged in a slow ramp, and raised 10 s after it left its band', () => {
    const turns = played(60, (second) => ({
      permittedAmps: 10 + second * 0.01,
      cathodeCurrentAmps: second < 20 ? 10 + second * 0.01 : 8,
    }));
    expect(turns).toEqual(['current-off-permitted raised at 30 s, cause 20 s']);
  });

  it('of a bath without current is not judged, and a reading at fault changes nothing', () => {
    expect(
      played(40, () => ({ phase: Phase.done, isContactorClosed: false, permittedAmps: 0, cathodeCurrentAmps: 3 })),
    ).toEqual([]);
    expect(played(40, () => ({ cathodeCurrentAmps: null }))).toEqual([]);
  });
});

describe('the bath temperature', () => {
  it.each([
    ['just inside', 28, []],
    ['above', 28.01, ['bath-temperature-out-of-band raised at 30 s, cause 0 s']],
    ['just inside below', 18, []],
    ['below', 17.99, ['bath-temperature-out-of-band raised at 30 s, cause 0 s']],
  ])('%s its band is judged after 30 s', (_where, celsius, turns) => {
    expect(played(60, () => ({ bathTemperatureCelsius: celsius }))).toEqual(turns);
  });

  it('returns only 1 K inside its band', () => {
    const watch = bathWatch();
    played(31, () => ({ bathTemperatureCelsius: 29 }), watch);
    expect(played(60, () => ({ bathTemperatureCelsius: 27.5 }), watch, 31)).toEqual([]);
    expect(played(31, () => ({ bathTemperatureCelsius: 26.9 }), watch, 91)).toHaveLength(1);
  });
});

describe('silence', () => {
  it.each([
    [true, 1, 15],
    [false, 1, 5],
    [true, 60, 15 + 118],
  ])(
    'with a connection that stands (%s) on a clock %i times as fast is raised after %i s',
    (isOnline, speed, seconds) => {
      const watch = bathWatch();
      const heard = { lastHeardAtMs: 0, isOnline };
      findingsInSilence(watch, heard, 0, speed);
      expect(findingsInSilence(watch, heard, seconds * 1000 - 1, speed)).toEqual([]);
      expect(findingsInSilence(watch, heard, seconds * 1000, speed)).toMatchObject([
        { turned: 'raised', causeAtMs: 0 },
      ]);
      expect(
        findingsInSilence(watch, { lastHeardAtMs: seconds * 1000, isOnline: true }, seconds * 1000, speed),
      ).toMatchObject([{ turned: 'cleared' }]);
    },
  );

  it('of a controller that was never heard is nothing to miss', () => {
    expect(findingsInSilence(bathWatch(), { lastHeardAtMs: null, isOnline: false }, 1e9)).toEqual([]);
  });

  it('counts from when somebody listened', () => {
    const watch = bathWatch();
    const heard = { lastHeardAtMs: 0, isOnline: true };
    expect(findingsInSilence(watch, heard, 600_000)).toEqual([]);
    expect(findingsInSilence(watch, heard, 614_999)).toEqual([]);
    expect(findingsInSilence(watch, heard, 615_000)).toHaveLength(1);
  });
  it.each([
    ['the clock was set forward by three hours', 3 * 3_600_000],
    ['the computer slept', 20_000],
  ])('is not counted while nobody listened: %s', (_why, jumpMs) => {
    const watch = bathWatch();
    const heard = { lastHeardAtMs: 9_500, isOnline: true };
    for (const nowMs of [8_000, 9_000, 10_000]) expect(findingsInSilence(watch, heard, nowMs)).toEqual([]);
    const backMs = 10_000 + jumpMs;
    // The controller's next message is still on its way.
    expect(findingsInSilence(watch, heard, backMs)).toEqual([]);
    for (let later = 1000; later < 15_000; later += 1000)
      expect(findingsInSilence(watch, heard, backMs + later)).toEqual([]);
    expect(findingsInSilence(watch, heard, backMs + 15_000)).toMatchObject([{ turned: 'raised', causeAtMs: 9_500 }]);
  });
  it('goes on standing over a jump of the clock', () => {
    const watch = bathWatch();
    const heard = { lastHeardAtMs: 0, isOnline: true };
    for (let nowMs = -1000; nowMs < 15_000; nowMs += 1000) findingsInSilence(watch, heard, nowMs);
    expect(findingsInSilence(watch, heard, 15_000)).toHaveLength(1);
    expect(findingsInSilence(watch, heard, 3_600_000)).toEqual([]);
    expect(watch.silence.isActive).toBe(true);
  });
});
