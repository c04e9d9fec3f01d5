/*
 * Follows the drift of every bath: hands live messages to the drift watch, raises what it finds, and keeps what it has learnt in the store, so that a
 * restart of the dashboard in mid-run neither forgets what stands nor raises falsely. Called by the watchman. What counts as drift is
 * shared-core's; who is called is the alarm list's and its listener's: `tonight` is medium, which calls, `look` is low, which is shown.
 */
import { isLive } from '@bathkeeper/shared-core/control';
import type { LiveView } from '@bathkeeper/shared-core/messages';
import {
  type BathDrift,
  bathDrift,
  driftKept,
  type DriftFinding,
  driftNames,
  type DriftPlan,
  findingsInDrift,
  forgetFinding,
  keptDrift,
} from '@bathkeeper/shared-core/watch';
import type { Store } from '../store/store.js';
import type { AlarmList } from './alarm-list.js';
import { driftWords, hoursAndMinutes } from './drift-words.js';

/** What is learnt is kept this often; and at once with what is raised or over. */
const KEPT_EVERY_MS = 60_000;
/** Of a thousand controllers so many in one transaction of each second. */
const KEPT_AT_ONCE = 50;

/** Where what is learnt is kept. */
export interface DriftShelf {
  read(controllerId: string): string | undefined;
  keep(controllerId: string, state: string, nowMs: number): void;
  together<T>(work: () => T): T;
}

export interface DriftWatch {
  live(controllerId: string, live: LiveView, plan: DriftPlan, nowMs: number): void;
  /** Once a second: keeps what is due. */
  tick(nowMs: number): void;
}

interface Followed {
  drift: BathDrift;
  keptAtMs: number;
  /** Something was heard since it was kept. */
  isChanged: boolean;
  /** What stands in the alarm list was compared with what the watch remembers. */
  isReconciled: boolean;
}

type Alarms = Pick<AlarmList, 'raise' | 'returnToNormal' | 'isStanding'>;

export function openDriftWatch(shelf: DriftShelf, alarms: Alarms): DriftWatch {
  const all = new Map<string, Followed>();

  const followed = (controllerId: string, plan: DriftPlan, nowMs: number): Followed => {
    const known = all.get(controllerId);
    if (known !== undefined) return known;
    const text = shelf.read(controllerId);
    const drift = (text === undefined ? undefined : driftKept(text)) ?? bathDrift(plan.runNumber);
    const one = { drift, keptAtMs: nowMs, isChanged: false, isReconciled: false };
    all.set(controllerId, one);
    return one;
  };

  /** Without what was learnt, an alarm that stands goes on standing as long as the same is asked of the bath; nothing is raised a second time. */
  const reconcile = (controllerId: string, one: Followed, live: LiveView, nowMs: number): void => {
    one.isReconciled = true;
    const { standing } = one.drift;
    for (const name of driftNames) {
      const isStanding = alarms.isStanding(controllerId, name);
      if (isStanding === (standing[name] !== undefined)) continue;
      if (!isStanding) forgetFinding(one.drift, name);
      else if (!isLive(live.phase)) alarms.returnToNormal(controllerId, name, nowMs);
      else {
        const unknown = { sinceMs: nowMs, direction: 'up', now: 0, before: 0, limit: null, causes: [] } as const;
        standing[name] = { ...unknown, name, turned: 'raised', severity: 'tonight' };
      }
    }
  };

  const tell = (controllerId: string, finding: DriftFinding, nowMs: number): void => {
    const { name, turned, severity, sinceMs } = finding;
    if (turned === 'cleared') {
      alarms.returnToNormal(controllerId, name, nowMs);
      return;
    }
    // What was shown and is graver now gives way in the list to another alarm, with the words of now.
    const words = driftWords(finding, hoursAndMinutes);
    const priority = severity === 'tonight' ? 'medium' : 'low';
    alarms.raise({ controllerId, name, causeAtMs: sinceMs, priority, ...words }, nowMs);
  };

  const keep = (controllerId: string, one: Followed, nowMs: number): void => {
    shelf.keep(controllerId, keptDrift(one.drift), nowMs);
    one.keptAtMs = nowMs;
    one.isChanged = false;
  };

  return {
    live: (controllerId, live, plan, nowMs) => {
      const one = followed(controllerId, plan, nowMs);
      const findings = findingsInDrift(one.drift, live, plan, nowMs);
      one.isChanged ||= isLive(live.phase);
      if (one.isReconciled && findings.length === 0) return;
      try {
        shelf.together(() => {
          for (const finding of findings) tell(controllerId, finding, nowMs);
          if (!one.isReconciled) reconcile(controllerId, one, live, nowMs);
          if (findings.length > 0) keep(controllerId, one, nowMs);
        });
      } catch (fault) {
        // Not on disk: it must be found again, or nobody would ever hear of it.
        for (const { name, turned } of findings) if (turned !== 'cleared') forgetFinding(one.drift, name);
        one.isReconciled = false;
        throw fault;
      }
    },
    tick: (nowMs) => {
      const due: [string, Followed][] = [];
      for (const entry of all) {
        const { isChanged, keptAtMs } = entry[1];
        // (A clock that was set back keeps at once.)
        if (isChanged && Math.abs(nowMs - keptAtMs) >= KEPT_EVERY_MS && due.push(entry) >= KEPT_AT_ONCE) break;
      }
      if (due.length > 0)
        shelf.together(() => {
          for (const [controllerId, one] of due) keep(controllerId, one, nowMs);
        });
    },
  };
}

export function driftShelf(store: Store): DriftShelf {
  const select = store.database.prepare<[string], { state: string }>(
    'SELECT state FROM drift_states WHERE controller_id = ?',
  );
  const insert = store.database.prepare('INSERT OR REPLACE INTO drift_states VALUES (?, CAST(? AS INTEGER), ?)');
  return {
    read: (controllerId) => select.get(controllerId)?.state,
    keep: (controllerId, state, nowMs) => {
      insert.run(controllerId, nowMs, state);
    },
    together: store.together,
  };
}
