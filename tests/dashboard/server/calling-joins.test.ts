/*
 * What joins a call that has rung: it is told at once, but no sooner than five minutes after the last ringing, however slow the pace; and a pace
 * that is changed counts from then on. Through the whole dashboard, with real receivers.
 */
import type { AlarmName } from '@bathkeeper/shared-core/messages';
import { describe, expect, it } from 'vitest';
import { acknowledge, alarmOf, type Called, contact, minutes, raise, tokenOf, trialAt } from './calling-on-trial.js';
import { CONTROLLER, type Trial } from './dashboard-on-trial.js';

function paceOf(trial: Trial, againAfterMinutes: number, nextPersonAfterMinutes = 240): void {
  trial.dashboard.calling.settings.setEscalation({ againAfterMinutes, nextPersonAfterMinutes });
}
const titles = ({ receiver }: Called): string[] => receiver.bodies.map((body) => body.title);
/** Raises what is called with `leader`. */
async function join(trial: Trial, name: AlarmName, leader: number): Promise<number> {
  const alarmId = raise(trial, name);
  await trial.dashboard.settle();
  expect(alarmOf(trial, alarmId).calledWithAlarmId).toBe(leader);
  return alarmId;
}

/** Eleven within ten minutes, the last of which begins the call of the flood, which has rung 20 s ago: 220 s after the first. */
async function flood(trial: Trial): Promise<number> {
  const names: readonly AlarmName[] = [
    'rotation-stalled', 'clip-hot', 'supply-fault', 'contact-weak', 'bath-will-overheat', 'rotation-given-up', 'current-off-permitted',
    'command-refused', 'controller-silent', 'held', 'held-for-long',
  ]; // prettier-ignore
  let newest = 0;
  for (const name of names) {
    await trial.pass(20);
    newest = raise(trial, name, { priority: 'high' });
    await trial.dashboard.settle();
  }
  await trial.pass(20);
  return newest;
}

describe('what joins a call that rings again only in hours', () => {
  it('is told with everything else that joined, five minutes after it rang', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    paceOf(trial, 240);
    const leader = await flood(trial);
    const before = anna.receiver.bodies.length;
    const joined = [await join(trial, 'filter-stopped', leader)];
    await minutes(trial, 2);
    joined.push(await join(trial, 'agitation-stopped', leader));
    await minutes(trial, 2);
    expect(anna.receiver.bodies).toHaveLength(before);
    await minutes(trial, 1);
    expect(anna.receiver.bodies).toHaveLength(before + 1);
    expect(titles(anna).at(-1)).toMatch(/, and 12 more$/);
    acknowledge(trial, anna.receiver.bodies.at(-1));
    expect(joined.map((alarmId) => alarmOf(trial, alarmId).state)).toEqual(['acknowledged', 'acknowledged']);
    await minutes(trial, 300);
    expect(anna.receiver.bodies).toHaveLength(before + 1);
  });

  it('is told at once where it last rang longer ago', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    paceOf(trial, 240);
    const leader = await flood(trial);
    await minutes(trial, 6);
    const before = anna.receiver.bodies.length;
    await join(trial, 'filter-stopped', leader);
    expect(anna.receiver.bodies).toHaveLength(before + 1);
    expect(titles(anna).at(-1)).toMatch(/, and 11 more$/);
    // The pace stays what it was: four hours after the call began.
    await minutes(trial, 233);
    expect(anna.receiver.bodies).toHaveLength(before + 1);
    await minutes(trial, 1);
    expect(anna.receiver.bodies).toHaveLength(before + 2);
  });

  it('is told though what the call was for is acknowledged before', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    paceOf(trial, 240);
    const leader = await flood(trial);
    const joined = await join(trial, 'filter-stopped', leader);
    const done = acknowledge(trial, anna.receiver.bodies.at(-1));
    expect(done.more).toEqual({ words: 'A later message tells of 1 more that nobody has acknowledged.' });
    const before = anna.receiver.bodies.length;
    await minutes(trial, 5);
    expect(anna.receiver.bodies.slice(before).map((body) => body.alarm)).toEqual(['filter-stopped']);
    acknowledge(trial, anna.receiver.bodies.at(-1));
    expect(alarmOf(trial, joined).state).toBe('acknowledged');
  });

  it('leads from the page behind the earlier link to the message that tells it', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    paceOf(trial, 240);
    const leader = await flood(trial);
    const rung = anna.receiver.bodies.at(-1);
    await join(trial, 'filter-stopped', leader);
    await minutes(trial, 5);
    const { acknowledging } = trial.dashboard.calling;
    expect(acknowledging.look(tokenOf(rung), trial.clock.nowMs()).more).toEqual({
      words: 'A later message tells of 1 more that nobody has acknowledged.',
      token: tokenOf(anna.receiver.bodies.at(-1)),
    });
  });

  it('is told to everybody who was rung, also when the round is the next person’s first', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const ben = await contact(trial, 'Second');
    paceOf(trial, 240, 8);
    const leader = await flood(trial);
    await minutes(trial, 4);
    await join(trial, 'filter-stopped', leader);
    await minutes(trial, 2);
    await join(trial, 'agitation-stopped', leader);
    await minutes(trial, 2);
    expect([titles(anna).at(-1), titles(ben).at(-1)].map((title) => title!.split(', ')[1])).toEqual(['and 12 more', 'and 12 more']); // prettier-ignore
  });
});

describe('what joins a call within seconds of its first ringing', () => {
  it('is told with all the others of the burst ten seconds after that, and what comes later five minutes after this', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const ben = await contact(trial, 'Second');
    paceOf(trial, 240);
    const leader = raise(trial, 'clip-hot', { priority: 'high' });
    await trial.dashboard.settle();
    expect(titles(anna)).toHaveLength(1);
    await trial.pass(0.4);
    await join(trial, 'supply-fault', leader);
    await trial.pass(0.4);
    const last = await join(trial, 'rotation-stalled', leader);
    await trial.pass(9);
    expect(titles(anna)).toHaveLength(1);
    await trial.pass(1);
    expect(titles(anna).slice(1)).toEqual([expect.stringMatching(/, and 2 more$/)]);
    expect(titles(ben)).toEqual([]);
    // Who acknowledged the first from a locked phone has the others to acknowledge.
    acknowledge(trial, anna.receiver.bodies[0]);
    expect(alarmOf(trial, last).state).toBe('unacknowledged');
    acknowledge(trial, anna.receiver.bodies[1]);
    expect(alarmOf(trial, last).state).toBe('acknowledged');
    await minutes(trial, 300);
    expect(titles(anna)).toHaveLength(2);
  });

  it('is told also where the first was acknowledged before', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const leader = raise(trial, 'clip-hot', { priority: 'high' });
    await trial.dashboard.settle();
    await join(trial, 'supply-fault', leader);
    acknowledge(trial, anna.receiver.bodies[0]);
    await trial.pass(10);
    expect(anna.receiver.bodies.slice(1).map((body) => body.alarm)).toEqual(['supply-fault']);
  });
});

it('what joined and is over again before it could be told is told all the same, once', async () => {
  const trial = await trialAt();
  const anna = await contact(trial, 'First');
  const leader = raise(trial, 'clip-hot', { priority: 'high' });
  await trial.dashboard.settle();
  await join(trial, 'supply-fault', leader);
  for (const name of ['clip-hot', 'supply-fault'] as const) trial.dashboard.alarms.returnToNormal(CONTROLLER, name, trial.clock.nowMs()); // prettier-ignore
  await trial.pass(10);
  expect(titles(anna).slice(1)).toEqual([expect.stringMatching(/, and 1 more$/)]);
  await minutes(trial, 60);
  expect(titles(anna)).toHaveLength(2);
});

it('a flood that ends in a trip is called by the trip, whatever came before it', async () => {
  const trial = await trialAt();
  const anna = await contact(trial, 'First');
  const names: readonly AlarmName[] = [
    'rotation-slow', 'filter-stopped', 'agitation-stopped', 'sensor-fault', 'start-takes-long', 'anode-passivating', 'contact-weak',
    'supply-fault', 'clip-hot', 'memory-fault',
  ]; // prettier-ignore
  for (const name of names) {
    raise(trial, name, { priority: 'medium' });
    await trial.pass(20);
  }
  raise(trial, 'trip');
  await trial.dashboard.settle();
  const last = anna.receiver.bodies.at(-1)!;
  expect([last.title, last.alarm]).toEqual([expect.stringMatching(/^Copper 60 L: Tripped.*, and 10 more$/), 'trip']);
  acknowledge(trial, last);
  expect(trial.dashboard.snapshot().alarms.filter((alarm) => alarm.acknowledgedAtMs === null)).toEqual([]);
  const { length } = anna.receiver.bodies;
  await minutes(trial, 20);
  expect(anna.receiver.bodies, 'nobody is rung for what was acknowledged with it').toHaveLength(length);
});

describe('a silent network', () => {
  it('is told whole within five minutes, however slow the pace', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    paceOf(trial, 240);
    for (let bath = 0; bath < 3; bath++) raise(trial, 'controller-silent', { controllerId: `bath-${String(bath)}` });
    await trial.dashboard.settle();
    await trial.pass(20);
    raise(trial, 'controller-silent', { controllerId: 'bath-3' });
    await trial.dashboard.settle();
    expect(anna.receiver.bodies).toHaveLength(3);
    await minutes(trial, 5);
    expect(titles(anna).slice(3)).toEqual([expect.stringMatching(/, and 1 more$/)]);
  });
});

describe('a pace that is changed while it rings', () => {
  it('counts at once when it is quicker', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    const ben = await contact(trial, 'Second');
    paceOf(trial, 240);
    raise(trial, 'trip');
    await trial.dashboard.settle();
    await minutes(trial, 20);
    expect([anna.receiver.bodies.length, ben.receiver.bodies.length]).toEqual([1, 0]);
    paceOf(trial, 5, 30);
    await trial.dashboard.settle();
    expect([anna.receiver.bodies.length, ben.receiver.bodies.length]).toEqual([2, 0]);
    await minutes(trial, 10);
    expect([anna.receiver.bodies.length, ben.receiver.bodies.length]).toEqual([4, 1]);
  });

  it('counts at once when it is slower, and rings nobody for the change', async () => {
    const trial = await trialAt();
    const anna = await contact(trial, 'First');
    raise(trial, 'trip');
    await trial.dashboard.settle();
    await minutes(trial, 7);
    expect(anna.receiver.bodies).toHaveLength(2);
    paceOf(trial, 60);
    await minutes(trial, 52);
    expect(anna.receiver.bodies).toHaveLength(2);
    await minutes(trial, 1);
    expect(anna.receiver.bodies).toHaveLength(3);
  });
});
