/*
 * From a drift to an alarm in words, on the dashboard's own store and list: what calls and what is only shown, what is kept over a restart, and what is done
 * when nothing can be written. The live messages are those of the drift watch's own tests.
 */
import { Phase } from '@bathkeeper/shared-core/control';
import type { DriftFinding } from '@bathkeeper/shared-core/watch';
import { describe, expect, it } from 'vitest';
import { type DriftShelf, driftShelf, openDriftWatch } from '../../../dashboard/server/watch/drift-watch.js';
import { causeWords, driftWords } from '../../../dashboard/server/watch/drift-words.js';
import { plan, Plating, type Second } from '../../watch/plating.js';
import { CONTROLLER, dashboardOnTrial, rowsOf, type Trial } from './dashboard-on-trial.js';

const MINUTES = 60;
const LESS: Second = { amps: 19.5, volts: 2.94 };

/** Plays live messages into a drift watch on the trial's store, which ticks each second as the watchman's does. */
function watched(trial: Trial, shelf: DriftShelf = driftShelf(trial.dashboard.store)) {
  const messages = new Plating();
  const watch = openDriftWatch(shelf, trial.dashboard.alarms);
  const play = (seconds: number, second: Second = {}): void => {
    for (let count = 0; count < seconds; count++) {
      messages.seconds++;
      watch.live(CONTROLLER, messages.live(second), plan, messages.nowMs);
      watch.tick(messages.nowMs);
    }
  };
  return { messages, play };
}
const alarmsOf = (trial: Trial): string[] =>
  trial.dashboard.alarms.views(trial.clock.nowMs()).map(({ name, priority, state }) => `${name} ${priority} ${state}`);

describe('a drift', () => {
  it('of 2.5 % of the current becomes an alarm that calls, in words, and returns with what it was judged by', async () => {
    const trial = await dashboardOnTrial({ connect: false });
    const { play } = watched(trial);
    play(20 * MINUTES);
    expect(alarmsOf(trial)).toEqual([]);
    play(10 * MINUTES, LESS);
    expect(alarmsOf(trial)[0]).toBe('current-drifting medium unacknowledged');
    const alarm = trial.dashboard.alarms.views(trial.clock.nowMs())[0]!;
    expect(alarm.detail).toMatch(
      /^The current falls: 19\.\d\d A, (20\.00|19\.99|20\.01) A before \(−\d\.\d %\), since about \d\d:\d\d\. Likely: the supply itself gives something else; or /,
    );
    expect(alarm.checkFirst).toContain("supply's own ammeter");
    play(1, { phase: Phase.done, isContactorClosed: false });
    expect(alarmsOf(trial).every((words) => words.endsWith('returned-unacknowledged'))).toBe(true);
  });

  it('of less than a hundredth is shown and calls nobody', async () => {
    const trial = await dashboardOnTrial({ connect: false });
    const { play } = watched(trial);
    play(20 * MINUTES);
    play(15 * MINUTES, { amps: 19.83, volts: 2.98 });
    expect(alarmsOf(trial)).toEqual(['current-drifting low unacknowledged']);
  });

  it('that stood before a restart is neither forgotten nor told anew, and its end is told', async () => {
    const trial = await dashboardOnTrial({ connect: false });
    const before = watched(trial);
    before.play(20 * MINUTES);
    before.play(10 * MINUTES, LESS);
    const count = trial.dashboard.alarms.views(trial.clock.nowMs()).length;
    await trial.restart(600);
    const after = watched(trial);
    after.messages.seconds = before.messages.seconds + 600;
    after.play(10 * MINUTES, LESS);
    expect(trial.dashboard.alarms.views(trial.clock.nowMs())).toHaveLength(count);
    expect(alarmsOf(trial)).toContain('current-drifting medium unacknowledged');
    after.play(15 * MINUTES);
    expect(alarmsOf(trial)).toContain('current-drifting medium returned-unacknowledged');
  });

  it('that stood when what was learnt is lost goes on standing until the set-point is another', async () => {
    const trial = await dashboardOnTrial({ connect: false });
    const before = watched(trial);
    before.play(20 * MINUTES);
    before.play(10 * MINUTES, LESS);
    trial.dashboard.store.database.exec('DELETE FROM drift_states');
    const after = watched(trial);
    after.messages.seconds = before.messages.seconds + 60;
    after.play(10 * MINUTES);
    expect(alarmsOf(trial)).toContain('current-drifting medium unacknowledged');
    after.play(1, { permittedAmps: 10, amps: 10 });
    expect(alarmsOf(trial)).toContain('current-drifting medium returned-unacknowledged');
  });

  it('that cannot be written is found again once it can', async () => {
    const trial = await dashboardOnTrial({ connect: false });
    const shelf = driftShelf(trial.dashboard.store);
    let isFull = false;
    const { play } = watched(trial, {
      ...shelf,
      together: (work) => {
        if (isFull) throw new Error('disk full');
        return shelf.together(work);
      },
    });
    play(20 * MINUTES);
    isFull = true;
    expect(() => {
      play(10 * MINUTES, { ...LESS, celsius: 24 });
    }).toThrow('disk full');
    expect(alarmsOf(trial)).toEqual([]);
    isFull = false;
    // It has to learn anew, and finds the next change.
    play(15 * MINUTES, LESS);
    play(10 * MINUTES, { amps: 19, volts: 2.88 });
    expect(alarmsOf(trial)).toContain('current-drifting medium unacknowledged');
  });

  it('is learnt from what is kept once a minute, in one row a controller', async () => {
    const trial = await dashboardOnTrial({ connect: false });
    const { play, messages } = watched(trial);
    play(59);
    expect(rowsOf(trial.dashboard, 'SELECT * FROM drift_states')).toHaveLength(0);
    play(10 * MINUTES);
    const rows = rowsOf(trial.dashboard, 'SELECT controller_id, kept_at_ms FROM drift_states');
    expect(rows).toHaveLength(1);
    expect(messages.nowMs - Number(rows[0]!.kept_at_ms)).toBeLessThan(61_000);
  });
});

describe('a drift in words', () => {
  const finding: DriftFinding = {
    ...{ name: 'temperature-drifting', turned: 'raised', severity: 'tonight', direction: 'up', now: 28.2, before: 27 },
    sinceMs: 12 * 60_000,
    limit: { value: 30, atMs: 40 * 60_000 },
    causes: ['heater-sticks', 'room-or-current-heat'],
  };
  const atThree = (atMs: number): string => `03:${String(atMs / 60_000).padStart(2, '0')}`;

  it('says what changed, since when, how much, when the limit is reached, and the causes in order', () => {
    expect(driftWords(finding, atThree)).toEqual({
      because: '30.0 °C about 03:40',
      detail:
        'The bath warms: 28.2 °C, 27.0 °C before, since about 03:12. It will reach 30.0 °C about 03:40. ' +
        'Likely: a heater that sticks on; or the current and the room warm the bath.',
      checkFirst:
        'Unplug the heater, with dry hands. Then check with a second thermometer. Then: Cool the room, or ease the current from the page. Check with a second thermometer.',
    });
  });

  it('says of evaporation what resistance cannot tell', () => {
    const { detail } = driftWords(
      { ...finding, name: 'liquid-evaporating', direction: 'down', now: 0.14, before: 0.15, limit: null, causes: ['water-evaporated'] }, // prettier-ignore
      atThree,
    );
    expect(detail).toContain('140.00 mΩ, 150.00 mΩ before (−6.7 %)');
    expect(detail).toContain('the level mark decides');
  });

  it('has words for every cause', () => {
    for (const { cause, check } of Object.values(causeWords)) {
      expect(cause).toMatch(/^[a-z]/);
      expect(check).toMatch(/^[A-Z].*\.$/);
    }
  });
});
