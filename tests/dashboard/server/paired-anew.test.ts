/* A controller that is paired anew, or whose virtual bath is taken away: what is missed is missed all the same, and what is gone rings nobody. */
import { Phase } from '@bathkeeper/shared-core/control';
import { describe, expect, it } from 'vitest';
import { webhookReceiver } from './calling-receivers.js';
import { CONTROLLER, dashboardOnTrial } from './dashboard-on-trial.js';
import { liveMessage, RIG } from './quiet-bath.js';
import { addPerson } from './called-person.js';

describe('a controller that is paired anew', () => {
  it.each([
    ['in its run', Phase.plate, 'high'],
    ['while it stands idle', Phase.idle, 'low'],
  ] as const)('%s and does not come back is missed', async (_when, phase, priority) => {
    const trial = await dashboardOnTrial();
    trial.bath.say('live', liveMessage({ phase }));
    await trial.pass(1);
    // The board still holds its old secret, so it is not let in again.
    await trial.dashboard.pair(CONTROLLER, 'Copper 60 L', false, RIG, 'd1'.repeat(32));
    await trial.pass(20);
    expect(trial.bath.isConnected).toBe(false);
    expect(trial.dashboard.snapshot().alarms).toEqual([
      expect.objectContaining({ name: 'controller-silent', priority, state: 'unacknowledged' }),
    ]);
  });
});

describe('a virtual bath that is taken away', () => {
  it('takes its alarms with it: nobody is called for them any more, and none stands', async () => {
    const trial = await dashboardOnTrial({ isSimulated: true, connect: false });
    const receiver = await webhookReceiver();
    addPerson(trial.dashboard, receiver.address);
    for (const name of ['trip', 'contact-weak'] as const)
      trial.dashboard.alarms.raise(
        { controllerId: CONTROLLER, name, causeAtMs: trial.clock.nowMs(), detail: 'seen' },
        trial.clock.nowMs(),
      );
    await trial.dashboard.settle();
    const { length } = receiver.bodies;
    expect(length).toBeGreaterThan(0);
    trial.dashboard.unpair(CONTROLLER);
    for (let minute = 0; minute < 20; minute++) await trial.pass(60);
    expect(receiver.bodies).toHaveLength(length);
    const { alarms } = trial.dashboard.snapshot();
    expect(alarms.map(({ name, state }) => `${name} ${state}`).sort()).toEqual([
      'contact-weak returned-unacknowledged',
      'trip returned-unacknowledged',
    ]);
    const [newest] = trial.dashboard.alarms.journal({ controllerId: CONTROLLER, count: 1 });
    expect(newest!.reason).toMatch(/taken away/);
  });
});
