/*
 * One night of alarms in figures, for judging the alarms and not the bath: how many, how long, how often the same, how soon somebody
 * answered. Called by the dashboard with the journal of a night. Pure; what counts as a flood, chattering or stale is named after
 * ISA-18.2 / IEC 62682 (from memory), whose figures count what was announced: a silent alarm is told apart.
 */
import type { AlarmFigures, AlarmName, AlarmView, JournalAct } from '../messages/api.js';
import { FLOOD_MS } from './alarm-grouping.js';

/** Raised this often within this time is chattering: three times or more within one minute (ISA-18.2, from memory). */
const CHATTER_COUNT = 3;
const CHATTER_MS = 60_000;
/** Stale: standing for more than a day without a break (ISA-18.2, from memory). */
const STALE_MS = 86_400_000;

/** One entry of the journal that belongs to an alarm. */
export interface FigureEntry {
  readonly alarmId: number;
  readonly name: AlarmName;
  readonly priority: AlarmView['priority'];
  readonly atMs: number;
  readonly what: JournalAct;
  /** It was raised while shelved, suppressed by design or out of service: nobody was called. */
  readonly isSilent: boolean;
}

interface Life {
  readonly alarmId: number;
  readonly name: AlarmName;
  /** Since when it stands without a break; null: its cause is gone. */
  standingSinceMs: number | null;
  /** Since when nobody has acknowledged it; null: somebody has. */
  unacknowledgedSinceMs: number | null;
}

/**
 * The figures from `fromMs` to before `toMs`. `entries` in the order in which they happened (which a clock that was set back does not change); those before `fromMs` count only for how the
 * night began (an alarm that stood already stands from when it was raised), those after `toMs` not at all.
 *
 * Example: raised at 0 s, returned at 20 s, raised at 30 s and at 50 s again is one name that chatters, and stood for 20 s at the longest
 * until then.
 */
export function alarmFigures(
  controllerId: string,
  fromMs: number,
  toMs: number,
  entries: readonly FigureEntry[],
): AlarmFigures {
  const lives = new Map<number, Life>();
  const raised: FigureEntry[] = [];
  const toAcknowledgeSeconds: number[] = [];
  const stale = new Set<number>();
  let silentCount = 0;
  let longest: { alarmId: number; name: AlarmName; seconds: number } | null = null;

  const stoodUntil = (life: Life, atMs: number): void => {
    if (life.standingSinceMs === null) return;
    const seconds = (atMs - life.standingSinceMs) / 1000;
    if (atMs >= fromMs && seconds > (longest?.seconds ?? -1))
      longest = { alarmId: life.alarmId, name: life.name, seconds };
    if (atMs >= fromMs && atMs - life.standingSinceMs > STALE_MS) stale.add(life.alarmId);
  };

  for (const entry of entries) {
    if (entry.atMs >= toMs) continue;
    const life = lives.get(entry.alarmId) ?? {
      alarmId: entry.alarmId,
      name: entry.name,
      standingSinceMs: null,
      unacknowledgedSinceMs: null,
    };
    lives.set(entry.alarmId, life);
    const isWithin = entry.atMs >= fromMs;
    if (entry.what === 'raised' || entry.what === 'raised-again') {
      life.standingSinceMs = entry.atMs;
      // Coming back does not begin the answer's time anew: nobody has looked since the first.
      life.unacknowledgedSinceMs ??= entry.atMs;
      if (isWithin && entry.isSilent) silentCount++;
      else if (isWithin) raised.push(entry);
    } else if (entry.what === 'returned') {
      stoodUntil(life, entry.atMs);
      life.standingSinceMs = null;
    } else if (entry.what === 'acknowledged' && life.unacknowledgedSinceMs !== null) {
      if (isWithin) toAcknowledgeSeconds.push(Math.max(0, entry.atMs - life.unacknowledgedSinceMs) / 1000);
      life.unacknowledgedSinceMs = null;
    }
  }
  for (const life of lives.values()) stoodUntil(life, toMs);

  const hours = (toMs - fromMs) / 3_600_000;
  const count = (priority: AlarmView['priority']): number => raised.filter((one) => one.priority === priority).length;
  return {
    controllerId,
    fromMs,
    toMs,
    raisedCount: raised.length,
    raisedPerHour: hours > 0 ? raised.length / hours : 0,
    raisedIn10MinutesMax: mostWithin(
      raised.map((one) => one.atMs),
      FLOOD_MS,
    ),
    byPriority: { high: count('high'), medium: count('medium'), low: count('low') },
    silentCount,
    longestStanding: longest,
    chattering: chattering(raised),
    secondsToAcknowledgeMedian: median(toAcknowledgeSeconds),
    secondsToAcknowledgeMax: toAcknowledgeSeconds.length === 0 ? null : Math.max(...toAcknowledgeSeconds),
    unacknowledgedCount: [...lives.values()].filter((life) => life.unacknowledgedSinceMs !== null).length,
    stale: [...stale].sort((a, b) => a - b),
  };
}

/** The most of the times that lie within any span of `spanMs`, its first instant included and its last not. */
function mostWithin(unsortedMs: readonly number[], spanMs: number): number {
  const timesMs = [...unsortedMs].sort((a, b) => a - b);
  let most = 0;
  let first = 0;
  timesMs.forEach((atMs, index) => {
    while (atMs - timesMs[first]! >= spanMs) first++;
    most = Math.max(most, index - first + 1);
  });
  return most;
}

function chattering(raised: readonly FigureEntry[]): AlarmFigures['chattering'] {
  const times = new Map<AlarmName, number[]>();
  for (const { name, atMs } of raised) times.set(name, [...(times.get(name) ?? []), atMs]);
  return [...times]
    .filter(([, timesMs]) => mostWithin(timesMs, CHATTER_MS) >= CHATTER_COUNT)
    .map(([name, timesMs]) => ({ name, raisedCount: timesMs.length }))
    .sort((a, b) => b.raisedCount - a.raisedCount || a.name.localeCompare(b.name));
}

function median(values: readonly number[]): number | null {
  if (values.length === 0) return null;
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
