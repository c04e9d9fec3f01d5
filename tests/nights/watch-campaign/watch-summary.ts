/*
 * Adds up the verdicts of the watch's campaign: false calls in 100 nights, and of each fault how many were called and noticed in time, and after how long.
 * Used by the command, the benchmarks and the tests. Pure.
 */
import type { NightKind } from './random-watch-night.js';
import type { WatchFault } from './watch-faults.js';
import type { WatchAsked, WatchVerdict } from './watch-night.js';

/** What is asked of the watch: called so long after the fault began at the latest; for a warming bath, so long before its limit. */
export const inTimeSeconds = {
  'current-drift': 600,
  'clip-loosens': 300,
  'clip-goes-on': 300,
  'bath-warms': 600,
  stall: 30,
} as const;
export type JudgedFault = keyof typeof inTimeSeconds;
export const judgedFaults = Object.keys(inTimeSeconds) as JudgedFault[];
/** At most. */
export const FALSE_CALLS_IN_100_NIGHTS_MAX = 1;
/** Of each fault, at least. */
export const IN_TIME_SHARE_MIN = 0.99;

export interface WatchRow {
  readonly kind: NightKind;
  readonly fault: WatchFault;
  readonly nights: number;
  readonly unfitNights: number;
  readonly falseCalls: number;
  readonly falseLooks: number;
  /** Of a fault: nights in which the phone was called in time, and in which it was shown in time. */
  readonly calledInTime: number;
  readonly noticedInTime: number;
  /** Seconds to the call, sorted; Infinity: never. */
  readonly delays: readonly number[];
  /** Of the seeds that were called late or never, or falsely. */
  readonly missedSeeds: readonly number[];
}

/** True when the call (or what was shown) came in time. */
export function isInTime(verdict: WatchVerdict, afterSeconds: number | null): boolean {
  const { fault } = verdict;
  if (fault === 'none' || afterSeconds === null) return false;
  if (fault !== 'bath-warms') return afterSeconds <= inTimeSeconds[fault];
  // A bath that did not come to its limit while it was looked at leaves time enough.
  const { beforeLimitSeconds, calledAfterSeconds } = verdict;
  return (
    beforeLimitSeconds === null ||
    beforeLimitSeconds + (calledAfterSeconds ?? 0) - afterSeconds >= inTimeSeconds['bath-warms']
  );
}

export function watchRow(kind: NightKind, fault: WatchFault, all: readonly WatchVerdict[]): WatchRow {
  const own = all.filter((verdict) => verdict.kind === kind && verdict.fault === fault);
  const fit = own.filter(({ isUnfit }) => isUnfit === null);
  const inTime = fit.filter((verdict) => isInTime(verdict, verdict.calledAfterSeconds));
  const missed =
    fault === 'none'
      ? fit.filter(({ falseCalls }) => falseCalls.length > 0)
      : fit.filter((verdict) => !inTime.includes(verdict));
  return {
    ...{ kind, fault, nights: fit.length, unfitNights: own.length - fit.length },
    falseCalls: fit.reduce((sum, { falseCalls }) => sum + falseCalls.length, 0),
    falseLooks: fit.reduce((sum, { falseLooks }) => sum + falseLooks.length, 0),
    calledInTime: inTime.length,
    noticedInTime: fit.filter((verdict) => isInTime(verdict, verdict.noticedAfterSeconds)).length,
    delays: fit.map(({ calledAfterSeconds }) => calledAfterSeconds ?? Infinity).sort((one, other) => one - other),
    missedSeeds: missed.map(({ seed }) => seed),
  };
}

/** The seconds that this share of the nights did not exceed. */
export function delayOf({ delays }: WatchRow, share: number): number {
  return delays[Math.min(delays.length - 1, Math.floor(share * delays.length))] ?? NaN;
}

/** Everything of one campaign: `count` clean nights, a tenth as many of each fault, and again a tenth and half of that on a rough rig. */
export function askedNights(count: number, firstSeed: number): WatchAsked[] {
  const tenth = Math.ceil(count / 10);
  const nights = (kind: NightKind, fault: WatchFault, nightCount: number): WatchAsked[] =>
    Array.from({ length: nightCount }, (_, index) => ({ seed: firstSeed + index, kind, fault }));
  return [
    ...nights('usual', 'none', count),
    ...judgedFaults.flatMap((fault) => nights('usual', fault, tenth)),
    ...nights('rough', 'none', tenth),
    ...judgedFaults.flatMap((fault) => nights('rough', fault, Math.ceil(tenth / 2))),
  ];
}

const faultWords: Readonly<Record<JudgedFault, string>> = {
  'current-drift': 'current drifts by 5 % in 30 min',
  'clip-loosens': 'a clip loses 20 % of its contact',
  'clip-goes-on': 'a clip goes on losing its contact',
  'bath-warms': 'bath warms by 1 °C in 10 min',
  stall: 'the part stops turning',
};

/** As a table in the text of the command. */
export function summaryText(verdicts: readonly WatchVerdict[]): string {
  const lines: string[] = [];
  for (const kind of ['usual', 'rough'] as const) {
    const clean = watchRow(kind, 'none', verdicts);
    const per100 = (count: number): string => ((100 * count) / clean.nights).toFixed(2);
    lines.push(
      `${kind === 'usual' ? 'A rig in order' : 'A rough rig (contacts that mutter for minutes, a supply that wanders by 0.3 %)'}:`,
      `  ${String(clean.nights)} clean nights, ${String(clean.unfitNights)} left out since something was really wrong; ` +
        `false calls in 100 nights ${per100(clean.falseCalls)}, shown without a call ${per100(clean.falseLooks)}` +
        seedsText(clean.missedSeeds),
    );
    for (const fault of judgedFaults) {
      const row = watchRow(kind, fault, verdicts);
      const limit = `${fault === 'bath-warms' ? 'before the limit at least' : 'within'} ${String(inTimeSeconds[fault])} s`;
      lines.push(
        `  ${faultWords[fault]}: called ${limit} in ${String(row.calledInTime)} of ${String(row.nights)}, shown in ${String(row.noticedInTime)}${row.unfitNights === 0 ? '' : ` (${String(row.unfitNights)} left out: the dashboard was down then, or it never began)`}; ` +
          `call after ${String(delayOf(row, 0.5))} s (median), ${String(delayOf(row, 0.99))} s (99 %), ${String(delayOf(row, 1))} s (worst)` +
          seedsText(row.missedSeeds),
      );
    }
  }
  return lines.join('\n');
}

function seedsText(seeds: readonly number[]): string {
  if (seeds.length === 0) return '';
  return `; seeds ${seeds.slice(0, 12).join(', ')}${seeds.length > 12 ? ' …' : ''}`;
}

/** What was asked and not reached, in sentences; empty: everything was. Only a rig in order is held to it. */
export function shortcomings(verdicts: readonly WatchVerdict[]): string[] {
  const clean = watchRow('usual', 'none', verdicts);
  const problems: string[] = [];
  if (100 * clean.falseCalls > FALSE_CALLS_IN_100_NIGHTS_MAX * clean.nights)
    problems.push(
      `${String(clean.falseCalls)} false calls in ${String(clean.nights)} clean nights, at most ${String(FALSE_CALLS_IN_100_NIGHTS_MAX)} in 100 expected.`,
    );
  for (const fault of judgedFaults) {
    const row = watchRow('usual', fault, verdicts);
    if (row.calledInTime < IN_TIME_SHARE_MIN * row.nights)
      problems.push(
        `${fault}: called in time in ${String(row.calledInTime)} of ${String(row.nights)} nights, at least 99 of 100 expected.`,
      );
  }
  return problems;
}
