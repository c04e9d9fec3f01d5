/*
 * Files that somebody sends by mistake or with a purpose, over real HTTP, into a store that holds a night: each is refused in words, and nothing whatever is changed by
 * it, in no table and in no folder.
 */
import { createHash } from 'node:crypto';
import { readdirSync } from 'node:fs';
import { dirname } from 'node:path';
import { strToU8, unzipSync, zipSync } from 'fflate';
import { expect, it } from 'vitest';
import type { Store } from '../../../../dashboard/server/store/store.js';
import { pngOf } from '../logbook/photographs.js';
import { type Answer, letIn, type Page, pageOnTrial } from '../page-on-trial.js';
import { fileOf, fullNight, fullTold, runOf, tell, tellMore } from './run-on-trial.js';

/** Of every table all rows, as one digest. */
function contentOf({ database }: Store): Record<string, string> {
  const tables = database
    .prepare<[], string>("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
    .pluck()
    .all();
  return Object.fromEntries(
    tables.map((table) => {
      const digest = createHash('sha256');
      for (const row of database.prepare(`SELECT * FROM "${table}"`).raw().iterate())
        digest.update(JSON.stringify(row, (_, value: unknown) => (typeof value === 'bigint' ? String(value) : value)));
      return [table, digest.digest('hex')];
    }),
  );
}

async function sent(page: Page, session: Record<string, string>, bytes: Uint8Array): Promise<Answer> {
  const response = await fetch(`${page.address}/api/run-imports?fileName=night.zip&importedBy=Mara`, {
    method: 'POST',
    headers: { ...session, 'content-type': 'application/octet-stream' },
    body: Buffer.from(bytes),
  });
  return { status: response.status, body: (await response.json()) as Answer['body'], headers: response.headers };
}

type Spoil = (zip: Buffer) => Uint8Array;
const repacked =
  (change: (parts: Record<string, Uint8Array>) => Record<string, Uint8Array>): Spoil =>
  (zip) =>
    zipSync(change(unzipSync(new Uint8Array(zip))));

it.each<readonly [what: string, spoil: Spoil]>([
  ['nothing', () => new Uint8Array()],
  ['a single byte', (zip) => zip.subarray(0, 1)],
  ['an archive of nothing', () => zipSync({})],
  ['a picture with the name of an archive', () => pngOf(640, 480)],
  ['the first half of an archive', (zip) => zip.subarray(0, zip.length / 2)],
  ['lists in lists without end', () => Buffer.from(`{"format":${'['.repeat(100_000)}`)],
  // 64 MB of one letter are 64 KB packed.
  ['an archive that unpacks to a thousandfold', repacked((parts) => ({ ...parts, 'records.csv': Buffer.concat([parts['records.csv']!, Buffer.alloc(64_000_000, 'x')]) }))],
  ['one whose table lies above its folder, and is cut off', repacked(({ 'records.csv': records, ...parts }) => ({ ...parts, '../../records.csv': records!.subarray(0, records!.length / 2) }))],
  ['one whose head is a list', repacked((parts) => ({ ...parts, 'run.json': strToU8('[]') }))],
  ['one whose last record was changed by a digit', repacked((parts) => ({ ...parts, 'records.csv': strToU8(Buffer.from(parts['records.csv']!).toString().replace(/(\r\n\d+,)\d+,/, '$19,')) }))],
])('%s is refused, and no row of the store is another', async (_what, spoil) => {
  const page = await pageOnTrial();
  const session = await letIn(page);
  const { store } = page.trial.dashboard;
  tell(store, fullNight);
  tellMore(store, fullTold);
  const bytes = spoil(await fileOf(runOf(store), 'zip'));
  const before = contentOf(store);
  expect(Object.keys(before).length).toBeGreaterThan(25);
  const folder = store.database.name === ':memory:' ? undefined : dirname(store.database.name);
  const lay = folder === undefined ? [] : readdirSync(folder).sort();
  const answer = await sent(page, session, bytes);
  expect(answer).toMatchObject({ status: 422, body: { error: 'night.zip was not imported, and nothing was changed.' } });
  expect(answer.body.problems).toHaveLength(1);
  expect(contentOf(store)).toEqual(before);
  if (folder !== undefined) expect(readdirSync(folder).sort()).toEqual(lay);
}, 30_000); // prettier-ignore

it('a good file changes the store, so that the comparison above can fail', async () => {
  const page = await pageOnTrial();
  const session = await letIn(page);
  const { store } = page.trial.dashboard;
  tell(store, fullNight);
  const bytes = await fileOf(runOf(store), 'zip');
  const before = contentOf(store);
  expect(await sent(page, session, bytes)).toMatchObject({ status: 201 });
  expect(contentOf(store)).not.toEqual(before);
});
