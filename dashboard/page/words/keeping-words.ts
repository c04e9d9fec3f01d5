/* What is said of the store: its check, its backups, its room on the disk. Pure, read by the room Keeping. */
import type { BackupsView, StoreCheckView, StoreRoomView } from '@bathkeeper/shared-core/messages';
import { datedDay, timeWords } from './times.js';

const DAY_MS = 86_400_000;

/** Example: a sound store is "Every page of the store could be read at 21:04, and nothing was damaged." */
export function checkWords({ state, atMs, found }: StoreCheckView, nowMs: number, zone?: string): string {
  const when = atMs === null ? '' : ` at ${timeWords(atMs, nowMs, zone)}`;
  switch (state) {
    case 'not-yet':
      return 'It was not read since this dashboard started.';
    case 'under-way':
      return 'All of it is being read. A store of years takes some minutes; the baths are watched meanwhile.';
    case 'sound':
      return `Every page of the store could be read${when}, and nothing was damaged.`;
    case 'damaged':
      return `The store is damaged, as it was read${when}: ${found.join('; ')}.`;
    case 'unread':
      return `The store could not be checked${when}. ${found.join(' ')}`;
  }
}

/** Example: `sizeWords(1.25e9)` is "1.3 GB", `sizeWords(420e3)` is "0.4 MB". */
export function sizeWords(bytes: number): string {
  const [size, unit] = bytes >= 1e9 ? [bytes / 1e9, 'GB'] : [bytes / 1e6, 'MB'];
  return `${size.toFixed(size < 9.95 ? 1 : 0)}\u00a0${unit}`;
}

/** The newest backup, its age first. */
export function newestBackupWords({ newest, isUnderWay }: BackupsView, nowMs: number, zone?: string): string {
  if (isUnderWay) return 'A backup is being made. The baths are watched and every second is stored meanwhile.';
  if (newest === null)
    return 'No backup is known. When this disk fails, everything is lost that was measured and written down.';
  const days = Math.floor((nowMs - newest.madeAtMs) / DAY_MS);
  const age =
    days < 2
      ? `at ${timeWords(newest.madeAtMs, nowMs, zone)}`
      : `${String(days)} days ago, on ${datedDay(newest.madeAtMs, nowMs, zone)}`;
  const held = `${String(newest.runs)} ${newest.runs === 1 ? 'run' : 'runs'}${newest.newestRecordAtMs === null ? ' and no record' : `, records until ${timeWords(newest.newestRecordAtMs, nowMs, zone)}`}`;
  return `The newest backup was made ${age}: ${newest.file}, ${sizeWords(newest.bytes)}. It was read back: ${held}.${newest.isThere ? '' : ' It does not lie there any more.'}`;
}

/** How long the disk will do; the rate as it is now and as it will be. */
export function roomWords(room: StoreRoomView): string {
  const { storeBytes, photographBytes, recordsKeptDays, bytesADay, recordsFullInDays, bytesADayThen } = room;
  const pictures = photographBytes > 0 ? `, ${sizeWords(photographBytes)} of it photographs` : '';
  const takes = `The store takes ${sizeWords(storeBytes)}${pictures}. Each second is kept for ${daysCount(recordsKeptDays)}, its minutes for ever.`;
  const later =
    recordsFullInDays > 0 ? ` for ${daysCount(recordsFullInDays)} more, then by ${sizeWords(bytesADayThen)}` : '';
  const grows =
    bytesADay === 0
      ? 'Nothing was logged in the last seven days.'
      : `By the last seven days what is logged grows by ${sizeWords(bytesADay)} a day${later}.`;
  return [takes, grows, ...addedWords(room), diskWords(room)].join(' ');
}

/** Photographs and backups: what they take, and what they added lately. */
function addedWords({ photographBytesLately, backupBytes, backupBytesLately }: StoreRoomView): string[] {
  const added = [
    ...(photographBytesLately > 0 ? [`photographs of ${sizeWords(photographBytesLately)}`] : []),
    ...(backupBytesLately > 0 ? [`backups of ${sizeWords(backupBytesLately)}`] : []),
  ];
  return [
    backupBytes === null
      ? 'Backups lie on another disk.'
      : backupBytes > 0
        ? `Backups beside it take ${sizeWords(backupBytes)}.`
        : 'No backup lies beside it.',
    ...(added.length > 0 ? [`In the last 30 days ${added.join(' and ')} came.`] : []),
  ];
}

function diskWords({ freeBytes, daysUntilFull }: StoreRoomView): string {
  if (freeBytes === null || daysUntilFull === null)
    return 'How much room its disk has is not known: look at it yourself.';
  const lasts = typeof daysUntilFull === 'string' ? daysUntilFull : `about ${daysCount(daysUntilFull)}`;
  return `${sizeWords(freeBytes)} of its disk are free: enough for ${lasts}, as long as it goes on like that and nothing else fills it.`;
}

/** Example: 400 is "400 days", 1200 is "3 years". */
function daysCount(days: number): string {
  if (days >= 2 * 365.25) return `${String(Math.floor(days / 365.25))} years`;
  const whole = Math.ceil(days);
  return whole === 1 ? 'a day' : `${String(whole)} days`;
}
