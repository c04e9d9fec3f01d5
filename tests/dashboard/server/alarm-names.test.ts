/*
 * Who acknowledged, shelved, ended a shelf, took out of service and put back, by name, over real HTTP: kept with the alarm, with the silence and in the journal; left out, it
 * was done on the page. A name that would be taken for a word of the program is refused in words, and changes nothing.
 */
import { describe, expect, it } from 'vitest';
import type { AlarmName, JournalEntry } from '@bathkeeper/shared-core/messages';
import type { RunRecord } from '@bathkeeper/shared-core/trade';
import { CONTROLLER, rowsOf } from './dashboard-on-trial.js';
import { aNight, RUN } from './logbook/a-night.js';
import { type Answer, letIn, pageOnTrial } from './page-on-trial.js';

const FILTER = `/api/controllers/${CONTROLLER}/alarms/filter-stopped`;
const why = { reason: 'the filter is being cleaned' };

async function alarmsOnTrial() {
  const page = await pageOnTrial();
  const session = await letIn(page);
  const { dashboard, clock } = page.trial;
  const ask = (method: string, path: string, body?: unknown): Promise<Answer> => page.ask(method, path, body, session);
  return {
    dashboard,
    ask,
    raise: (name: AlarmName): number =>
      dashboard.alarms.raise(
        { controllerId: CONTROLLER, name, causeAtMs: clock.nowMs(), detail: 'seen' },
        clock.nowMs(),
      )!,
    acts: async (): Promise<string[]> =>
      ((await ask('GET', '/api/alarms/journal')).body as unknown as JournalEntry[])
        .map(({ what, who }) => `${what} ${who}`)
        .reverse(),
  };
}

describe('an alarm', () => {
  it('is acknowledged under the name that comes with it, once, and told so from then on', async () => {
    const { ask, raise, acts, dashboard } = await alarmsOnTrial();
    const address = `/api/alarms/${String(raise('held'))}`;
    const answer = await ask('POST', `${address}/acknowledge`, { by: '  Robin ' });
    expect(answer.body).toMatchObject({ state: 'acknowledged', acknowledgedBy: 'Robin' });
    expect((await ask('POST', `${address}/acknowledge`, { by: 'Kim' })).body).toMatchObject({
      acknowledgedBy: 'Robin',
    });
    expect((await ask('GET', address)).body).toMatchObject({ acknowledgedBy: 'Robin' });
    expect(dashboard.snapshot().alarms[0]).toMatchObject({ acknowledgedBy: 'Robin' });
    expect(await acts()).toEqual(['raised bath', 'acknowledged Robin']);
  });

  it.each([
    ['no body', ''],
    ['a body without one', {}],
  ])('is acknowledged on the page by a press without a name: %s', async (_what, body) => {
    const { ask, raise } = await alarmsOnTrial();
    const answer = await ask('POST', `/api/alarms/${String(raise('held'))}/acknowledge`, body);
    expect(answer.status).toBe(200);
    expect(answer.body).toMatchObject({ acknowledgedBy: 'page' });
  });

  it('is shelved and taken out of service by name, and each is ended by name', async () => {
    const { ask, acts } = await alarmsOnTrial();
    const shelf = await ask('POST', `${FILTER}/shelve`, { ...why, minutes: 30, by: 'Robin' });
    expect(shelf.body).toMatchObject({ silences: [{ kind: 'shelved', who: 'Robin', ...why }] });
    await ask('DELETE', `${FILTER}/shelve`, { by: 'Kim' });
    const out = await ask('POST', `${FILTER}/out-of-service`, { ...why, by: 'Kim' });
    expect(out.body).toMatchObject({ silences: [{ kind: 'out-of-service', who: 'Kim', ...why }] });
    await ask('DELETE', `${FILTER}/out-of-service`, { by: 'Robin' });
    expect(await acts()).toEqual([
      'shelved Robin',
      'unshelved Kim',
      'taken-out-of-service Kim',
      'put-back-in-service Robin',
    ]);
  });

  it.each([
    ['an empty one', ' ', 'by: expected your name, got an empty text.'],
    ['no text', 7, 'by: expected your name, got 7.'],
    ['one that is too long', 'R'.repeat(61), 'by: expected a name of at most 60 letters, got a text of 61 characters.'],
    ['the page', 'The Page', 'by: expected the name of a person, not a word that stands for the program itself or for nobody, got "The Page".'],
    ['one that claims a call', 'Robin (e-mail)', 'by: expected the name of a person, without brackets at its end that say that a call was answered, got "Robin (e-mail)".'],
    ['one that turns what stands beside it', 'Ro\u202ebin', 'by: expected the name of a person in one line, without control characters, got "Ro\u202ebin".'],
  ])('takes no name that is %s, says why, and stays as it was', async (_what, by, words) => {
    const { ask, raise, acts, dashboard } = await alarmsOnTrial();
    const acknowledged = await ask('POST', `/api/alarms/${String(raise('held'))}/acknowledge`, { by });
    expect(acknowledged.status).toBe(400);
    expect(acknowledged.body.problems).toEqual([words]);
    expect((await ask('POST', `${FILTER}/shelve`, { ...why, minutes: 30, by })).body.problems).toEqual([words]);
    expect((await ask('POST', `${FILTER}/out-of-service`, { ...why, by })).body.problems).toEqual([words]);
    expect(await acts()).toEqual(['raised bath']);
    expect(rowsOf(dashboard, 'SELECT * FROM alarm_silences')).toEqual([]);
  }); // prettier-ignore

  it('stays silent where the name of who would end it is refused', async () => {
    const { ask } = await alarmsOnTrial();
    await ask('POST', `${FILTER}/shelve`, { ...why, minutes: 30 });
    await ask('POST', `${FILTER}/out-of-service`, why);
    expect((await ask('DELETE', `${FILTER}/shelve`, { by: 'clock' })).status).toBe(400);
    expect((await ask('DELETE', `${FILTER}/out-of-service`, { by: 'bath' })).status).toBe(400);
    const standing = (await ask('GET', `/api/controllers/${CONTROLLER}/alarms/silences`)).body;
    expect(standing).toMatchObject([{ silences: [{ who: 'page' }, { who: 'page' }] }]);
  });
});

it('nobody who is called has a name that would be taken for the program’s own word', async () => {
  const { ask } = await alarmsOnTrial();
  const contact = { place: 1, fromMinute: null, toMinute: null, wantsGoodNews: false, wantsMorningSummary: false };
  const refused = await ask('POST', '/api/contacts', { ...contact, name: 'Page' });
  expect(refused.status).toBe(400);
  expect(refused.body.problems?.join()).toMatch(/^name: expected the name of a person, not a word/);
  expect((await ask('POST', '/api/contacts', { ...contact, name: 'Robin' })).status).toBe(200);
});

it('the record of a run, its sheet and its file say who acknowledged on the page', async () => {
  const { page, session } = await aNight();
  const { alarms } = page.trial.dashboard;
  const nowMs = page.trial.clock.nowMs();
  const { startedAtMs } = (await page.ask('GET', RUN, undefined, session)).body as unknown as RunRecord;
  const raise = (name: AlarmName): number =>
    alarms.raise({ controllerId: CONTROLLER, name, causeAtMs: startedAtMs + 60_000, detail: 'seen' }, nowMs)!;
  const acknowledge = (alarmId: number, body: object): Promise<Answer> =>
    page.ask('POST', `/api/alarms/${String(alarmId)}/acknowledge`, body, session);
  await acknowledge(raise('filter-stopped'), { by: 'Robin <b>' });
  await acknowledge(raise('rotation-slow'), {});
  const record = (await page.ask('GET', RUN, undefined, session)).body as unknown as RunRecord;
  expect(record.alarms.map(({ alarm }) => alarm.acknowledgedBy)).toEqual(['Robin <b>', 'page']);
  const sheet = String((await page.ask('GET', `${RUN}/sheet.html?zone=UTC`, undefined, session)).body.text);
  expect(sheet).toContain('Acknowledged by Robin &lt;b&gt; ');
  expect(sheet).toContain('Acknowledged on the page ');
  const file = (await page.ask('GET', `${RUN}/export.json`, undefined, session)).body as Record<string, unknown>;
  expect(JSON.stringify(file)).toContain('"Robin <b>"');
});
