/* Backups from the page: made in a thread while records come, read back, listed, downloaded, deleted; and every way in which none is made. */
import { chmodSync, existsSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { KeepingView } from '@bathkeeper/shared-core/messages';
import { openBackupFolder } from '../../../../dashboard/server/keeping/backup-folder.js';
import { openStore } from '../../../../dashboard/server/store/store.js';
import { CONTROLLER, EVENING_MS, folderOnTrial } from '../dashboard-on-trial.js';
import { letIn, type Page, pageOnTrial } from '../page-on-trial.js';
import { recordRow } from '../quiet-bath.js';

const NAME = 'bathkeeper-2026-01-10T20-00-00Z.sqlite';

async function openedPage(): Promise<{
  page: Page;
  headers: Record<string, string>;
  view: () => Promise<KeepingView>;
}> {
  const page = await pageOnTrial();
  const headers = await letIn(page);
  const view = async (): Promise<KeepingView> =>
    (await page.ask('GET', '/api/keeping', undefined, headers)).body as unknown as KeepingView;
  return { page, headers, view };
}
function take({ trial }: Page, first: number): void {
  trial.dashboard.store.takeOutbox({ controllerId: CONTROLLER, incarnation: 7, boot: 1, uptimeTenths: first * 10, receivedAtMs: EVENING_MS + first * 1000, records: [recordRow({ first })], events: [] }); // prettier-ignore
}
/** The dashboard's own promise of the backup that a request began. */
const ended = ({ trial }: Page): Promise<void> => trial.dashboard.keeping.backUp();

describe('a backup from the page', () => {
  it('is made while records are stored, read back, told with what it holds, and opens as a store', async () => {
    const { page, headers, view } = await openedPage();
    for (let first = 1; first <= 200; first++) take(page, first);
    const before = await view();
    expect(before.backups).toMatchObject({ isUnderWay: false, newest: null, kept: [], problem: null });
    const begun = (await page.ask('POST', '/api/keeping/backups', {}, headers)).body as unknown as KeepingView;
    expect(begun.backups.isUnderWay).toBe(true);
    for (let first = 201; first <= 300; first++) take(page, first);
    await ended(page);
    const { backups } = await view();
    expect(backups.kept).toEqual([{ name: NAME, madeAtMs: EVENING_MS, bytes: backups.newest!.bytes }]);
    expect(backups.newest).toMatchObject({ madeAtMs: EVENING_MS, isThere: true, runs: 0, file: join(page.trial.folder, 'backups', NAME) });
    // One instant of the store, all of what was acknowledged before it was asked.
    const copy = openStore(backups.newest!.file);
    const held = copy.database.prepare<[], number>('SELECT count(*) FROM records').pluck().get()!;
    expect(held).toBeGreaterThanOrEqual(200);
    expect(backups.newest!.newestRecordAtMs).toBe(copy.database.prepare('SELECT max(newest_at_ms) FROM memories').pluck().get());
    copy.close();
    expect(page.trial.dashboard.store.database.prepare('SELECT count(*) FROM records').pluck().get()).toBe(300);
  }); // prettier-ignore

  it('is downloaded as the file that it is, and deleted; another name reaches no other file', async () => {
    const { page, headers, view } = await openedPage();
    await ended(page);
    const answer = await fetch(`${page.address}/api/keeping/backups/${NAME}`, { headers });
    expect(answer.headers.get('content-disposition')).toBe(`attachment; filename=${NAME}`);
    const bytes = Buffer.from(await answer.arrayBuffer());
    expect(bytes.subarray(0, 15).toString()).toBe('SQLite format 3');
    expect(bytes).toHaveLength((await view()).backups.kept[0]!.bytes);
    for (const method of ['GET', 'DELETE'])
      for (const name of ['..%2Fbathkeeper.sqlite', 'bathkeeper.sqlite', 'bathkeeper-2026-01-10T20-00-01Z.sqlite']) {
        const refused = await page.ask(method, `/api/keeping/backups/${name}`, method === 'GET' ? undefined : {}, headers);
        expect(refused.status, name).toBe(404);
        expect(refused.body.error).toMatch(/no backup .* on this computer/);
      } // prettier-ignore
    expect((await fetch(`${page.address}/api/keeping/backups/${NAME}`)).status).toBe(401);
    const left = (await page.ask('DELETE', `/api/keeping/backups/${NAME}`, {}, headers)).body as unknown as KeepingView;
    expect(left.backups).toMatchObject({ kept: [], newest: { isThere: false } });
    expect(existsSync(join(page.trial.folder, 'bathkeeper.sqlite'))).toBe(true);
  });

  it('that cannot be made says why, leaves nothing half, and clears what one that was cut off has left', async () => {
    const { page, view } = await openedPage();
    const folder = join(page.trial.folder, 'backups');
    writeFileSync(folder, 'a file where the folder belongs');
    await ended(page);
    expect((await view()).backups).toMatchObject({ problem: expect.stringMatching(/^No backup was made: .*EEXIST/), kept: [] });
    rmSync(folder);
    mkdirSync(folder);
    writeFileSync(join(folder, 'bathkeeper-2026-01-09T20-00-00Z.sqlite.next'), 'half of one');
    writeFileSync(join(folder, 'of somebody else'), 'stays');
    await ended(page);
    expect((await view()).backups.problem).toBe(null);
    expect(readdirSync(folder).sort()).toEqual([NAME, 'of somebody else']);
    await ended(page);
    expect((await view()).backups.problem).toMatch(/exists already. Try again/);
  }); // prettier-ignore
});

describe('the folder of backups', () => {
  it('that a person named must be there: its disk may not be', async () => {
    const path = join(folderOnTrial(), 'stick');
    expect(await openBackupFolder(path, false).place(EVENING_MS, 1e6)).toEqual({
      problem: `There is no folder ${path}. Expected the one that --backups (BATHKEEPER_BACKUPS) names: is its disk there?`,
    });
    expect(existsSync(path)).toBe(false);
    mkdirSync(path);
    expect(await openBackupFolder(path, false).place(EVENING_MS, 1e6)).toEqual({ file: join(path, NAME) });
  });

  it('takes none that its disk has no room for', async () => {
    const path = folderOnTrial();
    chmodSync(path, 0o700);
    expect(await openBackupFolder(path, true).place(EVENING_MS, 1e18)).toMatchObject({
      problem: expect.stringMatching(/no room for it in .* are free, expected 1000000000 GB/) as unknown,
    });
  });
});
