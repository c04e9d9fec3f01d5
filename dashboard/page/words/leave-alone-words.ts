/*
 * The leave-alone check in words: a name for each item, and what to make of them together. Used by its room and by the bath page; pure.
 * It advises: nothing here decides whether a run may go on.
 */
import type { LeaveAloneItem, LeaveAloneView } from '@bathkeeper/shared-core/messages';

export const leaveAloneTitle: Readonly<Record<LeaveAloneItem['name'], string>> = {
  'call-confirmed': 'A call that somebody confirmed',
  'page-address': 'Where the link in a call leads',
  'link-quality': 'The link to the controller',
  'rig-limits': "The rig's limits",
  'calibration-age': 'The calibration',
  disk: 'Room on the disk',
  sleep: 'This computer stays awake',
  'automatic-update': 'No update in the night',
  'starts-after-power-cut': 'It starts again after a power cut',
  clock: 'The clock',
  'outward-heartbeat': 'Somebody outside notices',
  'finish-time': 'The time when it is done',
};

export const leaveAloneState: Readonly<Record<LeaveAloneItem['state'], string>> = {
  good: 'good',
  missing: 'missing',
  unknown: 'not known, counts as missing',
};

/** What is missing first, in the order in which it was told. */
export function missingFirst(view: LeaveAloneView): {
  readonly missing: readonly LeaveAloneItem[];
  readonly good: readonly LeaveAloneItem[];
} {
  return {
    missing: view.items.filter((item) => item.state !== 'good'),
    good: view.items.filter((item) => item.state === 'good'),
  };
}

/** Example: "2 of 12 are missing. Whether it is left alone is yours to decide." */
export function leaveAloneVerdict(view: LeaveAloneView): string {
  const { missing } = missingFirst(view);
  const all = view.items.length;
  if (all === 0) return 'Nothing could be checked. Stay with it.';
  if (missing.length === 0) return 'Nothing is missing. It can be left alone as well as this tool can tell.';
  return `${String(missing.length)} of ${String(all)} ${missing.length === 1 ? 'is' : 'are'} missing. Whether it is left alone is yours to decide.`;
}
