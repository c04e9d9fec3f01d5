/* What the page says of the store, in whole sentences. */
import { describe, expect, it } from 'vitest';
import type { BackupsView, StoreRoomView } from '@bathkeeper/shared-core/messages';
import { checkWords, newestBackupWords, roomWords, sizeWords } from '../../../dashboard/page/words/keeping-words.js';

const NOW = Date.UTC(2026, 0, 10, 21, 4);
const DAY = 86_400_000;
const plain = (words: string): string => words.replaceAll('\u00a0', ' ');
const backups = (more: Partial<BackupsView['newest'] & object> = {}): BackupsView => ({
  isUnderWay: false, folder: '/data/backups', problem: null, kept: [],
  newest: { madeAtMs: NOW - 3600_000, file: '/stick/bath.sqlite', isThere: true, bytes: 312e6, runs: 14, newestRecordAtMs: NOW - 3601_000, ...more },
}); // prettier-ignore
const room: StoreRoomView = { storeBytes: 312e6, photographBytes: 48e6, photographBytesLately: 12e6, backupBytes: 552e6, backupBytesLately: 312e6, freeBytes: 41e9, recordsKeptDays: 90, bytesADay: 16.4e6, recordsFullInDays: 33.2, bytesADayThen: 0.36e6, daysUntilFull: 'more than ten years' }; // prettier-ignore

describe('what is said of the store', () => {
  it.each([
    [{ state: 'sound', atMs: NOW, found: [] } as const, 'Every page of the store could be read at 21:04, and nothing was damaged.'],
    [{ state: 'damaged', atMs: NOW, found: ['Tree 9 page 40: bad', 'x'] } as const, 'The store is damaged, as it was read at 21:04: Tree 9 page 40: bad; x.'],
    [{ state: 'unread', atMs: NOW, found: ['Ask again.'] } as const, 'The store could not be checked at 21:04. Ask again.'],
    [{ state: 'not-yet', atMs: null, found: [] } as const, 'It was not read since this dashboard started.'],
  ])('%j', (check, words) => {
    expect(checkWords(check, NOW, 'UTC')).toBe(words);
  }); // prettier-ignore

  it('of the newest backup: when, where, what was found in it, and that it is gone', () => {
    expect(plain(newestBackupWords(backups(), NOW, 'UTC'))).toBe('The newest backup was made at 20:04: /stick/bath.sqlite, 312 MB. It was read back: 14 runs, records until 20:03.'); // prettier-ignore
    const old = newestBackupWords(backups({ madeAtMs: NOW - 40 * DAY, isThere: false, runs: 1, newestRecordAtMs: null }), NOW, 'UTC'); // prettier-ignore
    expect(plain(old)).toContain('made 40 days ago, on Mon 1 Dec 2025: ');
    expect(old).toContain('1 run and no record. It does not lie there any more.');
    expect(newestBackupWords({ ...backups(), newest: null }, NOW)).toContain('No backup is known');
  });

  it('of the room: what it takes, how it grows now and later, how long the disk will do', () => {
    expect(plain(roomWords(room))).toBe(
      'The store takes 312 MB, 48 MB of it photographs. Each second is kept for 90 days, its minutes for ever. By the last seven days what is logged grows by 16 MB a day for 34 days more, then by 0.4 MB. Backups beside it take 552 MB. In the last 30 days photographs of 12 MB and backups of 312 MB came. 41 GB of its disk are free: enough for more than ten years, as long as it goes on like that and nothing else fills it.',
    );
    expect(plain(roomWords({ ...room, daysUntilFull: 12.2, recordsFullInDays: 0 }))).toMatch(/16 MB a day\. Backups beside it.*41 GB of its disk are free: enough for about 13 days/); // prettier-ignore
    expect(roomWords({ ...room, daysUntilFull: 1200 })).toContain('about 3 years');
    expect(roomWords({ ...room, freeBytes: null, daysUntilFull: null })).toContain('is not known: look at it yourself');
    expect(roomWords({ ...room, bytesADay: 0 })).toContain('Nothing was logged in the last seven days.');
    const none = { ...room, photographBytes: 0, photographBytesLately: 0, backupBytes: 0, backupBytesLately: 0 };
    expect(plain(roomWords(none))).toMatch(/^The store takes 312 MB\. Each.*No backup lies beside it\. 41 GB/);
    expect(roomWords({ ...none, backupBytes: null })).toContain('Backups lie on another disk.');
    expect(plain(sizeWords(420e3))).toBe('0.4 MB');
  });
});
