/* Calls while the clock of the computer is set: their links go on serving, and their words count no minutes that did not pass. */
import { expect, it } from 'vitest';
import { acknowledge, contact, minutes, raise, tokenOf, trialAt } from './calling-on-trial.js';

const DAY_MS = 86_400_000;

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
