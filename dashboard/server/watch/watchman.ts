/*
 * Turns what is heard into alarms: the controller's events, the live messages and silence. Called by the ingest's listener and
 * once a second by the clock. It hands each to whoever judges it (the files beside it), and never touches the run.
 */
import { isLive, type Phase } from '@bathkeeper/shared-core/control';
import { LiveKey, type LiveView } from '@bathkeeper/shared-core/messages';
import { plannedRest } from '@bathkeeper/shared-core/trade';
import type { DriftPlan } from '@bathkeeper/shared-core/watch';
import type { BathBook } from '../baths/bath-book.js';
import type { AlarmList } from './alarm-list.js';
import { attempts } from './attempts.js';
import { openControllerEvents, type TakeEvent } from './controller-events.js';
import { openForgottenRun } from './forgotten-run.js';
import { type DriftShelf, openDriftWatch } from './drift-watch.js';
import { openLiveWord } from './live-word.js';
import { openOwnJudgement } from './own-judgement.js';
import { openRefusals } from './refusals.js';

/** Without a recipe: the range that bright copper baths are sold for, 18 to 28 Celsius here (see trade). */
const USUAL_BAND = { lowestCelsius: 18, highestCelsius: 28 };

export interface Watchman {
  live(controllerId: string, live: LiveView, nowMs: number): void;
  readonly event: TakeEvent;
  tick(nowMs: number): void;
  refused(controllerId: string, why: string, nowMs: number): void;
}

/** What the watchman asks of the book and of the alarm list. */
export type WatchedBook = Pick<BathBook, 'bath' | 'all' | 'has' | 'newestRun' | 'recipe' | 'rigLimits'>;
export type RaisedAlarms = Pick<
  AlarmList,
  'raise' | 'returnToNormal' | 'resetAtBath' | 'isStanding' | 'callingPriority'
>;

export function openWatchman(book: WatchedBook, alarms: RaisedAlarms, clockSpeed: number, shelf: DriftShelf): Watchman {
  const drift = openDriftWatch(shelf, alarms);
  const lastPhase = (controllerId: string): number | undefined => book.bath(controllerId)?.lastPhase;
  const own = openOwnJudgement({ alarms, lastPhase, clockSpeed });
  const followLive = openLiveWord(alarms);
  const wasLive = book.all().filter(({ lastPhase: phase }) => phase !== undefined && isLive(phase as Phase));
  const forgotten = openForgottenRun(
    alarms,
    wasLive.map(({ paired }) => paired.controllerId),
  );
  const refusals = openRefusals({ alarms, isPaired: book.has });
  const event = openControllerEvents({
    alarms,
    refusals,
    standingConditions: (controllerId) => book.bath(controllerId)?.live?.conditions ?? [],
  });

  return {
    event,
    refused: refusals.message,
    live: (controllerId, live, nowMs) => {
      const newest = book.newestRun(controllerId);
      const recipe = newest === undefined ? undefined : book.recipe(newest.recipe_id);
      const band = {
        lowestCelsius: USUAL_BAND.lowestCelsius,
        highestCelsius: recipe?.bathWarnCelsius ?? USUAL_BAND.highestCelsius,
      };
      const all = attempts();
      all.attempt(() => {
        own.live(controllerId, live, band, nowMs);
      });
      all.attempt(() => {
        followLive(controllerId, live, nowMs);
      });
      all.attempt(() => {
        forgotten.live(controllerId, live.phase, () => newest?.ended_at_ms === null, nowMs);
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
    tick: (nowMs) => {
      const all = attempts();
      for (const bath of book.all()) {
        all.attempt(() => {
          own.silence(bath, nowMs);
        });
        all.attempt(() => {
          refusals.endCommands(bath.paired.controllerId, nowMs);
        });
      }
      all.attempt(() => {
        drift.tick(nowMs);
      });
      all.attempt(() => {
        refusals.endMessages(nowMs);
      });
      all.settle();
    },
  };
}
