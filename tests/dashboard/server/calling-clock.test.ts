/* Calls while the clock of the computer is set: their links go on serving, and their words count no minutes that did not pass. */
import { describe, expect, it } from 'vitest';
import { acknowledge, type Called, contact, minutes, raise, tokenOf, trialAt } from './calling-on-trial.js';
import { CONTROLLER } from './dashboard-on-trial.js';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
const tripsOf = ({ receiver }: Called): number => receiver.bodies.filter((body) => body.alarm === 'trip').length;

it('a link that was sent minutes ago serves though the clock was set forward by two days since, and one that was sent two days ago does not', async () => {
  const trial = await trialAt();
  const { receiver } = await contact(trial, 'First');
  raise(trial, 'filter-stopped');
  await trial.dashboard.settle();
  const [old] = receiver.bodies;
  await trial.restart((2 * DAY_MS) / 1000);
  await trial.pass(1);
  const fresh = receiver.bodies.at(-1)!;
  expect(fresh.id).not.toBe(old!.id);
  await trial.restart((2 * DAY_MS) / 1000);
  trial.dashboard.calling.clockSet(2 * DAY_MS);
  const look = (payload: typeof fresh) =>
    trial.dashboard.calling.acknowledging.look(tokenOf(payload), trial.clock.nowMs()).state;
  expect([look(old!), look(fresh)]).toEqual(['expired', 'open']);
  expect(acknowledge(trial, fresh).state).toBe('done');
});

it('a reminder that waits for its receiver while the clock is set tells the minutes that have passed', async () => {
  const trial = await trialAt();
  const { receiver } = await contact(trial, 'First');
  raise(trial, 'trip');
  await trial.dashboard.settle();
  receiver.status = 500;
  await minutes(trial, 5);
  const { length } = receiver.bodies;
  await trial.restart(DAY_MS / 1000);
  trial.dashboard.calling.clockSet(DAY_MS);
  receiver.status = 200;
  await minutes(trial, 1);
  const told = receiver.bodies.slice(length).filter((body) => body.alarm === 'trip');
  expect(told[0]!.message).toMatch(/Nobody has acknowledged for 5 minutes\.$/);
});

describe('an alarm in the very seconds in which the clock is set', () => {
  it('forward is called again after five minutes, and the next person after ten', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const ben = await contact(trial, 'Second');
    await trial.pass(12);
    trial.clock.setBy(3 * HOUR_MS);
    await trial.pass(2);
    raise(trial, 'trip');
    await trial.dashboard.settle();
    expect(tripsOf(anna)).toBe(1);
    await minutes(trial, 5);
    expect([tripsOf(anna), tripsOf(ben)]).toEqual([2, 0]);
    await minutes(trial, 5);
    expect([tripsOf(anna), tripsOf(ben)]).toEqual([3, 1]);
  });

  it('forward, with a reminder that falls into them, goes on at its pace', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    await trial.pass(3);
    raise(trial, 'trip');
    await trial.dashboard.settle();
    await trial.pass(4 * 60 + 58);
    trial.clock.setBy(3 * HOUR_MS);
    await trial.pass(4);
    expect(tripsOf(anna)).toBe(2);
    await minutes(trial, 5);
    expect(tripsOf(anna)).toBe(3);
  });

  it('back wakes nobody whose turn has not come', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const ben = await contact(trial, 'Second');
    await trial.pass(12);
    trial.clock.setBy(-2 * HOUR_MS);
    await trial.pass(2);
    raise(trial, 'trip');
    await trial.dashboard.settle();
    await minutes(trial, 9);
    expect([tripsOf(anna), tripsOf(ben)]).toEqual([2, 0]);
    await minutes(trial, 1);
    expect([tripsOf(anna), tripsOf(ben)]).toEqual([3, 1]);
  });
});

it('a call that nothing has taken yet is told though the clock was set forward since and its cause is gone', async () => {
  const trial = await trialAt();
  const { receiver } = await contact(trial, 'First');
  receiver.status = 500;
  raise(trial, 'filter-stopped');
  await trial.pass(3);
  expect(trial.dashboard.alarms.returnToNormal(CONTROLLER, 'filter-stopped', trial.clock.nowMs())).toBe(true);
  const { length } = receiver.bodies;
  trial.clock.setBy(2 * DAY_MS);
  receiver.status = 200;
  await minutes(trial, 1);
  expect(receiver.bodies.slice(length).map((body) => body.alarm)).toContain('filter-stopped');
});
