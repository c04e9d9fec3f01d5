/*
 * What the dashboard judges by itself, turned into alarms: current, bath temperature and silence of each controller. Called by the watchman with
 * every live message and once a second. The judging is shared-core's (bath-watch); here is who is told, and what a restart remembers.
 */
import { isLive, Phase } from '@bathkeeper/shared-core/control';
import type { LiveView } from '@bathkeeper/shared-core/messages';
import {
  type BathWatch,
  bathWatch,
  type DelayedCondition,
  type Finding,
  findingsInLive,
  findingsInSilence,
  type TemperatureBand,
} from '@bathkeeper/shared-core/watch';
import type { KnownBath } from '../baths/bath-book.js';
import type { AlarmList } from './alarm-list.js';
import { attempts } from './attempts.js';

export interface OwnJudgement {
  live(controllerId: string, live: LiveView, band: TemperatureBand, nowMs: number): void;
  /** Looks whether it has fallen silent. */
  silence(bath: KnownBath, nowMs: number): void;
}

function conditionOf(watch: BathWatch, name: Finding['name']): DelayedCondition {
  if (name === 'current-off-permitted') return watch.current;
  return name === 'controller-silent' ? watch.silence : watch.temperature;
}

export function openOwnJudgement(options: {
  alarms: Pick<AlarmList, 'raise' | 'returnToNormal' | 'isStanding'>;
  /** The newest phase that is known. */
  lastPhase: (controllerId: string) => number | undefined;
  clockSpeed: number;
}): OwnJudgement {
  const { alarms } = options;
  const watches = new Map<string, BathWatch>();

  const watchOf = (controllerId: string): BathWatch => {
    let watch = watches.get(controllerId);
    if (watch === undefined) {
      watch = bathWatch();
      // What stood before this dashboard started still stands.
      watch.current.isActive = alarms.isStanding(controllerId, 'current-off-permitted');
      watch.temperature.isActive = alarms.isStanding(controllerId, 'bath-temperature-out-of-band');
      watch.silence.isActive = alarms.isStanding(controllerId, 'controller-silent');
      watches.set(controllerId, watch);
    }
    return watch;
  };
  const tell = (controllerId: string, { name, turned, causeAtMs, detail }: Finding, nowMs: number): void => {
    // A bath that stands idle may be switched off: that is shown, and wakes nobody.
    const phase = (options.lastPhase(controllerId) ?? Phase.idle) as Phase;
    const isAwaited = isLive(phase) || phase === Phase.trip;
    const priority = name === 'controller-silent' && !isAwaited ? 'low' : undefined;
    try {
      if (turned === 'raised') alarms.raise({ controllerId, name, causeAtMs, detail, priority }, nowMs);
      else alarms.returnToNormal(controllerId, name, nowMs);
    } catch (fault) {
      // Not on disk: it must be found again, or nobody would ever hear of it, nor would it ever end.
      conditionOf(watchOf(controllerId), name).isActive = turned !== 'raised';
      throw fault;
    }
  };
  const tellAll = (controllerId: string, findings: readonly Finding[], nowMs: number): void => {
    const all = attempts();
    for (const finding of findings)
      all.attempt(() => {
        tell(controllerId, finding, nowMs);
      });
    all.settle();
  };
  return {
    live: (controllerId, live, band, nowMs) => {
      tellAll(controllerId, findingsInLive(watchOf(controllerId), live, band, nowMs), nowMs);
    },
    silence: (bath, nowMs) => {
      const { controllerId } = bath.paired;
      tellAll(controllerId, findingsInSilence(watchOf(controllerId), bath, nowMs, options.clockSpeed), nowMs);
    },
  };
}
