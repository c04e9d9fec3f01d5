/* The room Keeping in a real browser against canned answers: backups made, downloaded and deleted, a damaged store, and how it looks. */
import { describe, expect, test } from 'vitest';
import type { KeepingView } from '@bathkeeper/shared-core/messages';
import { NIGHT_MS } from './canned-night.js';
import { eventually, pageRoom } from './page-room.js';
import { controlsHeard } from './unnamed-controls.js';

const room = pageRoom();
const kept = [
  { name: 'bathkeeper-2026-02-09T02-04-00Z.sqlite', madeAtMs: NIGHT_MS - 86_400_000, bytes: 312e6 },
  { name: 'bathkeeper-2026-01-24T02-04-00Z.sqlite', madeAtMs: NIGHT_MS - 17 * 86_400_000, bytes: 240e6 },
];
const view: KeepingView = {
  check: { state: 'sound', atMs: NIGHT_MS - 3600_000, found: [] },
  backups: {
    isUnderWay: false,
    folder: '/home/somebody/.local/share/bathkeeper/backups',
    problem: null,
    newest: { madeAtMs: kept[0]!.madeAtMs, file: `/home/somebody/.local/share/bathkeeper/backups/${kept[0]!.name}`, isThere: true, bytes: 312e6, runs: 14, newestRecordAtMs: kept[0]!.madeAtMs }, // prettier-ignore
    kept,
  },
  room: { storeBytes: 312e6, photographBytes: 48e6, photographBytesLately: 12e6, backupBytes: 552e6, backupBytesLately: 312e6, freeBytes: 41e9, recordsKeptDays: 90, bytesADay: 16.4e6, recordsFullInDays: 33.2, bytesADayThen: 0.36e6, daysUntilFull: 'more than ten years' }, // prettier-ignore
};
const damaged: KeepingView = {
  ...view,
  check: { state: 'damaged', atMs: NIGHT_MS, found: ['Tree 23 page 4410: btreeInitPage() returns error code 11'] },
  backups: { ...view.backups, problem: 'No backup was made. /backups/bathkeeper-2026-02-10T02-00-00Z.sqlite.next is damaged (disk image is malformed).', newest: null, kept: [] }, // prettier-ignore
};

describe('what is kept', () => {
  test('is reached from the settings, and a backup is asked, waited for, and told when it was read back', async () => {
    room.server.shelves.set('/api/keeping', view);
    room.server.answer = ({ path }) =>
      path === '/api/keeping/backups'
        ? { body: { ...view, backups: { ...view.backups, isUnderWay: true } } }
        : undefined;
    const page = await room.opened({}, '/#settings');
    await page.getByRole('link', { name: 'Room on the disk, backups' }).click();
    await page.getByText('It was read back: 14 runs').waitFor();
    await page.getByText('enough for more than ten years').waitFor();
    const three = { name: 'bathkeeper-2026-02-10T02-00-00Z.sqlite', madeAtMs: NIGHT_MS, bytes: 313e6 };
    room.server.shelves.set('/api/keeping', () => ({ ...view, backups: { ...view.backups, kept: [three, ...kept] } }));
    await page.getByRole('button', { name: 'Back up now' }).click();
    await eventually(() => page.getByRole('link', { name: /Download the backup of/ }).count()).toBe(3);
    expect(room.server.asked.map(({ method, path }) => `${method} ${path}`)).toEqual(['POST /api/keeping/backups']);
    const link = page.getByRole('link', { name: /Download the backup of/ }).first();
    expect(await link.getAttribute('href')).toBe(`/api/keeping/backups/${three.name}`);
  });

  test('asks a second time before a backup is deleted', async () => {
    room.server.shelves.set('/api/keeping', view);
    room.server.answer = ({ method }) =>
      method === 'DELETE' ? { body: { ...view, backups: { ...view.backups, kept: kept.slice(1) } } } : undefined;
    const page = await room.opened({}, '/#keeping');
    await page.getByRole('button', { name: /^Delete the backup of/ }).first().click(); // prettier-ignore
    await page.getByRole('button', { name: 'Delete the backup', exact: true }).click();
    await eventually(() => page.getByRole('link', { name: /Download/ }).count()).toBe(1);
    expect(room.server.asked).toMatchObject([{ method: 'DELETE', path: `/api/keeping/backups/${kept[0]!.name}` }]);
  });

  test('tells a damaged store, what to do, and checks it again', async () => {
    room.server.shelves.set('/api/keeping', damaged);
    room.server.answer = () => ({ body: view });
    const page = await room.opened({}, '/#keeping');
    await page.getByText('keeps the damaged store beside it').waitFor();
    await page.getByText('btreeInitPage').waitFor();
    await page.getByRole('button', { name: 'Check the store now' }).click();
    await page.getByText('nothing was damaged').waitFor();
    expect(room.server.asked).toMatchObject([{ method: 'POST', path: '/api/keeping/check' }]);
  });

  test('has a name for every control', async () => {
    room.server.shelves.set('/api/keeping', view);
    const page = await room.opened({}, '/#keeping');
    await page.getByRole('button', { name: /^Delete the backup of/ }).first().click(); // prettier-ignore
    const heard = await controlsHeard(page);
    expect(heard.faults).toEqual([]);
    expect(heard.count).toBeGreaterThan(8);
  });

  test('looks right', async () => {
    room.server.shelves.set('/api/keeping', view);
    await room.looksRight('keeping', '/#keeping', (page) => page.getByText('It was read back').waitFor());
  });

  test('looks right where the store is damaged', async () => {
    room.server.shelves.set('/api/keeping', damaged);
    await room.looksRight('keeping-damaged', '/#keeping', (page) => page.getByText('btreeInitPage').waitFor());
  });
});
