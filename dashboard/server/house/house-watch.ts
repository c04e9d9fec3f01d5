/*
 * The dashboard watches its own house: store, broker, disk and clock, and whether it stood still itself. Opened by the composition root, looks
 * every ten seconds, raises its alarms under no controller. It judges what it was handed and mends nothing.
 */
import { isLive, type Phase } from '@bathkeeper/shared-core/control';
import type { AlarmName, AlarmView } from '@bathkeeper/shared-core/messages';
import { type DelayedCondition, delayedCondition, judged } from '@bathkeeper/shared-core/watch';
import type { BathBook } from '../baths/bath-book.js';
import type { DashboardClock } from '../clock.js';
import type { Store } from '../store/store.js';
import { HOUSE } from '../watch/alarm-announcing.js';
import type { AlarmList } from '../watch/alarm-list.js';
import { type ClockReading, CLOCK_TOLERANCE_MS, clockTurn } from './computer-clock.js';
import { type ControllerCount, openControllerCount } from './controller-count.js';
import { bytesWords, diskLimitBytes, type DiskSpace, isNearlyFull } from './disk-space.js';
import { durationWords } from './durations.js';

export const LOOK_MS = 10_000;
const DISK_LOOK_MS = 60_000;
/** Of the settings in the store: the newest time that this dashboard has seen. Written with every look, which proves that it can be. */
const SEEN = 'houseSeenMs';
/** A clock that was set has been set: the alarm says so for this long, and is over. */
const STEP_TOLD_MS = 10 * 60_000;

export interface HouseProbes {
  /** Milliseconds since the computer was switched on, sleep included where the system counts it. */
  readonly upMs: () => number;
  /** Undefined: not known. */
  readonly diskSpace: () => Promise<DiskSpace | undefined>;
  /** Earlier than this it cannot be: the program was not built yet. */
  readonly earliestMs: number;
}

export interface HouseWatch {
  /** A controller's live message: its own count of time is a witness. */
  live(controllerId: string, incarnation: number, boot: number, uptimeMs: number, nowMs: number): void;
  /** Looks at everything now; by itself every ten seconds. The disk's answer comes later. */
  look(): void;
  /** Looks at the clock alone, as soon as somebody sees that it was set: what is planned by it moves before anything else is planned. */
  lookAtClock(): void;
  /** What keeps the watch from being one, in a whole sentence; undefined: it runs. */
  problem(): string | undefined;
  /** The newest answer; undefined: not known. */
  disk(): DiskSpace | undefined;
  isClockDoubted(): boolean;
  close(): void;
}

interface Standing {
  readonly condition: DelayedCondition;
  readonly onMs: number;
  readonly offMs: number;
  detail: string;
}

export function openHouseWatch(options: {
  clock: DashboardClock;
  store: Store;
  book: BathBook;
  alarms: Pick<AlarmList, 'raise' | 'returnToNormal' | 'isStanding'>;
  /** Why no controller can be heard; undefined: the broker and the connection to it are there. */
  brokerProblem: () => string | undefined;
  /** When the watch over the baths last ticked without a failure. */
  lastTickMs: () => number;
  probes: HouseProbes;
  /** The clock was set by so much; back is negative. */
  clockSet: (byMs: number) => void;
  changed: () => void;
  failed: (what: string, fault: unknown) => void;
}): HouseWatch {
  const { clock, store, book, alarms, probes } = options;
  const standing = (onMs: number, offMs: number): Standing => ({
    condition: delayedCondition(),
    onMs,
    offMs,
    detail: '',
  });
  const broker = standing(LOOK_MS, LOOK_MS);
  const unwritable = standing(LOOK_MS, 3 * LOOK_MS);
  const disk = standing(0, 0);
  const early = standing(0, LOOK_MS);
  let space: DiskSpace | undefined;
  let isDiskAsked = false;
  let diskAskedAtMs = -Infinity;
  let stepped: { untilMs: number; detail: string } | undefined;
  let stoodStill: { untilMs: number; detail: string; priority: AlarmView['priority'] | undefined } | undefined;
  let storeFault: string | undefined;
  /** When the store began to take nothing, for the journal once it takes something again. */
  let unwritableSinceMs: number | undefined;
  const count: ControllerCount | undefined = clock.speed === 1 ? openControllerCount(store) : undefined;

  const reading = (): ClockReading => ({
    wallMs: clock.nowMs(),
    steadyMs: clock.steadyMs(),
    upMs: clock.speed === 1 ? probes.upMs() : clock.steadyMs(),
  });
  let before = reading();
  // Virtual hours run ahead of the day, and the next start begins at the day again.
  const seenMs = clock.speed === 1 ? Number(store.setting(SEEN) ?? 0) : 0;
  if (seenMs - before.wallMs > CLOCK_TOLERANCE_MS) {
    step(`it shows ${durationWords(seenMs - before.wallMs)} less than it did before this start`);
    tellCalls(before.wallMs - seenMs);
  }

  function step(detail: string): void {
    stepped = { untilMs: clock.nowMs() + STEP_TOLD_MS, detail };
  }
  function tellCalls(byMs: number): void {
    try {
      options.clockSet(byMs);
    } catch (fault) {
      options.failed('calls could not follow a clock that was set', fault);
    }
  }
  /** Raises what stands and is not in the list yet, again at each look until the store takes it; returns what is over. */
  const tell = (
    name: AlarmName,
    detail: string | undefined,
    causeAtMs: number,
    priority?: AlarmView['priority'],
  ): void => {
    const nowMs = clock.nowMs();
    try {
      if (detail === undefined) {
        if (alarms.returnToNormal(HOUSE, name, nowMs)) options.changed();
      } else if (!alarms.isStanding(HOUSE, name)) {
        alarms.raise({ controllerId: HOUSE, name, causeAtMs, detail, priority }, nowMs);
        options.changed();
      }
    } catch (fault) {
      options.failed(`the alarm ${name} could not be stored`, fault);
    }
  };
  const judge = (name: AlarmName, one: Standing, detail: string | undefined, nowMs: number): void => {
    if (detail !== undefined) one.detail = detail;
    judged(one.condition, detail !== undefined, nowMs, one);
    tell(name, one.condition.isActive ? one.detail : undefined, one.condition.causeAtMs ?? nowMs);
  };

  const lookAtClock = (nowMs: number): void => {
    const now = reading();
    const tolerance = CLOCK_TOLERANCE_MS * clock.speed;
    // Sooner than planned where somebody has seen it in between.
    const plannedMs = Math.min(LOOK_MS, now.steadyMs - before.steadyMs);
    const { stoodStillMs, setByMs } = clockTurn(before, now, plannedMs, tolerance);
    before = now;
    if (setByMs !== 0)
      step(
        `it was set ${setByMs > 0 ? 'forward' : 'back'} by ${durationWords(setByMs)}; times in the journal before and after do not fit together`,
      );
    if (setByMs !== 0) tellCalls(setByMs);
    if (stoodStillMs > 0) {
      // Where nothing ran, nothing was missed: shown, and wakes nobody.
      const isAwaited = book.all().some((bath) => isLive((bath.lastPhase ?? 0) as Phase));
      stoodStill = {
        untilMs: nowMs + STEP_TOLD_MS,
        detail: `for ${durationWords(stoodStillMs)} until now; this computer slept, or had no time for its program`,
        priority: isAwaited ? undefined : 'low',
      };
    }
    if (stepped !== undefined && nowMs >= stepped.untilMs) stepped = undefined;
    if (stoodStill !== undefined && nowMs >= stoodStill.untilMs) stoodStill = undefined;
    const isEarly = now.wallMs < probes.earliestMs - CLOCK_TOLERANCE_MS;
    judged(early.condition, isEarly, nowMs, early);
    const earlyWords = `it shows ${new Date(now.wallMs).toISOString().slice(0, 16)}Z, before this program was built`;
    tell('clock-wrong', early.condition.isActive ? earlyWords : stepped?.detail, nowMs);
    tell('watch-stood-still', stoodStill?.detail, nowMs, stoodStill?.priority);
  };

  const lookAtStore = (nowMs: number): void => {
    try {
      store.setSetting(SEEN, String(clock.speed === 1 ? nowMs : 0));
      storeFault = undefined;
    } catch (fault) {
      storeFault = (fault as Error).message;
    }
    const wasActive = unwritable.condition.isActive;
    if (storeFault !== undefined) unwritable.detail = `a row of one number is refused: ${storeFault}`;
    judged(unwritable.condition, storeFault !== undefined, nowMs, unwritable);
    if (unwritable.condition.isActive) {
      unwritableSinceMs ??= unwritable.condition.causeAtMs ?? nowMs;
      // Within the off-delay it could be stored, and would call again for what is over.
      if (storeFault !== undefined) tell('store-not-writable', unwritable.detail, unwritableSinceMs);
    } else {
      // The alarm could not be stored while it stood: the journal has it now, and nobody is called a second time.
      if (wasActive && unwritableSinceMs !== undefined && !alarms.isStanding(HOUSE, 'store-not-writable'))
        tell('store-not-writable', `for ${durationWords(nowMs - unwritableSinceMs)}, over now; calls went out from memory`, unwritableSinceMs, 'low'); // prettier-ignore
      unwritableSinceMs = undefined;
      tell('store-not-writable', undefined, nowMs);
    }
  };

  const lookAtDisk = (nowMs: number): void => {
    if (!isDiskAsked && Math.abs(nowMs - diskAskedAtMs) >= DISK_LOOK_MS) {
      isDiskAsked = true;
      diskAskedAtMs = nowMs;
      void probes
        .diskSpace()
        .catch(() => undefined)
        .then((found) => {
          isDiskAsked = false;
          space = found;
        });
    } else if (isDiskAsked && nowMs - diskAskedAtMs >= DISK_LOOK_MS) space = undefined;
    if (space === undefined) return;
    const controllers = book.all().length;
    const isFull = isNearlyFull(space, controllers, disk.condition.isActive);
    const words = `${bytesWords(space.freeBytes)} of ${bytesWords(space.totalBytes)} are free; expected at least ${bytesWords(diskLimitBytes(controllers))}`;
    judge('disk-nearly-full', disk, isFull ? words : undefined, nowMs);
  };

  const lookAtBroker = (nowMs: number): void => {
    judge('broker-lost', broker, options.brokerProblem(), nowMs);
  };
  const guarded = (what: string, lookAt: (nowMs: number) => void, nowMs: number): void => {
    try {
      lookAt(nowMs);
    } catch (fault) {
      options.failed(`${what} could not be looked at`, fault);
    }
  };
  const look = (): void => {
    const nowMs = clock.nowMs();
    guarded('the clock', lookAtClock, nowMs);
    guarded('the store', lookAtStore, nowMs);
    guarded('the broker', lookAtBroker, nowMs);
    guarded('the disk', lookAtDisk, nowMs);
  };
  const stop = clock.every(LOOK_MS, look);
  look();
  return {
    live: (controllerId, incarnation, boot, uptimeMs, nowMs) => {
      if (count === undefined || book.bath(controllerId)?.paired.isSimulated !== false) return;
      const differsByMs = count.differenceMs(controllerId, incarnation, boot, uptimeMs, nowMs);
      if (differsByMs === undefined) return;
      step(
        `it shows ${durationWords(differsByMs)} ${differsByMs > 0 ? 'more' : 'less'} than ${controllerId} has counted since before this start`,
      );
    },
    look,
    lookAtClock: () => {
      guarded('the clock', lookAtClock, clock.nowMs());
    },
    problem: () => {
      if (storeFault !== undefined) return `The store cannot be written: ${storeFault}.`;
      const brokerWords = options.brokerProblem();
      if (brokerWords !== undefined) return `The broker is lost: ${brokerWords}.`;
      const lateMs = clock.nowMs() - options.lastTickMs();
      return lateMs > 30_000 * clock.speed
        ? `The watch over the baths has not ticked for ${durationWords(lateMs)}.`
        : undefined;
    },
    disk: () => space,
    isClockDoubted: () => early.condition.isActive || stepped !== undefined,
    close: stop,
  };
}
