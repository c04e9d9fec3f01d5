/*
 * Turns what is heard into alarms: the controller's events, the live messages and silence. Called by the ingest's listener and
 * once a second by the clock. It decides what counts as drift and whom to wake; it never touches the run.
 */
import {
  Condition,
  conditionRows,
  EventKind,
  isLive,
  Phase,
  Reaction,
  ROW_COLUMNS,
  RowColumn,
} from '@bathkeeper/shared-core/control';
import { EventColumn, LiveKey } from '@bathkeeper/shared-core/messages';
import type { AlarmName, LiveView } from '@bathkeeper/shared-core/messages';
import { plannedRest } from '@bathkeeper/shared-core/trade';
import {
  type BathWatch,
  bathWatch,
  type DriftPlan,
  type Finding,
  findingsInLive,
  findingsInSilence,
} from '@bathkeeper/shared-core/watch';
import type { BathBook } from '../baths/bath-book.js';
import type { Row } from '../store/store.js';
import type { AlarmCause, AlarmList } from './alarm-list.js';
import { alarmOfCondition, conditionWords } from './alarm-texts.js';
import { type DriftShelf, openDriftWatch } from './drift-watch.js';

/** Without a recipe: the range that bright copper baths are sold for, 18 to 28 Celsius here (see trade). */
const USUAL_BAND = { lowestCelsius: 18, highestCelsius: 28 };
/** Refused messages are one alarm, not one each. */
const REFUSED_QUIET_MS = 60_000;

/** A refused command is over when none was refused for this long. */
const COMMAND_REFUSED_QUIET_MS = 10 * 60_000;

/** Codes of the controller's own table whose reaction is this. */
function codesOf(reaction: Reaction): ReadonlySet<number> {
  return new Set(
    Object.values(Condition).filter(
      (code) => conditionRows[(code - 1) * ROW_COLUMNS + RowColumn.reaction] === reaction,
    ),
  );
}
const tripConditions = codesOf(Reaction.trip);
const holdConditions = codesOf(Reaction.hold);

/** What this dashboard judges by itself as well: it says when such an alarm is over. */
const judgedHere: ReadonlySet<AlarmName> = new Set<AlarmName>([
  'current-off-permitted',
  'bath-temperature-out-of-band',
  'controller-silent',
]);

/** Alarms that stand as long as any of these conditions stands in the live message. */
const followedAlarms: ReadonlyMap<AlarmName, readonly number[]> = followed();
function followed(): Map<AlarmName, number[]> {
  const codes = new Map<AlarmName, number[]>();
  for (const code of Object.values(Condition)) {
    const name = alarmOfCondition(code);
    if (name !== undefined && !judgedHere.has(name)) codes.set(name, [...(codes.get(name) ?? []), code]);
  }
  return codes;
}

function conditionOf(watch: BathWatch, name: Finding['name']): BathWatch['current'] {
  return name === 'current-off-permitted'
    ? watch.current
    : name === 'controller-silent'
      ? watch.silence
      : watch.temperature;
}

export interface Watchman {
  live(controllerId: string, live: LiveView, nowMs: number): void;
  /** `later`: the rows that came with it and follow it; a restart tells its trip before its cause. */
  event(controllerId: string, row: Row, takenAtMs: number, nowMs: number, later?: readonly Row[]): void;
  tick(nowMs: number): void;
  refused(controllerId: string, why: string, nowMs: number): void;
}

/** What the controller says of messages that it did not believe: why the last one was not, and how many. */
function refusedWords(code: number, count: number): string {
  const messages = count === 1 ? 'a message' : `${String(count)} messages`;
  switch (code) {
    case 1:
      return `${messages} refused: not made with the secret of this controller`;
    case 2:
      return `${messages} refused: seen before, or older than one that was taken. If this computer's clock was set back, that is why`;
    case 3:
      return `${messages} refused: meant for an earlier time or another start of the controller`;
    default:
      return `${messages} refused`;
  }
}

/** Why a run was held or tripped. */
interface Cause {
  readonly words: string;
  readonly condition: number;
}

/** The first condition that trips, among rows of events. */
function tripCauseIn(rows: readonly Row[]): Cause | undefined {
  const row = rows.find(
    (one) => one[EventColumn.kind] === EventKind.conditionRaised && tripConditions.has(one[EventColumn.code]!),
  );
  if (row === undefined) return undefined;
  const condition = row[EventColumn.code]!;
  return { words: conditionWords(condition, row[EventColumn.a], row[EventColumn.b]), condition };
}

interface Attempts {
  attempt(work: () => void): void;
  /** Throws the first failure, if there was one. */
  settle(): void;
}

/** Does one thing after the other, whatever fails: a store that does not take one alarm must not hide the next. */
function attempts(): Attempts {
  let first: { readonly fault: unknown } | undefined;
  return {
    attempt: (work) => {
      try {
        work();
      } catch (fault) {
        first ??= { fault };
      }
    },
    settle: () => {
      if (first !== undefined) throw first.fault;
    },
  };
}

/** The phase says hold or trip this long and no event told of it: then the live message is taken at its word. */
const EVENT_LATE_SECONDS = 5;

/** What the watchman asks of the book and of the alarm list. */
export type WatchedBook = Pick<BathBook, 'bath' | 'all' | 'has' | 'newestRun' | 'recipe' | 'rigLimits'>;
export type RaisedAlarms = Pick<
  AlarmList,
  'raise' | 'returnToNormal' | 'resetAtBath' | 'isStanding' | 'callingPriority'
>;

export function openWatchman(book: WatchedBook, alarms: RaisedAlarms, clockSpeed: number, shelf: DriftShelf): Watchman {
  const drift = openDriftWatch(shelf, alarms);
  const watches = new Map<string, BathWatch>();
  const lastCause = new Map<string, Cause>();
  /** Since when a live message says what no event told, by controller and alarm. */
  const seenSinceMs = new Map<string, number>();
  /** When the controller last told of a message that it did not believe; what stood before this start counts from its first tick. */
  const commandsRefusedAtMs = new Map<string, number>();
  let hasTicked = false;
  let refusedUntilMs = -1;
  let refusedOf: string | undefined;
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
  const act = (controllerId: string, findings: readonly Finding[], nowMs: number): void => {
    const all = attempts();
    for (const { name, turned, causeAtMs, detail } of findings)
      all.attempt(() => {
        // A bath that stands idle may be switched off: that is shown, and wakes nobody.
        const phase = book.bath(controllerId)?.lastPhase ?? Phase.idle;
        const isAwaited = isLive(phase as Phase) || phase === Phase.trip;
        const priority = name === 'controller-silent' && !isAwaited ? 'low' : undefined;
        try {
          if (turned === 'raised') alarms.raise({ controllerId, name, causeAtMs, detail, priority }, nowMs);
          else alarms.returnToNormal(controllerId, name, nowMs);
        } catch (fault) {
          // Not on disk: it must be found again, or nobody would ever hear of it, nor would it ever end.
          conditionOf(watchOf(controllerId), name).isActive = turned !== 'raised';
          throw fault;
        }
      });
    all.settle();
  };

  /** A bath that says that nobody has acknowledged is no graver than what is unseen: for what is seen, or shelved, it rings nobody. */
  const ofCondition = (
    controllerId: string,
    name: AlarmName,
    condition: number,
    causeAtMs: number,
    detail: string,
    nowMs: number,
  ): AlarmCause => {
    const priority = name === 'not-acknowledged' ? alarms.callingPriority(controllerId, nowMs) : undefined;
    return { controllerId, name, causeAtMs, detail, condition, ...(priority === undefined ? {} : { priority }) };
  };

  const followCondition = (
    controllerId: string,
    name: AlarmName,
    codes: readonly number[],
    live: LiveView,
    nowMs: number,
  ): void => {
    const code = codes.find((one) => live.conditions.includes(one));
    if (code === undefined) {
      // (All is calm most of the time: then there is nothing to look up.)
      if (seenSinceMs.size > 0) seenSinceMs.delete(`${controllerId} ${name}`);
      alarms.returnToNormal(controllerId, name, nowMs);
      return;
    }
    const key = `${controllerId} ${name}`;
    const sinceMs = Math.min(seenSinceMs.get(key) ?? nowMs, nowMs);
    seenSinceMs.set(key, sinceMs);
    if (nowMs - sinceMs >= EVENT_LATE_SECONDS * 1000 && !alarms.isStanding(controllerId, name))
      alarms.raise(ofCondition(controllerId, name, code, sinceMs, conditionWords(code), nowMs), nowMs);
  };
  /** Events can be lost (their ring is finite, a controller can be paired in mid-trip): what is live has the last word on what stands. */
  const followPhase = (controllerId: string, live: LiveView, nowMs: number): void => {
    const all = attempts();
    for (const [phase, name] of [
      [Phase.hold, 'held'],
      [Phase.trip, 'trip'],
    ] as const)
      all.attempt(() => {
        if (live.phase !== phase) {
          // Only a reset at the bath leaves a trip.
          if (phase === Phase.trip) alarms.resetAtBath(controllerId, nowMs);
          else alarms.returnToNormal(controllerId, name, nowMs);
        } else if (alarms.isStanding(controllerId, name)) {
          if (phase === Phase.trip && !live.conditions.some((code) => tripConditions.has(code)))
            alarms.returnToNormal(controllerId, name, nowMs);
        } else if (live.phaseSeconds >= EVENT_LATE_SECONDS) {
          const causeAtMs = nowMs - live.phaseSeconds * 1000;
          const told = live.conditions.filter((code) => tripConditions.has(code) || holdConditions.has(code));
          const detail = told.map((code) => conditionWords(code)).join('; ');
          alarms.raise(
            { controllerId, name, causeAtMs, detail: detail || 'the controller says so, not why', condition: told[0] },
            nowMs,
          );
        }
      });
    for (const [name, codes] of followedAlarms)
      all.attempt(() => {
        followCondition(controllerId, name, codes, live, nowMs);
      });
    all.settle();
  };

  const endRefusedCommands = (controllerId: string, nowMs: number): void => {
    if (!hasTicked && alarms.isStanding(controllerId, 'command-refused')) commandsRefusedAtMs.set(controllerId, nowMs);
    if (nowMs - (commandsRefusedAtMs.get(controllerId) ?? nowMs) <= COMMAND_REFUSED_QUIET_MS) return;
    alarms.returnToNormal(controllerId, 'command-refused', nowMs);
    commandsRefusedAtMs.delete(controllerId);
  };

  return {
    live: (controllerId, live, nowMs) => {
      const newest = book.newestRun(controllerId);
      const recipe = newest === undefined ? undefined : book.recipe(newest.recipe_id);
      const band = {
        lowestCelsius: USUAL_BAND.lowestCelsius,
        highestCelsius: recipe?.bathWarnCelsius ?? USUAL_BAND.highestCelsius,
      };
      const all = attempts();
      all.attempt(() => {
        act(controllerId, findingsInLive(watchOf(controllerId), live, band, nowMs), nowMs);
      });
      all.attempt(() => {
        followPhase(controllerId, live, nowMs);
      });
      // Asked once a block at most: what costs something is worked out only then.
      const plan: DriftPlan = {
        runNumber: book.bath(controllerId)?.liveMessage?.[LiveKey.run] ?? newest?.run ?? 0,
        bathWarnCelsius: band.highestCelsius,
        bathColdCelsius: band.lowestCelsius,
        get terminalVoltsMax() {
          return book.rigLimits(controllerId).terminalVoltsMax;
        },
        get plannedFinishAtMs() {
          return recipe === undefined ? null : (plannedRest(recipe, live, nowMs).at(-1)?.atMs ?? null);
        },
      };
      all.attempt(() => {
        drift.live(controllerId, live, plan, nowMs);
      });
      all.settle();
    },
    event: (controllerId, row, takenAtMs, nowMs, later = []) => {
      const code = row[EventColumn.code]!;
      const a = row[EventColumn.a]!;
      const b = row[EventColumn.b]!;
      switch (row[EventColumn.kind] ?? 0) {
        case EventKind.conditionRaised: {
          const words = conditionWords(code, a, b);
          const name = alarmOfCondition(code);
          // The cause of a stopped rotation began when the last pulse came.
          const causeAtMs = code === Condition.rotationStopped ? takenAtMs - a : takenAtMs;
          if (name !== undefined) alarms.raise(ofCondition(controllerId, name, code, causeAtMs, words, nowMs), nowMs);
          if (tripConditions.has(code) || holdConditions.has(code))
            lastCause.set(controllerId, { words, condition: code });
          if (tripConditions.has(code))
            alarms.raise(
              { controllerId, name: 'trip', causeAtMs, detail: words, because: words, condition: code },
              nowMs,
            );
          break;
        }
        case EventKind.booted:
          // What was the cause before a restart is not the cause after it.
          lastCause.delete(controllerId);
          break;
        case EventKind.conditionCleared: {
          const name = alarmOfCondition(code);
          const standing = book.bath(controllerId)?.live?.conditions ?? [];
          const isAnotherStanding = standing.some((one) => one !== code && alarmOfCondition(one) === name);
          if (name !== undefined && !isAnotherStanding) alarms.returnToNormal(controllerId, name, nowMs);
          break;
        }
        case EventKind.commandRefused:
          commandsRefusedAtMs.set(controllerId, nowMs);
          alarms.raise(
            { controllerId, name: 'command-refused', causeAtMs: takenAtMs, detail: refusedWords(code, b) },
            nowMs,
          );
          break;
        case EventKind.phaseEntered: {
          const cause = lastCause.get(controllerId) ?? (code === Phase.trip ? tripCauseIn(later) : undefined);
          const words = cause?.words;
          if (code === Phase.hold) {
            alarms.raise(
              {
                controllerId,
                name: 'held',
                causeAtMs: takenAtMs,
                detail: words ?? 'hold was asked at the bath or from the page',
                condition: cause?.condition,
              },
              nowMs,
            );
          } else if (code === Phase.trip) {
            alarms.raise(
              {
                controllerId,
                name: 'trip',
                causeAtMs: takenAtMs,
                detail: words ?? 'the controller tripped',
                condition: cause?.condition,
                ...(words === undefined ? {} : { because: words }),
              },
              nowMs,
            );
          }
          if (a === Phase.hold && code !== Phase.hold) alarms.returnToNormal(controllerId, 'held', nowMs);
          if (a === Phase.trip && code !== Phase.trip) alarms.resetAtBath(controllerId, nowMs);
          if (code !== Phase.hold && code !== Phase.trip) lastCause.delete(controllerId);
          // A run that is over has no stopped rotation.
          if (code === Phase.done || code === Phase.idle)
            alarms.returnToNormal(controllerId, 'rotation-stalled', nowMs);
          break;
        }
      }
    },
    tick: (nowMs) => {
      const all = attempts();
      for (const bath of book.all()) {
        const { controllerId } = bath.paired;
        all.attempt(() => {
          act(controllerId, findingsInSilence(watchOf(controllerId), bath, nowMs, clockSpeed), nowMs);
        });
        all.attempt(() => {
          endRefusedCommands(controllerId, nowMs);
        });
      }
      hasTicked = true;
      all.attempt(() => {
        drift.tick(nowMs);
      });
      all.attempt(() => {
        if (refusedOf === undefined || nowMs <= refusedUntilMs) return;
        alarms.returnToNormal(refusedOf, 'message-refused', nowMs);
        refusedOf = undefined;
      });
      all.settle();
    },
    refused: (controllerId, why, nowMs) => {
      refusedUntilMs = nowMs + REFUSED_QUIET_MS;
      refusedOf ??= book.has(controllerId) ? controllerId : '';
      alarms.raise(
        { controllerId: refusedOf, name: 'message-refused', causeAtMs: nowMs, detail: `${controllerId}: ${why}` },
        nowMs,
      );
    },
  };
}
