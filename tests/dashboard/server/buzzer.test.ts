/*
 * What the buzzer at the bath and the calls know of each other: an acknowledgement reaches the bath, and a bath that says "nobody has
 * acknowledged" rings nobody for what somebody has seen or silenced.
 */
import { Condition, EventKind } from '@bathkeeper/shared-core/control';
import type { AlarmName } from '@bathkeeper/shared-core/messages';
import { describe, expect, it } from 'vitest';
import { CONTROLLER, dashboardOnTrial, type Trial } from './dashboard-on-trial.js';
import { eventRow, liveMessage, outbox } from './quiet-bath.js';

const heard = async (trial: Trial): Promise<void> => {
  trial.bath.say('live', liveMessage());
  await trial.dashboard.settle();
};
const raise = (trial: Trial, name: AlarmName): number =>
  trial.dashboard.alarms.raise(
    { controllerId: CONTROLLER, name, causeAtMs: trial.clock.nowMs(), detail: 'seen' },
    trial.clock.nowMs(),
  )!;
const acknowledge = (trial: Trial, alarmId: number): void => {
  trial.dashboard.silenceBuzzer(trial.dashboard.alarms.acknowledge(alarmId, 'page', trial.clock.nowMs())!);
};
const sent = async (trial: Trial): Promise<number> => {
  await trial.dashboard.settle();
  return trial.bath.commands.length;
};

describe('an acknowledgement', () => {
  it('reaches the bath also when the cause is gone: its buzzer waits for it all the same', async () => {
    const trial = await dashboardOnTrial();
    await heard(trial);
    const alarmId = raise(trial, 'rotation-stalled');
    trial.dashboard.alarms.returnToNormal(CONTROLLER, 'rotation-stalled', trial.clock.nowMs());
    acknowledge(trial, alarmId);
    expect(await sent(trial)).toBe(1);
  });

  it('of what is gone leaves the buzzer on for something else that nobody has seen', async () => {
    const trial = await dashboardOnTrial();
    await heard(trial);
    const gone = raise(trial, 'rotation-stalled');
    trial.dashboard.alarms.returnToNormal(CONTROLLER, 'rotation-stalled', trial.clock.nowMs());
    const stands = raise(trial, 'filter-stopped');
    acknowledge(trial, gone);
    expect(await sent(trial)).toBe(0);
    acknowledge(trial, stands);
    expect(await sent(trial)).toBe(1);
  });

  it('is told when the bath is heard again, where it could not be told at once', async () => {
    const trial = await dashboardOnTrial();
    const alarmId = raise(trial, 'rotation-stalled');
    acknowledge(trial, alarmId);
    expect(await sent(trial)).toBe(0);
    await heard(trial);
    expect(await sent(trial)).toBe(1);
    await heard(trial);
    expect(await sent(trial)).toBe(1);
  });

  it('that could not be told is not told any more once something new is unseen', async () => {
    const trial = await dashboardOnTrial();
    acknowledge(trial, raise(trial, 'rotation-stalled'));
    raise(trial, 'filter-stopped');
    await heard(trial);
    expect(await sent(trial)).toBe(0);
  });
});

describe('a bath that says that nobody has acknowledged', () => {
  let sequence = 0;
  const notAcknowledged = async (trial: Trial) => {
    const row = eventRow({ sequence: ++sequence, kind: EventKind.conditionRaised, code: Condition.notAcknowledged });
    trial.bath.say('outbox', outbox([], [row]));
    await trial.dashboard.settle();
    return trial.dashboard.snapshot().alarms.find((alarm) => alarm.name === 'not-acknowledged')?.priority;
  };

  it('is high while something high is unseen, and where nothing is known of it', async () => {
    const trial = await dashboardOnTrial();
    raise(trial, 'rotation-stalled');
    expect(await notAcknowledged(trial)).toBe('high');
    expect(await notAcknowledged(await dashboardOnTrial())).toBe('high');
  });

  it('is no graver than what is unseen: a filter need not ring outside everybody’s hours by this way', async () => {
    const trial = await dashboardOnTrial();
    raise(trial, 'filter-stopped');
    expect(await notAcknowledged(trial)).toBe('medium');
  });

  it('counts what came and went unseen', async () => {
    const trial = await dashboardOnTrial();
    raise(trial, 'rotation-stalled');
    trial.dashboard.alarms.returnToNormal(CONTROLLER, 'rotation-stalled', trial.clock.nowMs());
    await trial.pass(600);
    expect(await notAcknowledged(trial)).toBe('high');
  });

  it('calls nobody for what somebody has seen', async () => {
    const trial = await dashboardOnTrial();
    acknowledge(trial, raise(trial, 'rotation-stalled'));
    expect(await notAcknowledged(trial)).toBe('low');
  });

  it('calls nobody for what is shelved', async () => {
    const trial = await dashboardOnTrial();
    trial.dashboard.alarms.shelve(
      CONTROLLER,
      'filter-stopped',
      { minutes: 600, reason: 'pump is being repaired' },
      'page',
      trial.clock.nowMs(),
    );
    raise(trial, 'filter-stopped');
    expect(await notAcknowledged(trial)).toBe('low');
  });
});
