/*
 * The parts of the house watch by themselves: clock, disk, calls without a store, the outward heartbeat against real receivers that hang and
 * fail, and what this computer says of its nights, from examples of its programs' answers (typed from their documentation and from memory).
 */
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { manualClock } from '@bathkeeper/dashboard';
import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { openCallsWithoutStore } from '../../../dashboard/server/house/calls-without-store.js';
import { clockTurn } from '../../../dashboard/server/house/computer-clock.js';
import { computerEvidence } from '../../../dashboard/server/house/computer-evidence.js';
import type { ComputerQuestions } from '../../../dashboard/server/house/computer-questions.js';
import { bytesWords, diskLimitBytes, diskSpace, isNearlyFull } from '../../../dashboard/server/house/disk-space.js';
import { durationWords } from '../../../dashboard/server/house/durations.js';
import { HEARTBEAT_FILE, openHeartbeat } from '../../../dashboard/server/house/heartbeat.js';
import { postToWebhook } from '../../../dashboard/server/notify/webhook-post.js';
import { EVENING_MS, folderOnTrial } from './dashboard-on-trial.js';

const SECOND = 1000;
const MINUTE = 60 * SECOND;
const HOUR = 60 * MINUTE;

describe('the clock of this computer', () => {
  const before = { wallMs: EVENING_MS, steadyMs: 5000, upMs: 90_000 };
  const later = (wall: number, steady: number, up: number) =>
    clockTurn(
      before,
      { wallMs: before.wallMs + wall, steadyMs: before.steadyMs + steady, upMs: before.upMs + up },
      10 * SECOND,
    );

  it.each([
    ['runs on', 10 * SECOND, 10 * SECOND, 10 * SECOND, 0, 0],
    ['is set forward', 3 * HOUR, 10 * SECOND, 10 * SECOND, 0, 3 * HOUR - 10 * SECOND],
    ['is set back', -HOUR, 10 * SECOND, 10 * SECOND, 0, -HOUR - 10 * SECOND],
    ['sleeps, and its steady count sleeps too (Linux)', 8 * HOUR, 10 * SECOND, 8 * HOUR, 8 * HOUR - 10 * SECOND, 0],
    ['sleeps, and both counts go on (Windows)', 8 * HOUR, 8 * HOUR, 8 * HOUR, 8 * HOUR - 10 * SECOND, 0],
    ['has no time for its program', 5 * MINUTE, 5 * MINUTE, 5 * MINUTE, 5 * MINUTE - 10 * SECOND, 0],
    ['sleeps and is set forward', 9 * HOUR, 10 * SECOND, 8 * HOUR, 8 * HOUR - 10 * SECOND, HOUR],
    ['is corrected by a minute exactly', 70 * SECOND, 10 * SECOND, 10 * SECOND, 0, 0],
    ['is corrected by more than a minute', 71 * SECOND, 10 * SECOND, 10 * SECOND, 0, 61 * SECOND],
    ['is late by a minute exactly', 70 * SECOND, 70 * SECOND, 70 * SECOND, 0, 0],
  ])('%s', (_what, wall, steady, up, stoodStillMs, setByMs) => {
    expect(later(wall, steady, up)).toEqual({ stoodStillMs, setByMs });
  });

  it('never takes sleep for a clock that was set, nor the other way round', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 10 * HOUR }),
        fc.integer({ min: -10 * HOUR, max: 10 * HOUR }),
        (slept, set) => {
          const turn = later(10 * SECOND + slept + set, 10 * SECOND, 10 * SECOND + slept);
          expect(turn).toEqual({ stoodStillMs: slept > MINUTE ? slept : 0, setByMs: Math.abs(set) > MINUTE ? set : 0 });
        },
      ),
    );
  });
});

describe('the disk', () => {
  it('is nearly full below three days of all controllers, half a gigabyte at least, with a deadband', () => {
    expect(diskLimitBytes(1)).toBe(512e6);
    expect(diskLimitBytes(1000)).toBe(27e9);
    const free = (freeBytes: number) => ({ freeBytes, totalBytes: 8e9 });
    expect(isNearlyFull(free(511e6), 1, false)).toBe(true);
    expect(isNearlyFull(free(512e6), 1, false)).toBe(false);
    expect(isNearlyFull(free(560e6), 1, true)).toBe(true);
    expect(isNearlyFull(free(564e6), 1, true)).toBe(false);
  });
  it('answers for a folder that is there, and is not known for one that is not', async () => {
    const found = await diskSpace(folderOnTrial());
    expect(found!.totalBytes).toBeGreaterThan(found!.freeBytes);
    expect(found!.freeBytes).toBeGreaterThan(0);
    expect(await diskSpace('/nowhere/at/all')).toBeUndefined();
  });
  it('speaks in bytes that people know', () => {
    expect([bytesWords(350e6), bytesWords(1.25e9), bytesWords(512e9)]).toEqual(['350 MB', '1.3 GB', '512 GB']);
    expect([12_000, 90_000, 60_000, 11_520_000, 7_200_000, 300 * HOUR].map(durationWords)).toEqual(
      ['12 s', '1 min 30 s', '1 min', '3 h 12 min', '2 h', '12 days'],
    ); // prettier-ignore
  });
});

describe('calls without a store', () => {
  function callsOnTrial(answers: number[]) {
    const clock = manualClock(EVENING_MS);
    const rung: { title: string; message: string; atS: number }[] = [];
    const failures: string[] = [];
    const calls = openCallsWithoutStore({
      clock,
      ring: (title, message) => {
        rung.push({ title, message, atS: (clock.nowMs() - EVENING_MS) / SECOND });
        const answer = answers.length > 1 ? answers.shift()! : answers[0]!;
        return answer < 0 ? Promise.reject(new Error('no contact can be read')) : Promise.resolve(answer);
      },
      bathName: (id) => (id === '' ? 'Bathkeeper' : 'Copper 60 L'),
      failed: (what) => failures.push(what),
    });
    const pass = async (seconds: number): Promise<void> => {
      for (let s = 0; s < seconds; s++) {
        clock.advanceTo(clock.nowMs() + SECOND);
        await calls.pump();
      }
    };
    const take = (controllerId: string, name: 'trip' | 'held' | 'message-refused' | 'controller-silent'): void => {
      calls.take({ controllerId, name, causeAtMs: clock.nowMs(), detail: 'emergency stop' });
    };
    return { clock, calls, rung, failures, pass, take };
  }

  it('go out at once, say that nobody can acknowledge them, and come again every ten minutes while their cause is told', async () => {
    const { calls, rung, pass, take } = callsOnTrial([1]);
    for (let s = 0; s < 1300; s++) {
      take('north-bench', 'trip');
      await pass(1);
    }
    // Ten minutes from the answer, which the first second passes before.
    expect(rung.map((one) => one.atS)).toEqual([0, 601, 1201]);
    expect(rung[0]!.title).toBe('Copper 60 L: Tripped: the contactor is open');
    expect(rung[0]!.message).toMatch(
      /^Find the cause, then reset .* Seen: emergency stop\. .*cannot write its store.*cannot be acknowledged/,
    );
    expect(calls.notices().join()).toContain('It was called from memory');
    await pass(121);
    expect(calls.notices(), 'a cause that is told no more is over, or is in the store').toEqual([]);
    await pass(1200);
    expect(rung).toHaveLength(3);
  });

  it('are tried again until a phone took them, also when their cause is over', async () => {
    const { rung, pass, take, failures, calls } = callsOnTrial([0, -1, 0, 1]);
    take('north-bench', 'held');
    await pass(30);
    expect(rung.map((one) => one.atS)).toEqual([0, 3, 8, 23]);
    expect(failures).toEqual(['a call without the store failed']);
    await pass(3);
    expect(calls.notices().join()).toContain('called from memory');
  });

  it('become one call that lists them when many come at once', async () => {
    const { rung, pass, take } = callsOnTrial([1]);
    for (let bath = 0; bath < 500; bath++) take(`bench-${String(bath)}`, 'controller-silent');
    await pass(2);
    expect(rung).toHaveLength(2);
    expect(rung[1]!.title).toMatch(/^\d+ alarms at once$/);
    expect(rung[1]!.message).toMatch(/And \d+ more\./);
    expect(rung[1]!.message.length).toBeLessThan(1500);
  });

  it('wake nobody for what calls nobody', async () => {
    const { rung, pass, take } = callsOnTrial([1]);
    take('north-bench', 'message-refused');
    await pass(2);
    expect(rung).toEqual([]);
  });
});

const servers: Server[] = [];
afterEach(() => {
  for (const server of servers.splice(0)) {
    server.closeAllConnections();
    server.close();
  }
});
/** Answers with the statuses in turn, the last one for ever; 0 never answers. */
async function outside(...statuses: number[]) {
  const bodies: string[] = [];
  const waiting: (() => void)[] = [];
  const server = createServer((request, response) => {
    let text = '';
    request.on('data', (bytes: Buffer) => (text += String(bytes)));
    request.on('end', () => {
      const status = statuses.length > 1 ? statuses.shift()! : statuses[0]!;
      bodies.push(text);
      for (const tell of waiting.splice(0)) tell();
      if (status !== 0) response.writeHead(status).end();
    });
  });
  servers.push(server);
  await new Promise<void>((done) => void server.listen(0, '127.0.0.1', done));
  return {
    address: `http://127.0.0.1:${String((server.address() as AddressInfo).port)}/beat/secret-of-the-owner`,
    bodies,
    asked: () => new Promise<void>((tell) => void waiting.push(tell)),
  };
}

describe('the outward heartbeat', () => {
  function heartbeatOnTrial(timeoutMs = 5000) {
    const clock = manualClock(EVENING_MS);
    const folder = folderOnTrial();
    const watch: { problem: string | undefined } = { problem: undefined };
    const open = () =>
      openHeartbeat({
        dataFolder: folder,
        clock,
        watchProblem: () => watch.problem,
        changed: () => undefined,
        post: (target, body) => postToWebhook(target, body, timeoutMs),
      });
    return { clock, folder, watch, open };
  }

  it('beats at once, then every so many minutes, and tells no secret', async () => {
    const { clock, folder, open } = heartbeatOnTrial();
    const { address, bodies } = await outside(200);
    const heartbeat = open();
    expect(heartbeat.view()).toMatchObject({ isSet: false, shownAddress: null, lastAnsweredAtMs: null });
    heartbeat.set({ address, everyMinutes: 5, allowPrivateAddress: true });
    for (let minute = 0; minute < 11; minute++) {
      await heartbeat.pump();
      clock.advanceTo(clock.nowMs() + MINUTE);
    }
    expect(bodies.map((body) => (JSON.parse(body) as { sentAt: string }).sentAt.slice(11, 16))).toEqual(['20:00', '20:05', '20:10']); // prettier-ignore
    const view = heartbeat.view();
    expect(view).toMatchObject({ isSet: true, everyMinutes: 5, lastFailure: null });
    expect(view.lastAnsweredAtMs).toBe(EVENING_MS + 10 * MINUTE);
    expect(JSON.stringify(view)).not.toContain('secret');
    expect(statSync(join(folder, HEARTBEAT_FILE)).mode & 0o777).toBe(0o600);
    heartbeat.close();
    const again = open();
    await again.pump();
    expect(bodies, 'after a restart it beats again').toHaveLength(4);
    again.set({ address: '', everyMinutes: 5, allowPrivateAddress: false });
    expect(again.view().isSet).toBe(false);
    again.close();
    expect(open().view().isSet).toBe(false);
  });

  it('stays away while the watch does not run, says why, and comes back with it', async () => {
    const { clock, watch, open } = heartbeatOnTrial();
    const { address, bodies } = await outside(200);
    const heartbeat = open();
    watch.problem = 'The store cannot be written: database or disk is full.';
    heartbeat.set({ address, everyMinutes: 1, allowPrivateAddress: true });
    clock.advanceTo(clock.nowMs() + HOUR);
    await heartbeat.pump();
    expect(bodies).toEqual([]);
    expect(heartbeat.view().lastFailure).toBe(`Held back, since the watch does not run. ${watch.problem}`);
    watch.problem = undefined;
    clock.advanceTo(clock.nowMs() + SECOND);
    await heartbeat.pump();
    expect(bodies).toHaveLength(1);
    expect(heartbeat.view().lastFailure).toBeNull();
    heartbeat.close();
  });

  it('gives up on a receiver that hangs, has one beat under way at most, and tries again after a minute', async () => {
    const { clock, open } = heartbeatOnTrial(150);
    const { address, bodies, asked } = await outside(0, 500, 200);
    const heartbeat = open();
    const first = asked();
    heartbeat.set({ address, everyMinutes: 30, allowPrivateAddress: true });
    await first;
    clock.advanceTo(clock.nowMs() + 3 * HOUR);
    expect(heartbeat.underWay).toBe(1);
    await heartbeat.pump();
    expect(bodies).toHaveLength(1);
    expect(heartbeat.view().lastFailure).toBe('No answer within 0.15 s.');
    clock.advanceTo(clock.nowMs() + MINUTE);
    await heartbeat.pump();
    expect(heartbeat.view().lastFailure).toContain('answered 500');
    clock.advanceTo(clock.nowMs() + MINUTE);
    await heartbeat.pump();
    expect(heartbeat.view()).toMatchObject({ lastFailure: null, lastAnsweredAtMs: clock.nowMs() });
    heartbeat.close();
  });

  it('goes to no private address that the owner did not allow', async () => {
    const { open } = heartbeatOnTrial();
    const { address, bodies } = await outside(200);
    const heartbeat = open();
    heartbeat.set({ address, everyMinutes: 5, allowPrivateAddress: false });
    await heartbeat.pump();
    expect(heartbeat.view().lastFailure).toContain('local network');
    expect(bodies).toEqual([]);
    heartbeat.close();
  });

  it('forgets an answer that belongs to an address of before', async () => {
    const { open } = heartbeatOnTrial(150);
    const old = await outside(0);
    const heartbeat = open();
    const asked = old.asked();
    heartbeat.set({ address: old.address, everyMinutes: 5, allowPrivateAddress: true });
    await asked;
    const next = await outside(200);
    heartbeat.set({ address: next.address, everyMinutes: 5, allowPrivateAddress: true });
    await heartbeat.pump();
    await heartbeat.pump();
    expect(next.bodies).toHaveLength(1);
    expect(heartbeat.view().lastFailure).toBeNull();
    heartbeat.close();
  });

  it('says when its file cannot be read, and does not lose it', () => {
    const { folder, open } = heartbeatOnTrial();
    writeFileSync(join(folder, HEARTBEAT_FILE), '{"address":');
    const heartbeat = open();
    expect(heartbeat.fileProblem).toContain('enter it again in the settings');
    expect(heartbeat.view().isSet).toBe(false);
    expect(readFileSync(join(folder, HEARTBEAT_FILE), 'utf8')).toBe('{"address":');
    heartbeat.close();
  });
});

/** A computer that answers from a table: `program argument…` or a file or a folder with a slash at its end. */
function computer(platform: NodeJS.Platform, answers: Record<string, string>): ComputerQuestions {
  return {
    platform,
    run: (program, args) => Promise.resolve(answers[[program, ...args].join(' ')]),
    text: (file) => Promise.resolve(answers[file]),
    names: (folder) => Promise.resolve(answers[`${folder}/`]?.split(' ') ?? []),
  };
}
const IS_MASKED = 'systemctl is-enabled sleep.target suspend.target';
const LOGIND = 'systemd-analyze cat-config systemd/logind.conf';
const server = {
  '/sys/power/state': 'freeze mem disk\n',
  [IS_MASKED]: 'static\nstatic\n',
  [LOGIND]: '[Login]\n#IdleAction=ignore\n',
};

describe('what this computer does in the night', () => {
  const asked = (answers: Record<string, string>, platform: NodeJS.Platform = 'linux') =>
    computerEvidence(computer(platform, answers))(EVENING_MS);

  it.each([
    ['a kernel without sleep', { '/sys/power/state': '' }, 'good', /knows no sleep/],
    ['sleep that is masked', { ...server, [IS_MASKED]: 'masked\nmasked\n' }, 'good', /switched off for good/],
    ['sleep of which one half is masked', { ...server, [IS_MASKED]: 'masked\nstatic\n', 'systemctl get-default': 'graphical.target\n' }, 'missing', /mask sleep\.target/],
    ['a program that blocks sleep', { ...server, 'systemd-inhibit --list --no-legend --no-pager': 'caffeine 1000 me 99 caffeine sleep:idle awake block\n' }, 'good', /keeps this computer from sleeping/],
    ['a program that only delays sleep', { ...server, 'systemd-inhibit --list --no-legend --no-pager': 'NetworkManager 0 root 99 NetworkManager sleep off delay\n', 'systemctl get-default': 'graphical.target' }, 'missing', /desktop/],
    ['a server', { ...server, 'systemctl get-default': 'multi-user.target\n' }, 'good', /no desktop, no lid/],
    ['an idle action', { ...server, [LOGIND]: '[Login]\nIdleAction=ignore\nIdleAction=suspend\n' }, 'missing', /goes to suspend/],
    ['a lid', { ...server, '/proc/acpi/button/lid/': 'LID0', 'systemctl get-default': 'multi-user.target\n' }, 'missing', /lid is closed/],
    ['a lid that does nothing', { ...server, [LOGIND]: 'HandleLidSwitch=ignore\n', '/proc/acpi/button/lid/': 'LID0', 'systemctl get-default': 'multi-user.target\n' }, 'good', /Nothing puts/],
    ['no systemd', { '/sys/power/state': 'mem\n' }, 'unknown', /cannot be seen/],
  ])('sleep, Linux: %s', async (_what, answers, state, words) => {
    const { sleep } = await asked(answers);
    expect(sleep.state).toBe(state);
    expect(sleep.words).toMatch(words);
  }); // prettier-ignore

  it.each([
    ['none installed by itself', { 'apt-config dump': 'APT::Periodic::Unattended-Upgrade "0";\n' }, 'good', /not installed by themselves/],
    ['installed, no restart', { 'apt-config dump': 'APT::Periodic::Unattended-Upgrade "1";\nUnattended-Upgrade::Automatic-Reboot "false";\n' }, 'good', /do not restart/],
    ['installed with a restart', { 'apt-config dump': 'APT::Periodic::Unattended-Upgrade "1";\nUnattended-Upgrade::Automatic-Reboot "true";\nUnattended-Upgrade::Automatic-Reboot-Time "02:00";\n' }, 'missing', /\(02:00\)/],
    ['a timer of another system', { 'systemctl is-enabled dnf-automatic-install.timer dnf-automatic.timer rpm-ostreed-automatic.timer transactional-update.timer': 'disabled\nenabled\nnot-found\nnot-found\n' }, 'missing', /update timer/],
    ['nothing known', {}, 'unknown', /not known/],
  ])('updates, Linux: %s', async (_what, answers, state, words) => {
    const { automaticUpdate } = await asked(answers);
    expect([automaticUpdate.state, automaticUpdate.words]).toEqual([state, expect.stringMatching(words)]);
  }); // prettier-ignore

  const service = {
    '/proc/self/cgroup': '0::/system.slice/bathkeeper.service\n',
    'systemctl is-enabled bathkeeper.service': 'enabled\n',
  };
  const ofUser = '0::/user.slice/user-1000.slice/user@1000.service/app.slice/bathkeeper.service\n';
  it.each([
    ['a service on a small board', { ...service, '/proc/device-tree/model': 'Raspberry Pi 4 Model B\0' }, 'good', /starts when its power comes back/],
    ['a service on a notebook', { ...service, '/sys/class/power_supply/': 'AC BAT0' }, 'good', /battery/],
    ['a service on a desktop computer', service, 'unknown', /restore on AC power loss/],
    ['a service that is not enabled', { ...service, 'systemctl is-enabled bathkeeper.service': 'disabled\n' }, 'missing', /systemctl enable bathkeeper\.service/],
    ['started by hand', { '/proc/self/cgroup': '0::/user.slice/user-1000.slice/session-3.scope\n' }, 'missing', /started by hand/],
    ['started by hand on a desktop', { '/proc/self/cgroup': '0::/user.slice/user-1000.slice/user@1000.service/app.slice/app-gnome-terminal.scope\n' }, 'missing', /started by hand/],
    ['of a user who must log in', { '/proc/self/cgroup': ofUser, 'systemctl --user is-enabled bathkeeper.service': 'enabled\n', 'loginctl show-user --property=Linger --value': 'no\n' }, 'missing', /enable-linger/],
    ['of a user who lingers', { '/proc/self/cgroup': ofUser, 'systemctl --user is-enabled bathkeeper.service': 'enabled\n', 'loginctl show-user --property=Linger --value': 'yes\n', '/proc/device-tree/model': 'Board' }, 'good', /Board/],
    ['in a container', { '/proc/self/cgroup': '0::/\n', '//': 'bin .dockerenv etc' }, 'unknown', /restart policy/],
  ])('after a power cut, Linux: %s', async (_what, answers, state, words) => {
    const { startsAfterPowerCut } = await asked(answers);
    expect([startsAfterPowerCut.state, startsAfterPowerCut.words]).toEqual([state, expect.stringMatching(words)]);
  }); // prettier-ignore

  it('the clock, Linux: set by the network, not set, or not known', async () => {
    const timedatectl = 'timedatectl show --property=NTPSynchronized --value';
    expect((await asked({ [timedatectl]: 'yes\n' })).clock.state).toBe('good');
    expect((await asked({ [timedatectl]: 'no\n' })).clock.state).toBe('missing');
    expect((await asked({ 'chronyc -n tracking': 'Stratum : 3\nLeap status     : Normal\n' })).clock.state).toBe(
      'good',
    );
    expect((await asked({ 'chronyc -n tracking': 'Leap status     : Not synchronised\n' })).clock.state).toBe(
      'unknown',
    );
  });

  it('Windows: sleep by the numbers in any language, updates that are paused, a clock with a stratum', async () => {
    const standby = 'powercfg /query SCHEME_CURRENT SUB_SLEEP STANDBYIDLE';
    const query = (plugged: string) => `GUID des Energieschemas\n  Mögliche Einstellung: 0x00000000\n  Index der aktuellen Wechselstromeinstellung: ${plugged}\n  Index der aktuellen Gleichstromeinstellung: 0x0000012c\n`; // prettier-ignore
    const paused = 'reg query HKLM\\SOFTWARE\\Microsoft\\WindowsUpdate\\UX\\Settings /v PauseUpdatesExpiryTime';
    const awake = await asked(
      {
        [standby]: query('0x00000000'),
        [paused]: '    PauseUpdatesExpiryTime    REG_SZ    2026-01-20T18:00:00Z\n',
        'w32tm /query /status': 'Sprungindikator: 0\nStratum: 4 (Sekundärreferenz)\n',
      },
      'win32',
    );
    expect([awake.sleep.state, awake.automaticUpdate.state, awake.clock.state]).toEqual(['good', 'good', 'good']);
    const tired = await asked(
      { [standby]: query('0x00000708'), [paused]: '    PauseUpdatesExpiryTime    REG_SZ    2026-01-11T06:00:00Z\n', 'w32tm /query /status': 'Stratum: 0\n' },
      'win32',
    ); // prettier-ignore
    expect(tired.sleep).toEqual({ state: 'missing', words: expect.stringContaining('after 30 min') as string });
    expect([tired.automaticUpdate.state, tired.startsAfterPowerCut.state, tired.clock.state]).toEqual(['missing', 'unknown', 'unknown']); // prettier-ignore
    const silent = await asked({}, 'win32');
    expect([silent.sleep.state, silent.automaticUpdate.state, silent.clock.state]).toEqual(['unknown', 'missing', 'unknown']); // prettier-ignore
  });

  it('macOS: what holds when plugged in, not on battery', async () => {
    const pmset = (plugged: string) =>
      `Battery Power:\n sleep                1\n autorestart          0\nAC Power:\n ${plugged}\n`;
    const update = 'defaults read /Library/Preferences/com.apple.SoftwareUpdate AutomaticallyInstallMacOSUpdates';
    const awake = await asked({ 'pmset -g custom': pmset('sleep                0\n autorestart          1'), [update]: '0\n', 'systemsetup -getusingnetworktime': 'Network Time: On\n' }, 'darwin'); // prettier-ignore
    expect([awake.sleep.state, awake.automaticUpdate.state, awake.startsAfterPowerCut.state, awake.clock.state]).toEqual(['good', 'good', 'unknown', 'good']); // prettier-ignore
    const tired = await asked({ 'pmset -g custom': pmset('sleep                10\n autorestart          0'), [update]: '1\n', 'systemsetup -getusingnetworktime': 'Network Time: Off\n' }, 'darwin'); // prettier-ignore
    expect([tired.sleep.state, tired.automaticUpdate.state, tired.startsAfterPowerCut.state, tired.clock.state]).toEqual(['missing', 'missing', 'missing', 'missing']); // prettier-ignore
    expect(tired.sleep.words).toContain('after 10 min');
    const silent = await asked({}, 'darwin');
    expect(Object.values(silent).map((one: { state: string }) => one.state)).toEqual(['unknown', 'unknown', 'unknown', 'unknown']); // prettier-ignore
  });

  it('is unknown where nothing can be asked, or asking fails', async () => {
    for (const evidence of [await asked({}, 'freebsd'), await computerEvidence({ ...computer('linux', {}), names: () => Promise.reject(new Error('no')) })(0)])
      expect(Object.values(evidence).map((one: { state: string }) => one.state)).toEqual(['unknown', 'unknown', 'unknown', 'unknown']);
  }); // prettier-ignore

  it('is asked once in five minutes', async () => {
    let asked = 0;
    const ask = computerEvidence({ ...computer('linux', {}), text: () => Promise.resolve((asked++, undefined)) });
    await ask(EVENING_MS);
    const once = asked;
    await ask(EVENING_MS + 5 * MINUTE);
    expect(asked).toBe(once);
    await ask(EVENING_MS + 5 * MINUTE + 1);
    expect(asked).toBe(2 * once);
  });
});
