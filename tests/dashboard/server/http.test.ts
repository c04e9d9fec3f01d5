/* The page's routes over real HTTP on loopback: the door, commands, recipes, pairing, alarms, the stream. */
import { statSync } from 'node:fs';
import { join } from 'node:path';
import { pairingText, type Snapshot } from '@bathkeeper/shared-core/messages';
import { pino } from 'pino';
import { describe, expect, it } from 'vitest';
import { SECRETS_FILE } from '../../../dashboard/server/settings/controller-secrets.js';
import { CONTROLLER, rowsOf, SECRET } from './dashboard-on-trial.js';
import { cookieOf, firstStart, letIn, type Page, pageOnTrial, PASSPHRASE } from './page-on-trial.js';
import { INCARNATION, liveMessage, quietBath } from './quiet-bath.js';

async function hear(page: Page): Promise<void> {
  page.trial.bath.say('live', liveMessage());
  await page.trial.dashboard.settle();
}
const request = {
  partName: 'Fluted bell lampshade',
  areaDm2: 12,
  currentDensityAmpsPerDm2: 1.6,
  averageThicknessMicrometres: 180,
};

describe('the door', () => {
  it('takes the one-time link once, with a passphrase that is long enough', async () => {
    const page = await pageOnTrial();
    expect((await page.ask('GET', '/api/door')).body).toEqual({ state: 'first-start', isSimulated: false });
    const token = page.door.firstStartToken;
    expect((await page.ask('POST', '/api/first-start', { token: 'guess', passphrase: PASSPHRASE })).status).toBe(403);
    const short = await page.ask('POST', '/api/first-start', { token, passphrase: 'short' });
    expect(short.body.error).toContain('has 5 characters, expected at least 8');
    const first = await page.ask('POST', '/api/first-start', { token, passphrase: PASSPHRASE });
    expect(first.status).toBe(200);
    expect(first.headers.get('set-cookie')).toMatch(/HttpOnly/i);
    expect(first.headers.get('set-cookie')).toMatch(/SameSite=Strict/i);
    expect((await page.ask('POST', '/api/first-start', { token, passphrase: 'another passphrase' })).status).toBe(403);
    expect((await page.ask('GET', '/api/state', undefined, { cookie: cookieOf(first) })).status).toBe(200);
  });

  it('lets in who knows the passphrase though the store takes nothing, and shuts again when they leave', async () => {
    const page = await pageOnTrial();
    await firstStart(page);
    const { database } = page.trial.dashboard.store;
    database.pragma('query_only = 1');
    const cookie = cookieOf(await page.ask('POST', '/api/session', { passphrase: PASSPHRASE }));
    expect((await page.ask('GET', '/api/state', undefined, { cookie })).status).toBe(200);
    expect((await page.ask('DELETE', '/api/session', undefined, { cookie })).status).toBe(200);
    expect((await page.ask('GET', '/api/state', undefined, { cookie })).status).toBe(401);
    database.pragma('query_only = 0');
  });

  it('lets a session that the store holds out though the store takes nothing, and has the store forget it once it takes something', async () => {
    const page = await pageOnTrial();
    const session = await firstStart(page);
    const { database } = page.trial.dashboard.store;
    database.pragma('query_only = 1');
    const out = await page.ask('DELETE', '/api/session', undefined, session);
    expect([out.status, out.body]).toEqual([200, { state: 'closed' }]);
    expect(out.headers.get('set-cookie')).toMatch(/^bathkeeper_session=;/);
    expect((await page.ask('GET', '/api/state', undefined, session)).status).toBe(401);
    database.pragma('query_only = 0');
    expect((await page.ask('GET', '/api/state', undefined, session)).status).toBe(401);
    expect(rowsOf(page.trial.dashboard, 'SELECT * FROM sessions')).toEqual([]);
  });

  it('keeps the one-time link until the store has taken a passphrase', async () => {
    const page = await pageOnTrial();
    const token = page.door.firstStartToken;
    const { database } = page.trial.dashboard.store;
    database.pragma('query_only = 1');
    expect((await page.ask('POST', '/api/first-start', { token, passphrase: PASSPHRASE })).status).toBe(500);
    database.pragma('query_only = 0');
    expect((await page.ask('POST', '/api/first-start', { token, passphrase: PASSPHRASE })).status).toBe(200);
  });

  it('lets nobody in without the passphrase, and keeps neither it nor a session in the clear', async () => {
    const page = await pageOnTrial();
    const { cookie = '' } = await firstStart(page);
    expect((await page.ask('POST', '/api/session', { passphrase: 'copper grows by day' })).status).toBe(403);
    const right = await page.ask('POST', '/api/session', { passphrase: PASSPHRASE });
    expect(right.status).toBe(200);
    const kept = JSON.stringify([
      ...rowsOf(page.trial.dashboard, 'SELECT * FROM settings'),
      ...rowsOf(page.trial.dashboard, 'SELECT * FROM sessions'),
    ]);
    expect(kept).not.toContain(PASSPHRASE);
    expect(kept).not.toContain(cookie.split('=')[1]);
  });

  it.each([
    ['GET', '/api/state'],
    ['GET', '/api/stream'],
    ['GET', `/api/controllers/${CONTROLLER}/runs/1/night`],
    ['POST', `/api/controllers/${CONTROLLER}/commands`],
    ['POST', `/api/controllers/${CONTROLLER}/recipe`],
    ['POST', `/api/controllers/${CONTROLLER}/simulated-press`],
    ['POST', '/api/controllers'],
    ['POST', '/api/alarms/1/acknowledge'],
    ['GET', '/api/nothing'],
  ])('keeps %s %s shut to who was not let in', async (method, path) => {
    const page = await pageOnTrial();
    const answer = await page.ask(method, path, method === 'GET' ? undefined : {}, {
      cookie: 'bathkeeper_session=guess',
    });
    expect(answer.status).toBe(401);
  });

  it('lets a session out, and forgets it after its days', async () => {
    const page = await pageOnTrial();
    const cookie = await firstStart(page);
    const other = { cookie: cookieOf(await page.ask('POST', '/api/session', { passphrase: PASSPHRASE })) };
    await page.ask('DELETE', '/api/session', undefined, cookie);
    expect((await page.ask('GET', '/api/state', undefined, cookie)).status).toBe(401);
    expect((await page.ask('GET', '/api/state', undefined, other)).status).toBe(200);
    // As if it had been made 91 days ago: to play them second by second would only time the disk.
    page.trial.dashboard.store.database.prepare('UPDATE sessions SET made_at_ms = made_at_ms - 91 * 86400000').run();
    expect((await page.ask('GET', '/api/state', undefined, other)).status).toBe(401);
  });

  it('answers the eleventh wrong try of a minute with "wait"', async () => {
    const page = await pageOnTrial();
    for (let tries = 0; tries < 10; tries++)
      await page.ask('POST', '/api/first-start', { token: 'guess', passphrase: PASSPHRASE });
    const answer = await page.ask('POST', '/api/first-start', { token: 'guess', passphrase: PASSPHRASE });
    expect(answer.status).toBe(429);
    expect(answer.body.error).toContain('Wait a minute');
  });

  it.each(['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data; boundary=x'])(
    'takes no %s, which a foreign form could send',
    async (type) => {
      const page = await pageOnTrial();
      const cookie = await firstStart(page);
      const answer = await page.ask('POST', `/api/controllers/${CONTROLLER}/commands`, '{"kind":"stop"}', {
        ...cookie,
        'content-type': type,
      });
      expect(answer.status).toBe(415);
    },
  );

  it('lets no other site frame the page or run its scripts in it', async () => {
    const page = await pageOnTrial();
    const { headers } = await page.ask('GET', '/');
    expect(headers.get('content-security-policy')).toContain("default-src 'self'");
    expect(headers.get('content-security-policy')).not.toContain('upgrade-insecure-requests');
    expect(headers.get('strict-transport-security')).toBeNull();
    expect(headers.get('x-powered-by')).toBeNull();
  });
});

describe('the routes', () => {
  it('send hold to the bath with an expiry in its own uptime, and show the answer', async () => {
    const page = await pageOnTrial();
    const cookie = await letIn(page);
    await hear(page);
    const answer = await page.ask('POST', `/api/controllers/${CONTROLLER}/commands`, { kind: 'hold' }, cookie);
    expect(answer.body).toMatchObject({ kind: 'hold', state: 'sent' });
    await page.trial.dashboard.settle();
    const n = page.trial.clock.nowMs();
    expect(page.trial.bath.commands).toEqual([
      { v: 1, d: answer.body.commandId, n, k: 2, i: INCARNATION, b: 1, x: 100_200 },
    ]);
    await page.trial.pass(26);
    expect(page.trial.dashboard.snapshot().controllers[0]?.commands[0]?.state).toBe('no-answer');
  });

  it('refuse a command to a controller that is not heard, in words, and keep no recipe that was never sent', async () => {
    const page = await pageOnTrial();
    const cookie = await letIn(page);
    for (const [path, body] of [['commands', { kind: 'stop' }], ['recipe', request]] as const) {
      const answer = await page.ask('POST', `/api/controllers/${CONTROLLER}/${path}`, body, cookie);
      expect(answer.status).toBe(409);
      expect(answer.body.error).toContain('Act at the bath');
    }
    expect(rowsOf(page.trial.dashboard, 'SELECT * FROM recipes')).toEqual([]);
  }); // prettier-ignore

  it('lower the current to what was asked, and refuse what is no current', async () => {
    const page = await pageOnTrial();
    const cookie = await letIn(page);
    await hear(page);
    const path = `/api/controllers/${CONTROLLER}/commands`;
    const answer = await page.ask('POST', path, { kind: 'lower', toAmps: 4.2 }, cookie);
    expect(answer.body).toMatchObject({
      kind: 'lower',
      state: 'sent',
      words: 'Lower to 4.20 A is on its way to the bath.',
    });
    await page.trial.dashboard.settle();
    expect(page.trial.bath.commands).toMatchObject([{ k: 5, c: 420 }]);
    for (const body of [
      { kind: 'lower' },
      { kind: 'lower', toAmps: -1 },
      { kind: 'lower', toAmps: 'all' },
      { kind: 'raise' },
    ])
      expect((await page.ask('POST', path, body, cookie)).status).toBe(400);
  });

  it('send a recipe with fifteen columns', async () => {
    const page = await pageOnTrial();
    const cookie = await letIn(page);
    await hear(page);
    await page.ask('POST', `/api/controllers/${CONTROLLER}/recipe`, request, cookie);
    await page.trial.dashboard.settle();
    const row = page.trial.bath.commands[0]?.g as number[];
    expect(row).toHaveLength(15);
    expect(row[5]).toBe(19.2);
  });

  it('refuse a recipe outside the rig with the limit named', async () => {
    const page = await pageOnTrial();
    const cookie = await letIn(page);
    await hear(page);
    const answer = await page.ask(
      'POST',
      `/api/controllers/${CONTROLLER}/recipe`,
      { ...request, currentDensityAmpsPerDm2: 4 },
      cookie,
    );
    expect(answer.status).toBe(422);
    expect(answer.body.problems?.join()).toContain('at most 35 A');
  });

  it('list every fault of a request at once', async () => {
    const page = await pageOnTrial();
    const cookie = await letIn(page);
    const answer = await page.ask(
      'POST',
      `/api/controllers/${CONTROLLER}/recipe/preview`,
      { partName: '', areaDm2: -1, currentDensityAmpsPerDm2: 'much' },
      cookie,
    );
    expect(answer.status).toBe(400);
    expect(answer.body.problems?.length).toBeGreaterThanOrEqual(3);
  });

  it('take a recipe for a named bath, with its own usual densities, and refuse one that there is not in words', async () => {
    const page = await pageOnTrial();
    const cookie = await letIn(page);
    const preview = async (bath: string) =>
      page.ask(
        'POST',
        `/api/controllers/${CONTROLLER}/recipe/preview`,
        { partName: 'bell', areaDm2: 12, currentDensityAmpsPerDm2: 1.6, averageThicknessMicrometres: 100, bath },
        cookie,
      );
    const known = await preview('bright-copper');
    expect(known.status).toBe(200);
    expect(JSON.stringify(known.body)).toContain('below the usual 2 to 7.5 A/dm²');
    expect(JSON.stringify((await preview('gold-paint')).body)).toContain('There is no bath called');
  });

  it('answer broken JSON, an unknown controller and an unknown run in words', async () => {
    const page = await pageOnTrial();
    const cookie = await letIn(page);
    expect((await page.ask('POST', `/api/controllers/${CONTROLLER}/commands`, '{', cookie)).status).toBe(400);
    const unknown = await page.ask('POST', '/api/controllers/nobody/commands', { kind: 'stop' }, cookie);
    expect(unknown.body.error).toContain(`Paired: ${CONTROLLER}`);
    expect((await page.ask('GET', `/api/controllers/${CONTROLLER}/runs/9/night`, undefined, cookie)).status).toBe(404);
  });

  it('pass a press only to a simulated bath', async () => {
    const simulated = await pageOnTrial({ isSimulated: true });
    await simulated.ask(
      'POST',
      `/api/controllers/${CONTROLLER}/simulated-press`,
      { button: 'start' },
      await letIn(simulated),
    );
    expect(simulated.pressed).toEqual(['start']);
    const real = await pageOnTrial();
    const answer = await real.ask(
      'POST',
      `/api/controllers/${CONTROLLER}/simulated-press`,
      { button: 'start' },
      await letIn(real),
    );
    expect(answer.status).toBe(409);
    expect(answer.body.error).toContain('at the bath');
  });

  it('pair a controller under the secret that its console showed; the simulated bath goes', async () => {
    const page = await pageOnTrial({ isSimulated: true });
    const cookie = await letIn(page);
    const secret = '3e'.repeat(32);
    const request = { controllerId: 'south-bench', bathName: 'Copper 120 L', secretText: pairingText(secret) };
    const answer = await page.ask('POST', '/api/controllers', request, cookie);
    expect(answer.body).toEqual({
      controllerId: 'south-bench',
      address: '192.0.2.1',
      port: 1883,
      signOfLifePort: 41_883,
    });
    const views = page.trial.dashboard.snapshot().controllers;
    expect(views.map((one) => one.controllerId)).toEqual(['south-bench']);
    expect(views[0]?.mustBePairedAgain).toBe(false);
    const bath = await quietBath(page.trial.dashboard, 'south-bench', secret);
    expect(bath.isConnected).toBe(true);
    await bath.leave();
    // Neither the store nor anything that the page is told holds the secret; the file that does is the owner's alone.
    const tables = ['controllers', 'settings', 'quarantine', 'commands'];
    const stored = JSON.stringify(tables.map((table) => rowsOf(page.trial.dashboard, `SELECT * FROM ${table}`)));
    for (const told of [stored, JSON.stringify(page.trial.dashboard.snapshot()), JSON.stringify(answer.body)])
      expect(told).not.toContain(secret);
    expect(statSync(join(page.trial.folder, SECRETS_FILE)).mode & 0o777).toBe(0o600);
  });

  it('say which group of a mistyped secret is wrong, and pair nothing', async () => {
    const page = await pageOnTrial({ isSimulated: true });
    const cookie = await letIn(page);
    const right = pairingText('3e'.repeat(32));
    const mistyped = right.slice(0, 20) + (right[20] === '7' ? '8' : '7') + right.slice(21);
    for (const [secretText, words] of [
      [mistyped, 'Group 3 '],
      [right.slice(1), '63 characters, expected 64'],
      ['', '0 characters, expected 64'],
    ] as const) {
      const request = { controllerId: 'south-bench', bathName: 'Copper 120 L', secretText };
      const answer = await page.ask('POST', '/api/controllers', request, cookie);
      expect(answer.status).toBe(422);
      expect(answer.body.problems).toEqual([expect.stringContaining(words)]);
    }
    expect(page.trial.dashboard.snapshot().controllers.map((one) => one.controllerId)).toEqual([CONTROLLER]);
    for (const request of [
      { controllerId: '../#', bathName: 'x', secretText: right },
      { controllerId: 'south-bench', secretText: right },
      { controllerId: 'south-bench', bathName: 'x' },
    ])
      expect((await page.ask('POST', '/api/controllers', request, cookie)).status).toBe(400);
  });

  it('pair a controller again: the old secret lets nobody in any more, its nights stay', async () => {
    const page = await pageOnTrial();
    const cookie = await letIn(page);
    await hear(page);
    const secret = '3e'.repeat(32);
    const request = { controllerId: CONTROLLER, secretText: pairingText(secret) };
    expect((await page.ask('POST', '/api/controllers', request, cookie)).status).toBe(200);
    await page.trial.dashboard.settle();
    expect(page.trial.bath.isConnected).toBe(false);
    await expect(quietBath(page.trial.dashboard, CONTROLLER, SECRET)).rejects.toThrow();
    page.trial.bath = await quietBath(page.trial.dashboard, CONTROLLER, secret);
    expect(page.trial.dashboard.snapshot().controllers).toMatchObject([{ bathName: 'Copper 60 L' }]);
    await hear(page);
    expect((await page.ask('POST', `/api/controllers/${CONTROLLER}/commands`, { kind: 'stop' }, cookie)).status).toBe(
      200,
    );
    await page.trial.dashboard.settle();
    expect(page.trial.bath.commands).toMatchObject([{ k: 1 }]);
  });

  it('acknowledge an alarm and silence the buzzer with it', async () => {
    const page = await pageOnTrial();
    const cookie = await letIn(page);
    await hear(page);
    const nowMs = page.trial.clock.nowMs();
    const alarmId = page.trial.dashboard.alarms.raise(
      { controllerId: CONTROLLER, name: 'trip', causeAtMs: nowMs, detail: '' },
      nowMs,
    )!;
    const answer = await page.ask('POST', `/api/alarms/${String(alarmId)}/acknowledge`, {}, cookie);
    expect(answer.body.state).toBe('acknowledged');
    await page.trial.dashboard.settle();
    expect(page.trial.bath.commands[0]).toMatchObject({ k: 3 });
    expect((await page.ask('POST', '/api/alarms/999/acknowledge', {}, cookie)).status).toBe(404);
  });

  it('stream the state at once and after a change', async () => {
    const page = await pageOnTrial();
    const cookie = await letIn(page);
    const response = await fetch(`${page.address}/api/stream`, { headers: cookie });
    expect(response.headers.get('content-type')).toBe('text/event-stream');
    const reader = response.body!.getReader();
    let text = '';
    const nextState = async (): Promise<Snapshot> => {
      while (!text.includes('\n\n')) text += new TextDecoder().decode((await reader.read()).value);
      const [one = ''] = text.split('\n\n', 1);
      text = text.slice(one.length + 2);
      return JSON.parse(one.replace(/^event: state\ndata: /, '')) as Snapshot;
    };
    expect((await nextState()).controllers[0]?.live).toBeNull();
    await hear(page);
    let state = await nextState();
    while (state.controllers[0]?.live === null) state = await nextState();
    expect(state.controllers[0]?.live?.cathodeCurrentAmps).toBe(19);
    await reader.cancel();
  });

  it('ends when its session is signed out', async () => {
    const page = await pageOnTrial();
    const cookie = await letIn(page);
    const response = await fetch(`${page.address}/api/stream`, { headers: cookie });
    const reader = response.body!.getReader();
    await reader.read();
    expect((await page.ask('DELETE', '/api/session', undefined, cookie)).status).toBe(200);
    await hear(page);
    let last = await reader.read();
    while (!last.done) last = await reader.read();
    expect(last.done).toBe(true);
  });
});

describe('a request that fails by a mistake of the dashboard', () => {
  it('sends its reader to the log, which says why it failed', async () => {
    const lines: string[] = [];
    const logger = pino({ level: 'error' }, { write: (line: string) => lines.push(line) });
    const page = await pageOnTrial({ logger });
    const session = await letIn(page);
    page.trial.dashboard.store.database.exec('DROP TABLE ledger_entries');
    const asked = await page.ask('POST', '/api/baths', { name: 'Copper 60 L', profile: 'bright-copper', who: 'Robin' }, session); // prettier-ignore
    const { bathId } = asked.body as unknown as { bathId: number };
    const answer = await page.ask('GET', `/api/baths/${String(bathId)}`, undefined, session);
    expect([answer.status, answer.body.error]).toEqual([500, 'The dashboard made a mistake; its log says more. The bath is not touched by it.']); // prettier-ignore
    expect(lines.map((line) => (JSON.parse(line) as { err: { message: string } }).err.message)).toEqual([
      'no such table: ledger_entries',
    ]);
  });
});
