/*
 * The link of a call when another call has taken over what it told: it still acknowledges that, tells how much else is open, and leads there. Through the
 * whole dashboard, with real receivers.
 */
import type { AlarmName, CallPayload } from '@bathkeeper/shared-core/messages';
import { describe, expect, it } from 'vitest';
import { acknowledge, alarmOf, contact, raise, tokenOf, trialAt } from './calling-on-trial.js';
import { CONTROLLER, type Trial } from './dashboard-on-trial.js';

/** One more than makes a flood. */
const NAMES: readonly AlarmName[] = [
  'rotation-stalled', 'clip-hot', 'supply-fault', 'contact-weak', 'bath-will-overheat', 'rotation-given-up', 'current-off-permitted',
  'command-refused', 'controller-silent', 'held', 'held-for-long',
]; // prettier-ignore

const look = (trial: Trial, payload: CallPayload | undefined) =>
  trial.dashboard.calling.acknowledging.look(tokenOf(payload), trial.clock.nowMs());

/** Ten calls of one alarm each, and the one of the flood, which lists them all. */
async function flood() {
  const trial = await trialAt();
  const { receiver } = await contact(trial, 'First');
  const ids: number[] = [];
  for (const name of NAMES) {
    ids.push(raise(trial, name));
    await trial.pass(20);
  }
  const [earliest, latest] = [receiver.bodies[0]!, receiver.bodies.at(-1)!];
  expect(earliest.alarm).toBe('rotation-stalled');
  expect(latest.title).toMatch(/, and 10 more$/);
  return { trial, receiver, ids, earliest, latest };
}

describe('the link of an earlier call in a flood', () => {
  it('still tells what its call told, and leads to the call that lists the others', async () => {
    const { trial, earliest, latest } = await flood();
    const told = look(trial, earliest);
    expect(told).toMatchObject({ state: 'open', title: earliest.title });
    expect(told.more).toEqual({
      words: 'A later message tells of 10 more that nobody has acknowledged.',
      token: tokenOf(latest),
    });
  });

  it('acknowledges what its call told and nothing that was only told later', async () => {
    const { trial, ids, earliest, latest } = await flood();
    const done = acknowledge(trial, earliest);
    expect(done).toMatchObject({ state: 'done', more: { token: tokenOf(latest) } });
    expect(done.words).toMatch(/^The alarm is acknowledged/);
    expect(ids.map((id) => alarmOf(trial, id).state)).toEqual(['acknowledged', ...Array<string>(10).fill('unacknowledged')]); // prettier-ignore
    expect(look(trial, latest).title).toMatch(/, and 9 more$/);
  });

  it('leads on when what it told was acknowledged elsewhere, and no more when nothing is open', async () => {
    const { trial, ids, earliest, latest } = await flood();
    trial.dashboard.alarms.acknowledge(ids[0]!, 'page', trial.clock.nowMs());
    expect(look(trial, earliest)).toMatchObject({
      state: 'over',
      title: 'Acknowledged already',
      more: { token: tokenOf(latest) },
    });
    acknowledge(trial, latest);
    expect(look(trial, earliest).more).toBeUndefined();
    expect(ids.every((id) => alarmOf(trial, id).state !== 'unacknowledged')).toBe(true);
  });

  it('that was used tells how much is open, and hands out no other link', async () => {
    const { trial, earliest } = await flood();
    acknowledge(trial, earliest);
    expect(look(trial, earliest)).toMatchObject({ state: 'used' });
    expect(look(trial, earliest).more).toEqual({
      words: 'A later message tells of 10 more that nobody has acknowledged.',
    });
  });

  it('says that what it told is over when its cause is gone for long', async () => {
    const { trial, earliest } = await flood();
    trial.dashboard.alarms.returnToNormal(CONTROLLER, 'rotation-stalled', trial.clock.nowMs());
    await trial.pass(2 * 3600);
    expect(look(trial, earliest)).toMatchObject({ state: 'over', title: 'Returned to normal' });
  });
});
