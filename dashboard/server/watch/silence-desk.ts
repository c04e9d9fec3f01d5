/*
 * Shelving and out of service as people ask for them: judged, written, and told to the journal. Used by the alarm list; whether an alarm that
 * stands becomes silent by it is the announcing's.
 */
import type { AlarmName, AlarmSilence, AlarmStandingView, ShelveRequest } from '@bathkeeper/shared-core/messages';
import { outOfServiceFaults, shelveFaults } from '@bathkeeper/shared-core/watch';
import type { AlarmJournal } from './alarm-journal.js';
import type { SilenceAnswer } from './alarm-list.js';
import { type AlarmRow, latches, raisedPriority, stateOf } from './alarm-rows.js';
import type { AlarmSilences } from './alarm-silences.js';
import { alarmTexts } from './alarm-texts.js';

export interface SilenceDesk {
  shelve(controllerId: string, name: AlarmName, request: ShelveRequest, who: string, nowMs: number): SilenceAnswer;
  unshelve(controllerId: string, name: AlarmName, who: string, nowMs: number): AlarmStandingView;
  takeOutOfService(controllerId: string, name: AlarmName, reason: string, who: string, nowMs: number): SilenceAnswer;
  putBackInService(controllerId: string, name: AlarmName, who: string, nowMs: number): AlarmStandingView;
  silences(controllerId: string, nowMs: number): AlarmStandingView[];
  /** Shelves end by the clock. */
  tick(nowMs: number): void;
}

export function openSilenceDesk(options: {
  together: <T>(work: () => T) => T;
  silences: AlarmSilences;
  journal: AlarmJournal;
  /** What of this name stands; of several the newest. */
  openOf: (controllerId: string, name: AlarmName) => AlarmRow | undefined;
  /** What stands and is suppressed by design. */
  suppressedNames: (controllerId: string) => readonly AlarmName[];
  /** Told when what silences a name has changed. */
  changed: (controllerId: string, name: AlarmName, nowMs: number) => void;
}): SilenceDesk {
  const { together, silences, journal, openOf } = options;

  const note = (
    [controllerId, name]: readonly [string, AlarmName],
    what: 'shelved' | 'unshelved' | 'shelf-ended' | 'taken-out-of-service' | 'put-back-in-service',
    [who, reason]: readonly [string, string | undefined],
    nowMs: number,
  ): void => {
    const open = openOf(controllerId, name);
    const alarmId = open?.alarm_id ?? null;
    const state = open === undefined ? null : stateOf(open);
    journal.note({ controllerId, name, alarmId, what, state, who, reason }, nowMs);
    options.changed(controllerId, name, nowMs);
  };
  const suppressionOf = (open: AlarmRow | undefined): AlarmSilence[] =>
    typeof open?.suppressed_because === 'string'
      ? [{ kind: 'suppressed-by-design', reason: open.suppressed_because }]
      : [];
  const standing = (controllerId: string, name: AlarmName, nowMs: number): AlarmStandingView => ({
    controllerId,
    name,
    title: alarmTexts[name].title,
    silences: [...silences.of(controllerId, name, nowMs), ...suppressionOf(openOf(controllerId, name))],
  });
  const asked = (controllerId: string, name: AlarmName) => ({
    priority: raisedPriority(name, openOf(controllerId, name)?.priority),
    latches: latches(name),
  });
  const silence = (
    controllerId: string,
    name: AlarmName,
    what: 'shelved' | 'taken-out-of-service',
    put: Parameters<AlarmSilences['put']>[2],
    nowMs: number,
  ): AlarmStandingView => {
    silences.put(controllerId, name, put);
    note([controllerId, name], what, [put.who, put.reason], nowMs);
    return standing(controllerId, name, nowMs);
  };

  return {
    shelve: (controllerId, name, request, who, nowMs) =>
      together(() => {
        const faults = shelveFaults(asked(controllerId, name), request);
        if (faults.length > 0) return { faults };
        const untilMs = Math.round(nowMs + request.minutes * 60_000);
        const put = { kind: 'shelved', who, reason: request.reason.trim(), sinceMs: nowMs, untilMs } as const;
        return silence(controllerId, name, 'shelved', put, nowMs);
      }),
    unshelve: (controllerId, name, who, nowMs) =>
      together(() => {
        if (silences.end(controllerId, name, 'shelved'))
          note([controllerId, name], 'unshelved', [who, undefined], nowMs);
        return standing(controllerId, name, nowMs);
      }),
    takeOutOfService: (controllerId, name, reason, who, nowMs) =>
      together(() => {
        const faults = outOfServiceFaults(asked(controllerId, name), reason);
        if (faults.length > 0) return { faults };
        const put = { kind: 'out-of-service', who, reason: reason.trim(), sinceMs: nowMs } as const;
        return silence(controllerId, name, 'taken-out-of-service', put, nowMs);
      }),
    putBackInService: (controllerId, name, who, nowMs) =>
      together(() => {
        if (silences.end(controllerId, name, 'out-of-service'))
          note([controllerId, name], 'put-back-in-service', [who, undefined], nowMs);
        return standing(controllerId, name, nowMs);
      }),
    silences: (controllerId, nowMs) => {
      const names = new Set([
        ...silences.ofController(controllerId, nowMs).map((one) => one.name),
        ...options.suppressedNames(controllerId),
      ]);
      return [...names].sort().map((name) => standing(controllerId, name, nowMs));
    },
    tick: (nowMs) => {
      for (const { controllerId, name, silence: over } of silences.overShelves(nowMs))
        together(() => {
          silences.end(controllerId, name, 'shelved');
          note([controllerId, name], 'shelf-ended', ['clock', over.reason], nowMs);
        });
    },
  };
}
