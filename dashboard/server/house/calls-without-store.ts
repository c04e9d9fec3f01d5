/*
 * Calls that go out although the store takes nothing: kept in memory, rung again until somebody's phone took them, and every ten minutes as
 * long as their cause is told. Used in front of the alarm list by the composition root. A dashboard that is killed meanwhile forgets them; the
 * controllers and the watch tell their causes again.
 */
import type { AlarmName } from '@bathkeeper/shared-core/messages';
import type { Cancel, DashboardClock } from '../clock.js';
import type { AlarmCause } from '../watch/alarm-cause.js';
import { alarmTexts } from '../watch/alarm-texts.js';
import { checkFirstOf } from '../watch/condition-alarms.js';

/** Waits between tries that nobody's phone took; the last one is kept. */
const RETRY_SECONDS = [2, 5, 15, 30, 60];
const AGAIN_MS = 10 * 60_000;
/** A cause that nobody told for this long is over, or is in the store by now. */
const FORGOTTEN_MS = 2 * 60_000;
/** A flood must not fill the memory; what comes beyond it is told by those before. */
const KEPT_MAX = 200;

const LISTED_MAX = 10;
const MEMORY_WORDS =
  'The dashboard cannot write its store: this call is in its memory only, comes again every ten minutes while its cause is seen, and cannot be acknowledged.';

interface KeptCall {
  readonly controllerId: string;
  readonly name: AlarmName;
  readonly title: string;
  readonly message: string;
  /** By the count that nobody sets: a clock that is set back must not keep the phone from ringing again. */
  toldSteadyMs: number;
  nextTrySteadyMs: number;
  triesInVain: number;
  rungCount: number;
}

export interface CallsWithoutStore {
  /** The store did not take this alarm: whoever is on duty is rung for it. Told again it is the same call. */
  take(cause: AlarmCause): void;
  /** The store has this alarm now, and whoever is to be rung for it is rung from there. */
  stored(cause: AlarmCause): void;
  /** Tries what is due; resolves when the answers are in. */
  pump(): Promise<void>;
  /** What stands in memory only, each a whole sentence. */
  notices(): readonly string[];
  readonly underWay: number;
  close(): void;
}

export function openCallsWithoutStore(options: {
  clock: DashboardClock;
  /** Rings everybody on duty; answers how many channels took it. */
  ring: (title: string, message: string) => Promise<number>;
  bathName: (controllerId: string) => string;
  failed: (what: string, fault: unknown) => void;
}): CallsWithoutStore {
  const { clock } = options;
  const kept = new Map<string, KeptCall>();
  let ringing: Promise<void> | undefined;

  const ring = async (due: readonly KeptCall[]): Promise<void> => {
    let taken = 0;
    try {
      taken = await options.ring(...wordsOf(due));
    } catch (fault) {
      options.failed('a call without the store failed', fault);
    }
    const steadyMs = clock.steadyMs();
    for (const call of due) {
      if (taken > 0) {
        call.rungCount++;
        call.triesInVain = 0;
        call.nextTrySteadyMs = steadyMs + AGAIN_MS;
      } else {
        const wait = RETRY_SECONDS[Math.min(call.triesInVain++, RETRY_SECONDS.length - 1)]!;
        call.nextTrySteadyMs = steadyMs + wait * 1000;
      }
    }
  };
  /** One ringing at a time, for all that is due: a flood becomes one call. */
  const startDue = (): void => {
    const steadyMs = clock.steadyMs();
    // One that nobody's phone took yet is worth a try even when its cause is over.
    for (const [key, call] of kept)
      if (call.rungCount > 0 && steadyMs - call.toldSteadyMs > FORGOTTEN_MS) kept.delete(key);
    if (ringing !== undefined) return;
    const due = [...kept.values()].filter((call) => call.nextTrySteadyMs <= steadyMs);
    if (due.length === 0) return;
    ringing = ring(due).finally(() => {
      ringing = undefined;
    });
  };
  const stop: Cancel = clock.every(1000, startDue);
  return {
    take: (cause) => {
      const steadyMs = clock.steadyMs();
      const { controllerId, name, detail, because } = cause;
      const text = alarmTexts[name];
      if (callsNobody(cause)) return;
      const key = keyOf(cause);
      const before = kept.get(key);
      if (before !== undefined) {
        before.toldSteadyMs = steadyMs;
        return;
      }
      if (kept.size >= KEPT_MAX) return;
      const title = because === undefined ? text.title : `${text.title} (${because})`;
      kept.set(key, {
        controllerId,
        name,
        title: `${options.bathName(controllerId)}: ${title}`,
        message: `${cause.checkFirst ?? checkFirstOf(name, cause.condition)} Seen: ${detail}. ${MEMORY_WORDS}`,
        toldSteadyMs: steadyMs,
        nextTrySteadyMs: steadyMs,
        triesInVain: 0,
        rungCount: 0,
      });
      startDue();
    },
    stored: (cause) => {
      const key = keyOf(cause);
      const call = kept.get(key);
      // Stored for the journal alone, it calls nobody: then a phone that never took the call still should.
      if (call !== undefined && (call.rungCount > 0 || !callsNobody(cause))) kept.delete(key);
    },
    pump: async () => {
      await ringing;
      startDue();
      await ringing;
    },
    notices: () =>
      [...kept.values()].map(
        (call) =>
          `${call.title}: not in the store, which cannot be written. ${call.rungCount > 0 ? 'It was called from memory.' : 'No phone has taken the call yet; it is tried again.'}`,
      ),
    get underWay() {
      return ringing === undefined ? 0 : 1;
    },
    close: () => {
      stop();
    },
  };
}

const keyOf = ({ controllerId, name }: AlarmCause): string => `${controllerId} ${name}`;
const callsNobody = ({ priority, name }: AlarmCause): boolean => (priority ?? alarmTexts[name].priority) === 'low';

/** Title and message. */
function wordsOf(due: readonly KeptCall[]): [string, string] {
  if (due.length === 1) return [due[0]!.title, due[0]!.message];
  const listed = due.slice(0, LISTED_MAX).map((call) => call.title);
  const more = due.length > LISTED_MAX ? ` And ${String(due.length - LISTED_MAX)} more.` : '';
  return [`${String(due.length)} alarms at once`, `${listed.join('; ')}.${more} ${MEMORY_WORDS}`];
}
