/* The record of a run under two hands at once, and at its bounds: deleted and brought back from two windows, its sheet under way meanwhile, the photograph too many. Real HTTP. */
import { expect, it } from 'vitest';
import type { RunEntry } from '@bathkeeper/shared-core/trade';
import { CONTROLLER } from '../dashboard-on-trial.js';
import { INCARNATION } from '../quiet-bath.js';
import { aNight, type Night, RUN } from './a-night.js';
import { jpegOf } from './photographs.js';

const statuses = (answers: readonly { status: number }[]): number[] => answers.map(({ status }) => status).sort();
const photographed = async ({ page, session }: Night): Promise<{ status: number; body: RunEntry & { error?: string } }> => {
  const response = await fetch(`${page.address}${RUN}/photographs?who=Robin`, {
    method: 'POST',
    headers: { ...session, 'content-type': 'application/octet-stream' },
    body: new Uint8Array(jpegOf(640, 480)),
  });
  return { status: response.status, body: (await response.json()) as RunEntry };
}; // prettier-ignore

it('is deleted once and brought back once, however many ask at the same time, and its photographs go and come with it', async () => {
  const night = await aNight();
  const { page, session } = night;
  const { entryId } = (await photographed(night)).body;
  const ask = (path: string, body: object): Promise<{ status: number }> =>
    page.ask('POST', `${RUN}/${path}`, body, session);
  const picture = async (): Promise<number> =>
    (await fetch(`${page.address}${RUN}/photographs/${String(entryId)}`, { headers: session })).status;
  for (let round = 0; round < 3; round++) {
    expect(await picture()).toBe(200);
    expect(statuses(await Promise.all([ask('delete', { who: 'Kim' }), ask('delete', { who: 'Ola' })]))).toEqual([
      200, 404,
    ]);
    expect(await picture()).toBe(404);
    expect(statuses([await ask('entries', { who: 'Kim', note: 'x', body: { kind: 'note' } })])).toEqual([404]);
    expect(statuses(await Promise.all([ask('bring-back', {}), ask('bring-back', {})]))).toEqual([200, 404]);
  }
});

it('gives its sheet and its files as a whole or says that it is not in the logbook, while somebody deletes it', async () => {
  const { page, session } = await aNight();
  for (const what of ['sheet.html', 'sheet.pdf', 'export.zip', 'export.json']) {
    const [file, deleted] = await Promise.all([
      fetch(`${page.address}${RUN}/${what}`, { headers: session }),
      page.ask('POST', `${RUN}/delete`, { who: 'Kim' }, session),
    ]);
    const bytes = Buffer.from(await file.arrayBuffer());
    expect(deleted.status).toBe(200);
    expect([200, 404], what).toContain(file.status);
    const ends = { 'sheet.html': '</html>', 'sheet.pdf': '%%EOF', 'export.json': '}' }[what] ?? '';
    if (file.status === 200) expect(bytes.toString('latin1').trimEnd().endsWith(ends), what).toBe(true);
    expect((await page.ask('POST', `${RUN}/bring-back`, {}, session)).status).toBe(200);
  }
});

it('takes sixty photographs, one more where one was undone, and none beyond what a run takes in all', async () => {
  const night = await aNight();
  const { page, session } = night;
  const first = (await photographed(night)).body;
  for (let count = 1; count < 60; count++) expect((await photographed(night)).status).toBe(200);
  expect(await photographed(night)).toMatchObject({ status: 409, body: { error: expect.stringContaining('Undo one') as string } }); // prettier-ignore
  const undone = { who: 'Robin', reason: 'Not sharp' };
  expect((await page.ask('POST', `${RUN}/entries/${String(first.entryId)}/undo`, undone, session)).status).toBe(200);
  const last = await photographed(night);
  expect(last.status).toBe(200);
  const { runEntries } = page.trial.dashboard;
  const key = { controllerId: CONTROLLER, incarnation: INCARNATION, run: 1 };
  while (runEntries.ofRun(key).length < 500)
    runEntries.add(key, { atMs: 0, who: 'Robin', note: 'x', body: { kind: 'note' } }, 0);
  expect((await page.ask('POST', `${RUN}/entries/${String(last.body.entryId)}/undo`, undone, session)).status).toBe(200); // prettier-ignore
  expect(await photographed(night)).toMatchObject({ status: 409, body: { error: expect.stringContaining('500') as string } }); // prettier-ignore
});
