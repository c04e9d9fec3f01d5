/* Commands and signs of life on their way out: proved, numbered so that none is old, and none without the controller's secret. */
import { createHmac } from 'node:crypto';
import { chmodSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { EventKind } from '@bathkeeper/shared-core/control';
import { createDashboard, manualClock } from '@bathkeeper/dashboard';
import { describe, expect, it } from 'vitest';
import { SECRETS_FILE } from '../../../dashboard/server/settings/controller-secrets.js';
import { CONTROLLER, dashboardOnTrial, EVENING_MS, folderOnTrial, SECRET, type Trial } from './dashboard-on-trial.js';
import { eventRow, liveMessage, outbox, quietBath, RIG } from './quiet-bath.js';

const proof = (text: string): string => createHmac('sha256', Buffer.from(SECRET, 'hex')).update(text).digest('hex');

async function hear(trial: Trial): Promise<void> {
  trial.bath.say('live', liveMessage());
  await trial.dashboard.settle();
}
async function send(trial: Trial, kind: 'stop' | 'hold' | 'acknowledge'): Promise<void> {
  expect(trial.dashboard.desk.send(CONTROLLER, { kind })).toMatchObject({ state: 'sent' });
  await trial.dashboard.settle();
}
const counters = (trial: Trial): number[] => trial.bath.commands.map((command) => command.n as number);

describe('a command', () => {
  it('carries its proof, which is made of its topic and every byte of it', async () => {
    const trial = await dashboardOnTrial();
    await hear(trial);
    await send(trial, 'stop');
    const payload = trial.bath.commandPayloads[0]!;
    expect(payload.slice(0, 64)).toBe(proof(`bathkeeper/1/north-bench/command\n${payload.slice(64)}`));
    expect(JSON.parse(payload.slice(64))).toMatchObject({ v: 1, k: 1, i: 7, b: 1 });
  });

  it('has a counter that follows the time and rises with each, also when the clock is set back or the program restarts', async () => {
    const trial = await dashboardOnTrial();
    await hear(trial);
    await send(trial, 'stop');
    await send(trial, 'hold');
    expect(counters(trial)).toEqual([EVENING_MS, EVENING_MS + 1]);
    await trial.restart(-3600);
    trial.bath = await quietBath(trial.dashboard, CONTROLLER, SECRET);
    await hear(trial);
    await send(trial, 'stop');
    expect(counters(trial)).toEqual([EVENING_MS + 2]);
    await trial.pass(7200);
    await hear(trial);
    await send(trial, 'stop');
    expect(counters(trial)[1]).toBe(trial.clock.nowMs());
  });

  it('is answered in words, "not with this supply" among them', async () => {
    const trial = await dashboardOnTrial();
    await hear(trial);
    const sent = trial.dashboard.desk.send(CONTROLLER, { kind: 'lower', toAmps: 3 });
    const id = typeof sent === 'string' ? 0 : sent.commandId;
    trial.bath.say('outbox', outbox([], [eventRow({ kind: EventKind.commandAnswered, code: 5, a: id, b: 4 })]));
    await trial.dashboard.settle();
    expect(trial.dashboard.snapshot().controllers[0]?.commands[0]).toMatchObject({
      kind: 'lower',
      state: 'refused',
      words: expect.stringContaining('set by hand') as string,
    });
  });
});

describe('a sign of life', () => {
  it('is made for each controller by itself, with its name and the time', async () => {
    const trial = await dashboardOnTrial({ connect: false, keepSigns: true });
    await trial.dashboard.pair('south-bench', 'Copper 120 L', false, RIG, '11'.repeat(32));
    await trial.pass(5);
    expect(trial.signs.map(({ controllerId }) => controllerId)).toEqual([CONTROLLER, 'south-bench']);
    const { text } = trial.signs[0]!;
    expect(text.slice(0, 64)).toBe(proof(`sign-of-life\n${text.slice(64)}`));
    expect(JSON.parse(text.slice(64))).toEqual({ v: 1, d: CONTROLLER, t: EVENING_MS / 1000 + 5 });
    expect(trial.signs[1]!.text.slice(0, 64)).not.toBe(proof(`sign-of-life\n${trial.signs[1]!.text.slice(64)}`));
  });

  it('never tells the same time twice', async () => {
    const trial = await dashboardOnTrial({ connect: false, keepSigns: true });
    await trial.pass(60);
    const times = trial.signs.map(({ text }) => (JSON.parse(text.slice(64)) as { t: number }).t);
    expect(times).toEqual([...new Set(times)].sort((one, other) => one - other));
    expect(times.length).toBe(12);
  });

  it('goes on while the store takes nothing, and never tells the same time twice', async () => {
    const trial = await dashboardOnTrial({ connect: false, keepSigns: true });
    await trial.pass(10);
    trial.dashboard.store.database.pragma('query_only = ON');
    await trial.pass(60);
    trial.dashboard.store.database.pragma('query_only = OFF');
    await trial.pass(10);
    const times = trial.signs.map(({ text }) => (JSON.parse(text.slice(64)) as { t: number }).t);
    expect(times).toHaveLength(16);
    expect(new Set(times).size).toBe(16);
    const last = times.at(-1)!;
    await trial.restart(-86_400);
    await trial.pass(5);
    expect((JSON.parse(trial.signs.at(-1)!.text.slice(64)) as { t: number }).t, 'kept again').toBe(last + 1);
  });

  it('goes on above the last time that was told when it is started with a clock that is behind', async () => {
    const trial = await dashboardOnTrial({ connect: false, keepSigns: true });
    const timeOfLast = (): number => (JSON.parse(trial.signs.at(-1)!.text.slice(64)) as { t: number }).t;
    await trial.pass(60);
    const last = timeOfLast();
    // A computer without a clock chip wakes in yesterday.
    await trial.restart(-86_400);
    await trial.pass(5);
    expect(timeOfLast()).toBe(last + 1);
    await trial.restart(2 * 86_400);
    await trial.pass(5);
    expect(timeOfLast()).toBe(Math.floor(trial.clock.nowMs() / 1000));
  });
});

describe('the secrets', () => {
  it('outlive a restart, in a file that only the owner reads, and are made so again when it was opened to others', async () => {
    const trial = await dashboardOnTrial({ connect: false });
    const file = join(trial.folder, SECRETS_FILE);
    expect(statSync(file).mode & 0o777).toBe(0o600);
    chmodSync(file, 0o644);
    await trial.restart();
    expect(statSync(file).mode & 0o777).toBe(0o600);
    expect(trial.dashboard.snapshot().controllers[0]?.mustBePairedAgain).toBe(false);
  });

  it('of a controller that an older version paired are missing: it is heard, takes no command, and says why', async () => {
    const trial = await dashboardOnTrial({ keepSigns: true });
    rmSync(join(trial.folder, SECRETS_FILE));
    await trial.restart();
    trial.bath = await quietBath(trial.dashboard, CONTROLLER, SECRET);
    await hear(trial);
    expect(trial.dashboard.snapshot().controllers[0]).toMatchObject({ mustBePairedAgain: true, isOnline: true });
    expect(trial.dashboard.desk.send(CONTROLLER, { kind: 'stop' })).toContain('must be paired again');
    await trial.pass(10);
    expect(trial.signs).toEqual([]);
    expect(trial.bath.commandPayloads).toEqual([]);
  });

  it.each(['not json', '{"north-bench":"short"}', '[]'])('that read %j are set aside and told', async (text) => {
    const trial = await dashboardOnTrial({ connect: false });
    const file = join(trial.folder, SECRETS_FILE);
    writeFileSync(file, text);
    await trial.restart();
    const { notices, controllers } = trial.dashboard.snapshot();
    expect(notices[0]).toContain('must be paired again');
    expect(controllers[0]?.mustBePairedAgain).toBe(true);
    expect(readFileSync(`${file}.damaged`, 'utf8')).toBe(text);
  });
});

describe('a data folder', () => {
  it('has one dashboard at a time', async () => {
    const folder = folderOnTrial();
    const clock = manualClock(EVENING_MS);
    const first = await createDashboard({ clock, dataFolder: folder });
    await expect(createDashboard({ clock, dataFolder: folder })).rejects.toThrow(/Another Bathkeeper is running on/);
    await first.close();
    const second = await createDashboard({ clock, dataFolder: folder });
    await second.close();
  });
});
