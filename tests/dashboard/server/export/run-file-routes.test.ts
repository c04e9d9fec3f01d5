/* Export and import over real HTTP: what a browser downloads can be sent back, and what cannot be taken is answered with place and reason. */
import { request } from 'node:http';
import { expect, it } from 'vitest';
import type { ImportedRun } from '@bathkeeper/shared-core/messages';
import type { RunListEntry } from '@bathkeeper/shared-core/trade';
import { openGoneImports } from '../../../../dashboard/server/logbook/gone-imports.js';
import { letIn, type Page, pageOnTrial } from '../page-on-trial.js';
import { endings, fullNight, fullTold, RUN, tell, tellMore } from './run-on-trial.js';

const AT = `/api/runs/${RUN.controllerId}/${String(RUN.incarnation)}/${String(RUN.run)}`;

async function inside(): Promise<{ page: Page; session: Record<string, string> }> {
  const page = await pageOnTrial();
  return { page, session: await letIn(page) };
}

const send = (
  page: Page,
  session: Record<string, string>,
  body: BodyInit,
  query = '?fileName=night.zip&importedBy=Mara',
) =>
  fetch(`${page.address}/api/run-imports${query}`, {
    method: 'POST',
    headers: { ...session, 'content-type': 'application/octet-stream' },
    body,
  });

it.each(endings)('a downloaded export.%s can be imported, is listed, and is exported again', async (ending) => {
  const { page, session } = await inside();
  tell(page.trial.dashboard.store, fullNight);
  const download = await fetch(`${page.address}${AT}/export.${ending}`, { headers: session });
  expect(download.status).toBe(200);
  expect(download.headers.get('content-disposition')).toBe(
    `attachment; filename="north-bench-run-1-2026-01-10.${ending}"`,
  );
  const bytes = await download.arrayBuffer();
  const answer = await send(page, session, bytes);
  expect(answer.status).toBe(201);
  const kept = (await answer.json()) as ImportedRun;
  expect((await page.ask('GET', '/api/run-imports', undefined, session)).body).toEqual([kept]);
  const series = `/api/series?controllerId=${encodeURIComponent(kept.controllerId)}&fromMs=0&toMs=${String(Date.UTC(2027, 0, 1))}`;
  expect((await page.ask('GET', series, undefined, session)).body).toMatchObject({ controllerId: 'imported:1' });
  const again = await fetch(`${page.address}/api/runs/imported%3A1/${String(kept.incarnation)}/1/export.json`, { headers: session }); // prettier-ignore
  expect(await again.json()).toMatchObject({ run: { controllerId: 'north-bench' } });
  expect((await send(page, session, bytes)).status).toBe(409);
});

it('a file that cannot be taken is answered with its place, and nothing of it stays', async () => {
  const { page, session } = await inside();
  const answer = await send(page, session, 'time,current\n1,2\n');
  expect(answer.status).toBe(422);
  expect(await answer.json()).toEqual({
    error: 'night.zip was not imported, and nothing was changed.',
    problems: [expect.stringMatching(/^Line 1: expected a run as this dashboard exports it/)],
  });
  expect((await page.ask('GET', '/api/run-imports', undefined, session)).body).toEqual([]);
});

it('a file that says it is too large is refused before it has come, and a foreign one by its first bytes', async () => {
  const { page, session } = await inside();
  const { hostname, port } = new URL(page.address);
  /** Sends a beginning and no more, and waits for what is said of it. */
  const begun = (headers: Record<string, string>, beginning: string): Promise<{ status: number; said: string }> =>
    new Promise((done, failed) => {
      const asked = request({ hostname, port, method: 'POST', path: '/api/run-imports?fileName=night.zip&importedBy=Mara', headers: { ...session, 'content-type': 'application/octet-stream', ...headers } }, (answer) => {
        let said = '';
        answer.setEncoding('utf8').on('data', (part: string) => (said += part));
        answer.on('end', () => {
          asked.destroy();
          done({ status: answer.statusCode!, said });
        });
      });
      asked.on('error', failed);
      asked.write(beginning);
    });
  const tooLarge = await begun({ 'content-length': '5000000000' }, '{"format": "bathkeeper-run",');
  expect(tooLarge).toMatchObject({ status: 413, said: expect.stringContaining('night.zip has 5,000 MB. Expected one run, in a file of at most 1,000 MB') as string });
  const foreign = await begun({ 'transfer-encoding': 'chunked' }, 'time,current\n1,2\n'.repeat(100));
  expect(foreign).toMatchObject({ status: 422, said: expect.stringContaining('Line 1: expected a run as this dashboard exports it') as string });
}); // prettier-ignore

it('an import without a name, or as a form of another site would send it, is refused', async () => {
  const { page, session } = await inside();
  expect((await send(page, session, 'x', '?fileName=night.zip')).status).toBe(400);
  const form = await fetch(`${page.address}/api/run-imports?fileName=a&importedBy=b`, { method: 'POST', headers: session, body: 'x' }); // prettier-ignore
  expect(form.status).toBe(415);
  const json = await page.ask('POST', '/api/run-imports?fileName=a&importedBy=b', {}, session);
  expect(json.status).toBe(415);
});

it('export and import stay behind the door, and a run or format that is not there is told', async () => {
  const { page, session } = await inside();
  expect((await page.ask('GET', `${AT}/export.json`)).status).toBe(401);
  expect((await send(page, {}, 'x')).status).toBe(401);
  expect((await page.ask('GET', `${AT}/export.json`, undefined, session)).status).toBe(404);
  tell(page.trial.dashboard.store, fullNight);
  expect((await page.ask('GET', `${AT}/export.xls`, undefined, session)).body.error).toMatch(/export\.zip, export\.json, export\.parquet; got export\.xls/); // prettier-ignore
});

it('a run whose raw records have gone by their age is not exported as if it were whole', async () => {
  const { page, session } = await inside();
  tell(page.trial.dashboard.store, fullNight);
  page.trial.dashboard.store.database.exec('DELETE FROM raw_records WHERE first < 10');
  const { status, body } = await page.ask('GET', `${AT}/export.json`, undefined, session);
  expect(status).toBe(410);
  expect(body.error).toMatch(/no longer all kept: there are only its sums by the minute/);
});

it('an imported run that was deleted is brought back, not taken twice; once it is gone for good nothing of it is left, and it can be imported anew', async () => {
  const { page, session } = await inside();
  const { clock, dashboard } = page.trial;
  const { database } = dashboard.store;
  tell(dashboard.store, fullNight);
  const tables = [
    'raw_records',
    'minutes',
    'ten_minutes',
    'memories',
    'events',
    'queues',
    'runs',
    'recipes',
    'run_measures',
    'raw_ends',
    'imported_runs',
    'deleted_runs',
    'run_entries',
    'run_entries_undone',
    'imported_alarms',
  ];
  tellMore(dashboard.store, fullTold);
  const counts = (): unknown =>
    tables.map((table) => [table, database.prepare(`SELECT count(*) FROM ${table}`).pluck().get()]);
  const before = counts();
  const file = await (await fetch(`${page.address}${AT}/export.json`, { headers: session })).arrayBuffer();
  const kept = (await (await send(page, session, file)).json()) as ImportedRun;
  const run = `/api/runs/imported%3A1/${String(kept.incarnation)}/1`;
  const record = async (): Promise<{ bathName: string }> =>
    (await page.ask('GET', run, undefined, session)).body as never;
  expect((await record()).bathName).toBe(`${kept.original.bathName}, imported`);
  await page.ask(
    'POST',
    `${run}/entries`,
    { who: 'Mara', note: 'From the other house', body: { kind: 'note' } },
    session,
  );
  await page.ask('POST', `${run}/delete`, { who: 'Mara' }, session);
  expect((await page.ask('GET', `${run}/export.json`, undefined, session)).status).toBe(404);
  expect((await page.ask('GET', '/api/run-imports', undefined, session)).body).toEqual([]);
  expect((await page.ask('GET', '/api/deleted-runs', undefined, session)).body).toMatchObject([
    { bathName: `${kept.original.bathName}, imported` },
  ]);
  const refused = await send(page, session, file);
  expect(refused.status).toBe(409);
  expect(((await refused.json()) as { error: string }).error).toContain('Bring it back');
  const step = openGoneImports(dashboard.store, 7);
  expect(step()).toBe(false);
  dashboard.deletedRuns.forgetNext(clock.nowMs() + 30 * 86_400_000);
  // While it goes it can come anew, under a name of its own.
  step();
  expect(await (await send(page, session, file)).json()).toMatchObject({ controllerId: 'imported:2' });
  await page.ask('POST', `/api/runs/imported%3A2/${String(kept.incarnation)}/1/delete`, { who: 'Mara' }, session);
  dashboard.deletedRuns.forgetNext(clock.nowMs() + 30 * 86_400_000);
  let steps = 0;
  while (step()) steps++;
  expect(steps).toBeGreaterThan(10);
  expect(counts()).toEqual(before);
});

it.each(endings)(
  'of a run that went on when its export.%s was written, the import tells just that, and the charge so far',
  async (ending) => {
    const { page, session } = await inside();
    const { store } = page.trial.dashboard;
    tell(store, { ...fullNight, isEnded: false });
    // As a run stands in the store until its controller has told its end.
    store.database.exec('UPDATE runs SET charge_millicoulombs = 0 WHERE run = 1');
    const so = (path: string) => page.ask('GET', path, undefined, session);
    const chargeSoFar = ((await so('/api/runs')).body as unknown as RunListEntry[])[0]!.chargeAmpereHours;
    expect(chargeSoFar).toBeGreaterThan(0);
    const file = await (await fetch(`${page.address}${AT}/export.${ending}`, { headers: session })).arrayBuffer();
    expect((await send(page, session, file)).status).toBe(201);
    const runs = (await so('/api/runs')).body as unknown as RunListEntry[];
    expect(runs.find(({ controllerId }) => controllerId === 'imported:1')).toMatchObject({
      chargeAmpereHours: chargeSoFar,
      endedBecause: 'its file was written while it went on',
      goesOn: false,
    });
    expect(runs.find(({ controllerId }) => controllerId === RUN.controllerId)).toMatchObject({
      endedBecause: null,
      goesOn: true,
    });
  },
);

it.each(['constructor', 'toString', '__proto__'])('export.%s is a format that is not there', async (ending) => {
  const { page, session } = await inside();
  tell(page.trial.dashboard.store, fullNight);
  expect(await page.ask('GET', `${AT}/export.${ending}`, undefined, session)).toMatchObject({ status: 404 });
});
