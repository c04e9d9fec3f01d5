/*
 * The journal of alarms in words, and one night of it in figures. Used by the journal and by the story of an alarm; pure.
 */
import type { AlarmFigures, JournalAct, JournalEntry } from '@bathkeeper/shared-core/messages';
import { byWords } from '@bathkeeper/shared-core/watch';
import { alarmTitle } from './alarm-titles.js';
import { spanWords } from './times.js';

const act: Readonly<Record<JournalAct, string>> = {
  raised: 'raised',
  'raised-again': 'raised again',
  returned: 'returned to normal',
  acknowledged: 'acknowledged',
  reset: 'reset at the bath',
  shelved: 'shelved',
  unshelved: 'shelf ended early',
  'shelf-ended': 'shelf ended by itself',
  suppressed: 'silent by design',
  unsuppressed: 'no longer silent by design',
  'taken-out-of-service': 'taken out of service',
  'put-back-in-service': 'put back in service',
};

/** Acts that a person did: only there is "by whom" worth a word. */
const byPerson: ReadonlySet<JournalAct> = new Set([
  'acknowledged',
  'shelved',
  'unshelved',
  'taken-out-of-service',
  'put-back-in-service',
]);

/** Example: "shelved by Robin: the probe is being changed". */
export function actWords(entry: Pick<JournalEntry, 'what' | 'who' | 'reason'>): string {
  const who = byPerson.has(entry.what) && entry.who !== 'clock' ? ` ${byWords(entry.who)}` : '';
  const reason = entry.reason === null || entry.reason.trim() === '' ? '' : `: ${entry.reason.trim()}`;
  return `${act[entry.what]}${who}${reason}`;
}

/** A night from noon to noon, in the clock of this device, so that no hour of the dark is cut. `nightsBack` 0 is the newest. */
export function nightWindow(
  nowMs: number,
  nightsBack: number,
): { readonly fromMs: number; readonly toMs: number; readonly isOver: boolean } {
  const from = new Date(nowMs);
  if (from.getHours() < 12) from.setDate(from.getDate() - 1);
  from.setHours(12, 0, 0, 0);
  // By days and not by hours: a night in which the clocks change has 23 or 25 of them.
  from.setDate(from.getDate() - nightsBack);
  const to = new Date(from);
  to.setDate(to.getDate() + 1);
  return { fromMs: from.getTime(), toMs: Math.floor(Math.min(nowMs, to.getTime())), isOver: to.getTime() <= nowMs };
}

export interface FigureLine {
  readonly term: string;
  readonly words: string;
}

/** Above this many in ten minutes nobody can follow; see AlarmFigures. */
const FLOOD_IN_10_MINUTES = 10;

/** One night in lines: how the alarms did, not how the bath did. */
export function figureLines(figures: AlarmFigures): FigureLine[] {
  const { byPriority } = figures;
  const lines: FigureLine[] = [
    {
      term: 'Raised',
      words:
        figures.raisedCount === 0
          ? 'none'
          : `${String(figures.raisedCount)} (high ${String(byPriority.high)}, medium ${String(byPriority.medium)}, low ${String(byPriority.low)}), ${figures.raisedPerHour.toFixed(1)} an hour`,
    },
  ];
  if (figures.silentCount > 0)
    lines.push({ term: 'While silent', words: `${String(figures.silentCount)}, not counted here` });
  if (figures.raisedCount > 0) {
    const most = figures.raisedIn10MinutesMax;
    lines.push({
      term: 'Most in 10 min',
      words: `${String(most)}${most > FLOOD_IN_10_MINUTES ? ': a flood, more than anybody can follow' : ''}`,
    });
  }
  if (figures.longestStanding !== null) {
    lines.push({
      term: 'Longest standing',
      words: `${alarmTitle[figures.longestStanding.name]}, ${spanWords(figures.longestStanding.seconds)}`,
    });
  }
  if (figures.secondsToAcknowledgeMedian !== null && figures.secondsToAcknowledgeMax !== null) {
    lines.push({
      term: 'To acknowledge',
      words: `half within ${spanWords(figures.secondsToAcknowledgeMedian)}, the slowest ${spanWords(figures.secondsToAcknowledgeMax)}`,
    });
  }
  if (figures.unacknowledgedCount > 0) {
    lines.push({ term: 'Unacknowledged', words: `${String(figures.unacknowledgedCount)} to this hour` });
  }
  for (const one of figures.chattering) {
    lines.push({
      term: 'Chattering',
      words: `${alarmTitle[one.name]}: raised ${String(one.raisedCount)} times. Its limit or its delay does not fit.`,
    });
  }
  if (figures.stale.length > 0) {
    lines.push({
      term: 'Stale',
      words: `${String(figures.stale.length)} standing for more than a day: mend the cause, or take it out of service with a reason.`,
    });
  }
  return lines;
}
