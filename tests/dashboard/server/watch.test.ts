/* From what a controller says, or does not say, to an alarm: through broker, ingest and store, on a clock moved by hand. */
import { Condition, EventKind, Phase } from '@bathkeeper/shared-core/control';
import { describe, expect, it } from 'vitest';
import { CONTROLLER, dashboardOnTrial, SECRET, rowsOf, type Trial } from './dashboard-on-trial.js';
import { eventRow, liveMessage, outbox, quietBath, recordRow } from './quiet-bath.js';

type LiveFields = Parameters<typeof liveMessage>[0];

/** One live message a second, as the controller sends them. */
async function liveFor(trial: Trial, seconds: number, fields: LiveFields = {}): Promise<void> {
  for (let second = 0; second < seconds; second++) {
    trial.bath.say('live', liveMessage(fields));
    await trial.dashboard.settle();
    await trial.pass(1);
  }
}
async function tell(trial: Trial, ...events: Parameters<typeof eventRow>[0][]): Promise<void> {
  trial.bath.say('outbox', outbox([], events.map(eventRow)));
  await trial.dashboard.settle();
}
const names = (trial: Trial): string[] =>
  trial.dashboard.snapshot().alarms.map(({ name, state }) => `${name} ${state}`);

describe('the watch', () => {
  it('raises a stopped rotation from the event, with its cause at the last pulse, and returns it when pulses come', async () => {
    const trial = await dashboardOnTrial();
    trial.bath.say('live', liveMessage());
    await trial.dashboard.settle();
    const raised = {
      kind: EventKind.conditionRaised,
      code: Condition.rotationStopped,
      uptime: 100_000,
      a: 20_000,
      b: 20_000,
    };
    await tell(trial, { sequence: 1, ...raised });
    const alarm = trial.dashboard.snapshot().alarms[0]!;
    expect(alarm).toMatchObject({ name: 'rotation-stalled', priority: 'high', state: 'unacknowledged' });
    expect(alarm.detail).toBe('no rotation pulse for 20 s, limit 20 s');
    expect(alarm.raisedAtMs - alarm.causeAtMs).toBe(20_000);
    await tell(trial, {
      sequence: 2,
      kind: EventKind.conditionCleared,
      code: Condition.rotationStopped,
      uptime: 100_100,
      a: 30,
    });
    expect(names(trial)).toEqual(['rotation-stalled returned-unacknowledged']);
  });

  it('returns a stopped rotation on the word of a live message when the event of its end was lost', async () => {
    const trial = await dashboardOnTrial();
    await tell(trial, {
      sequence: 1,
      kind: EventKind.conditionRaised,
      code: Condition.rotationStopped,
      uptime: 100_000,
      a: 20_000,
    });
    await liveFor(trial, 1, { conditions: 1 << (Condition.rotationStopped - 1) });
    expect(names(trial)).toEqual(['rotation-stalled unacknowledged']);
    await liveFor(trial, 1);
    expect(names(trial)).toEqual(['rotation-stalled returned-unacknowledged']);
  });

  it('raises one alarm for a trip, names its cause, and returns it when the phase is left', async () => {
    const trial = await dashboardOnTrial();
    await tell(
      trial,
      { sequence: 1, kind: EventKind.conditionRaised, code: Condition.emergencyStop, uptime: 100_000 },
      { sequence: 2, kind: EventKind.phaseEntered, code: Phase.trip, a: Phase.plate, uptime: 100_000 },
    );
    expect(names(trial)).toEqual(['trip unacknowledged']);
    expect(trial.dashboard.snapshot().alarms[0]?.title).toContain('emergency stop');
    await tell(trial, { sequence: 3, kind: EventKind.phaseEntered, code: Phase.ready, a: Phase.trip, uptime: 100_200 });
    expect(names(trial)).toEqual(['trip returned-unacknowledged']);
  });

  describe('of a controller that comes back idle from a run', () => {
    const started = { sequence: 1, kind: EventKind.runStarted, code: 0, a: 1, b: 1, uptime: 10_000 };
    const idle = { phase: Phase.idle, permitted: 0, current: 0 };

    it('calls after a minute in which no end was told, and is done when there is a run again', async () => {
      const trial = await dashboardOnTrial();
      await tell(trial, started);
      await liveFor(trial, 3);
      await liveFor(trial, 60, idle);
      expect(names(trial)).toEqual([]);
      await liveFor(trial, 1, idle);
      expect(names(trial)).toEqual(['run-forgotten unacknowledged']);
      expect(trial.dashboard.snapshot().alarms[0]).toMatchObject({ priority: 'high' });
      await liveFor(trial, 1, { phase: Phase.ready, permitted: 0, current: 0 });
      expect(names(trial)).toEqual(['run-forgotten returned-unacknowledged']);
    });

    it('is content with an end that comes within the minute', async () => {
      const trial = await dashboardOnTrial();
      await tell(trial, started);
      await liveFor(trial, 3);
      await liveFor(trial, 30, idle);
      await tell(trial, { sequence: 2, kind: EventKind.runEnded, code: 0, a: 1, uptime: 10_300 });
      await liveFor(trial, 60, idle);
      expect(names(trial)).toEqual([]);
    });

    it('and says nothing of one that was stopped or tripped in between, which knows its run', async () => {
      const trial = await dashboardOnTrial();
      await tell(trial, started);
      await liveFor(trial, 3);
      await liveFor(trial, 1, { phase: Phase.done, permitted: 0, current: 0 });
      await liveFor(trial, 70, idle);
      expect(names(trial)).toEqual([]);
    });
  });

  it.each([
    [Phase.trip, 'trip'],
    [Phase.hold, 'held'],
  ] as const)('takes a live message in phase %i at its word when no event told of it', async (phase, name) => {
    const trial = await dashboardOnTrial();
    await liveFor(trial, 1, { phase, phaseSeconds: 4, permitted: 360, current: 360 });
    expect(names(trial)).toEqual([]);
    await liveFor(trial, 1, { phase, phaseSeconds: 5, permitted: 360, current: 360 });
    expect(names(trial)).toEqual([`${name} unacknowledged`]);
  });

  it('raises a current that is 0.96 A off its permitted 19 A after 10 s, and not one that is 0.95 A off', async () => {
    const trial = await dashboardOnTrial();
    await liveFor(trial, 30, { current: 1805 });
    expect(names(trial)).toEqual([]);
    await liveFor(trial, 10, { current: 1804 });
    expect(names(trial)).toEqual([]);
    await liveFor(trial, 1, { current: 1804 });
    expect(names(trial)).toEqual(['current-off-permitted unacknowledged']);
    await liveFor(trial, 11);
    expect(names(trial)).toEqual(['current-off-permitted returned-unacknowledged']);
  });

  it('raises silence 15 s after the last word, with its cause there, and returns it with the next', async () => {
    const trial = await dashboardOnTrial();
    await liveFor(trial, 5);
    const lastWordMs = trial.clock.nowMs() - 1000;
    await trial.pass(13);
    expect(names(trial)).toEqual([]);
    await trial.pass(1);
    expect(names(trial)).toEqual(['controller-silent unacknowledged']);
    expect(trial.dashboard.snapshot().alarms[0]).toMatchObject({ causeAtMs: lastWordMs, priority: 'high' });
    expect(trial.dashboard.snapshot().controllers[0]?.isOnline).toBe(false);
    await liveFor(trial, 1);
    expect(names(trial)).toEqual(['controller-silent returned-unacknowledged']);
  });

  it('raises silence 5 s after a connection that is gone (last will), and not when the controller is back at once', async () => {
    const trial = await dashboardOnTrial();
    await liveFor(trial, 2);
    await trial.bath.leave();
    await trial.pass(3);
    trial.bath = await quietBath(trial.dashboard, CONTROLLER, SECRET);
    await liveFor(trial, 10);
    expect(names(trial)).toEqual([]);
    await trial.bath.leave();
    await trial.pass(5);
    expect(names(trial)).toEqual(['controller-silent unacknowledged']);
    expect(trial.dashboard.snapshot().alarms[0]?.detail).toContain('the broker says that its connection is gone');
  });

  it('wakes nobody when a bath that stands idle is switched off', async () => {
    const trial = await dashboardOnTrial();
    await liveFor(trial, 2, { phase: Phase.idle, contactorClosed: 0, permitted: 0, current: 0 });
    await trial.pass(20);
    expect(trial.dashboard.snapshot().alarms[0]).toMatchObject({
      name: 'controller-silent',
      priority: 'low',
      notification: 'none',
    });
  });

  it('misses a controller in mid-run that fell silent while the dashboard was down', async () => {
    const trial = await dashboardOnTrial();
    trial.bath.say('outbox', outbox([recordRow({ first: 1, uptime: 100_000 })]));
    await trial.dashboard.settle();
    await trial.restart(600);
    await trial.pass(14);
    expect(names(trial)).toEqual([]);
    await trial.pass(2);
    expect(names(trial)).toEqual(['controller-silent unacknowledged']);
    expect(trial.dashboard.snapshot().alarms[0]?.priority).toBe('high');
  });

  it('goes on with an alarm that stood before a restart, without raising it anew', async () => {
    const trial = await dashboardOnTrial();
    await liveFor(trial, 2);
    await trial.pass(20);
    await trial.restart();
    trial.bath = await quietBath(trial.dashboard, CONTROLLER, SECRET);
    expect(names(trial)).toEqual(['controller-silent unacknowledged']);
    await liveFor(trial, 2);
    expect(names(trial)).toEqual(['controller-silent returned-unacknowledged']);
  });

  it('keeps events and their alarms together: none is stored without the other', async () => {
    const trial = await dashboardOnTrial();
    const { database } = trial.dashboard.store;
    database.exec(`CREATE TRIGGER full BEFORE INSERT ON alarms BEGIN SELECT RAISE(ABORT, 'disk full'); END`);
    const event = { sequence: 1, kind: EventKind.conditionRaised, code: Condition.emergencyStop, uptime: 100_000 };
    await tell(trial, event);
    expect(trial.bath.acks).toEqual([]);
    expect(rowsOf(trial.dashboard, 'SELECT * FROM events')).toEqual([]);
    database.exec('DROP TRIGGER full');
    await tell(trial, event);
    expect(trial.bath.acks.at(-1)?.e).toBe(1);
    expect(names(trial)).toEqual(['trip unacknowledged']);
  });

  it('takes an alarm that comes back within ten minutes for the same one, and a later one for a new one', async () => {
    const trial = await dashboardOnTrial();
    const raise = { kind: EventKind.conditionRaised, code: Condition.probeFault, uptime: 100_000 };
    const clear = { kind: EventKind.conditionCleared, code: Condition.probeFault, uptime: 100_000 };
    await tell(trial, { sequence: 1, ...raise }, { sequence: 2, ...clear });
    await trial.pass(599);
    await tell(trial, { sequence: 3, ...raise }, { sequence: 4, ...clear });
    expect(names(trial)).toHaveLength(1);
    await trial.pass(601);
    await tell(trial, { sequence: 5, ...raise });
    expect(names(trial)).toEqual(['sensor-fault unacknowledged', 'sensor-fault returned-unacknowledged']);
    expect(rowsOf(trial.dashboard, 'SELECT alarm_id, state, who FROM alarm_transitions WHERE alarm_id = 1')).toEqual([
      { alarm_id: 1, state: 'unacknowledged', who: 'bath' },
      { alarm_id: 1, state: 'returned-unacknowledged', who: 'bath' },
      { alarm_id: 1, state: 'unacknowledged', who: 'bath' },
      { alarm_id: 1, state: 'returned-unacknowledged', who: 'bath' },
    ]);
  });

  it('closes an acknowledged alarm when its cause goes, and keeps who acknowledged it', async () => {
    const trial = await dashboardOnTrial();
    await tell(trial, { sequence: 1, kind: EventKind.conditionRaised, code: Condition.probeFault, uptime: 100_000 });
    const { alarmId } = trial.dashboard.snapshot().alarms[0]!;
    expect(trial.dashboard.alarms.acknowledge(alarmId, 'page', trial.clock.nowMs())?.state).toBe('acknowledged');
    await liveFor(trial, 1);
    expect(trial.dashboard.snapshot().alarms[0]).toMatchObject({ state: 'normal', acknowledgedBy: 'page' });
  });

  it('goes on with a run that was stopped short of its charge when it is continued at the bath', async () => {
    const trial = await dashboardOnTrial();
    trial.dashboard.book.saveRecipe(
      CONTROLLER,
      { recipeId: 1, chargeAmpereHours: 100, averageThicknessMicrometres: 200, depositMassGrams: 118 } as never,
      [],
      0,
    );
    await tell(
      trial,
      { sequence: 1, kind: EventKind.runStarted, a: 1, b: 1, uptime: 100_000 },
      { sequence: 2, kind: EventKind.runEnded, code: 0, a: 3600, b: 100, uptime: 100_100 },
    );
    expect(trial.dashboard.snapshot().controllers[0]?.run).toMatchObject({
      endedBecause: 'a stop was asked',
      chargeAmpereHours: 1,
      averageThicknessMicrometres: 2,
    });
    await tell(trial, { sequence: 3, kind: EventKind.interruption, a: 60, uptime: 100_700 });
    expect(trial.dashboard.snapshot().controllers[0]?.run?.endedAtMs).toBeNull();
  });
});

describe('what a controller does not believe', () => {
  const refused = { kind: EventKind.commandRefused, code: 1, a: 0, b: 3 };

  it('is an alarm with its reason and number, which returns when ten minutes brought no more', async () => {
    const trial = await dashboardOnTrial();
    await tell(trial, { sequence: 1, ...refused });
    expect(trial.dashboard.snapshot().alarms[0]).toMatchObject({
      name: 'command-refused',
      detail: '3 messages refused: not made with the secret of this controller',
    });
    await liveFor(trial, 300);
    await tell(trial, { sequence: 2, ...refused, code: 2, b: 1 });
    await liveFor(trial, 590);
    expect(names(trial)).toContain('command-refused unacknowledged');
    await liveFor(trial, 15);
    expect(names(trial)).toContain('command-refused returned-unacknowledged');
  });

  it('still returns when the dashboard was restarted meanwhile', async () => {
    const trial = await dashboardOnTrial();
    await tell(trial, { sequence: 1, ...refused });
    await trial.restart();
    trial.bath = await quietBath(trial.dashboard, CONTROLLER, SECRET);
    await liveFor(trial, 590);
    expect(names(trial)).toContain('command-refused unacknowledged');
    await liveFor(trial, 15);
    expect(names(trial)).toContain('command-refused returned-unacknowledged');
  });
});

describe('conditions above 32', () => {
  it('stand in the live message beside the others, with what the controller says of supply, ramp and ceiling', async () => {
    const trial = await dashboardOnTrial();
    const high = (1 << (Condition.filterStopped - 33)) | (1 << (Condition.rampWaiting - 33));
    const fields = {
      conditions: 1 << 6,
      conditionsHigh: high,
      supplyKind: 2,
      rampState: 1,
      lowered: 420,
      phase: Phase.polarity,
    };
    trial.bath.say('live', liveMessage(fields));
    await trial.dashboard.settle();
    expect(trial.dashboard.snapshot().controllers[0]?.live).toMatchObject({
      phase: Phase.polarity,
      conditions: [Condition.bathWarm, Condition.filterStopped, Condition.rampWaiting],
      supplyKind: 2,
      rampState: 1,
      loweredToAmps: 4.2,
    });
  });

  it('of firmware that knows none are none', async () => {
    const trial = await dashboardOnTrial();
    const fields = { conditionsHigh: undefined, supplyKind: undefined, rampState: undefined };
    trial.bath.say('live', liveMessage(fields));
    await trial.dashboard.settle();
    expect(trial.dashboard.snapshot().controllers[0]?.live).toMatchObject({
      conditions: [],
      supplyKind: 1,
      rampState: 0,
      loweredToAmps: null,
    });
  });

  it('that trip raise the trip with their own words', async () => {
    const trial = await dashboardOnTrial();
    await tell(
      trial,
      { sequence: 1, kind: EventKind.conditionRaised, code: Condition.leak, uptime: 100_000 },
      { sequence: 2, kind: EventKind.phaseEntered, code: Phase.trip, a: Phase.plate, uptime: 100_000 },
    );
    const trips = trial.dashboard.snapshot().alarms.filter(({ name }) => name === 'trip');
    expect(trips).toHaveLength(1);
    expect(trips[0]?.priority).toBe('high');
  });

  it('raise their alarm from the live message when no event told, and return it when none of its conditions stands', async () => {
    const trial = await dashboardOnTrial();
    const conditionsHigh = 1 << (Condition.filterStopped - 33);
    await liveFor(trial, 7, { conditionsHigh });
    expect(names(trial)).toEqual(['filter-stopped unacknowledged']);
    await liveFor(trial, 2);
    expect(names(trial)).toEqual(['filter-stopped returned-unacknowledged']);
  });
});
