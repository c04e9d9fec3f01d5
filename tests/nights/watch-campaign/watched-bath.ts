/*
 * The dashboard's own watchman at one bath of the campaign, with a list that only notes which alarms were raised and which of them call. A restart is a
 * new watchman over what was kept. Used by `watch-night.ts`: so the whole way is judged, from what the controller says to the call.
 */
import { alarmTexts, type DriftShelf, openWatchman, type RaisedAlarms, type WatchedBook } from '@bathkeeper/dashboard';
import type { Recipe, RigLimits } from '@bathkeeper/shared-core/control';
import {
  EVENT_COLUMNS,
  EventColumn,
  type AlarmView,
  type LiveView,
  type RecipeView,
} from '@bathkeeper/shared-core/messages';
import type { ControllerEvent } from '@bathkeeper/shared-core/control';
import { priorityRank } from '@bathkeeper/shared-core/watch';

export const CONTROLLER = 'north-bench';
/** Any time of the dashboard's clock. */
const START_MS = 1_767_225_600_000;

export interface RaisedAlarm {
  readonly name: string;
  readonly isCall: boolean;
  readonly atSeconds: number;
  readonly detail: string;
}

export class WatchedBath {
  readonly raised: RaisedAlarm[] = [];
  readonly #standing = new Map<string, AlarmView['priority']>();
  readonly #book: WatchedBook;
  readonly #shelf: DriftShelf;
  readonly #bath: NonNullable<ReturnType<WatchedBook['bath']>>;
  #watchman;
  #sequence = 0;

  constructor(recipe: Recipe, rig: RigLimits, plannedSeconds: number) {
    const view = recipeView(recipe, plannedSeconds);
    const run = {
      ...{ controller_id: CONTROLLER, run: 1, incarnation: 1, recipe_id: recipe.recipeId, started_at_ms: START_MS },
      ...{ ended_at_ms: null, ended_code: null, charge_millicoulombs: 0 },
    };
    this.#bath = {
      paired: { controllerId: CONTROLLER, bathName: 'Copper 60 L', passwordHash: '', isSimulated: false },
      ...{ live: undefined, liveMessage: undefined, lastHeardAtMs: null, lastPhase: undefined, isOnline: true },
    };
    this.#book = {
      bath: () => this.#bath,
      all: () => [this.#bath],
      has: () => true,
      newestRun: () => run,
      recipe: () => view,
      rigLimits: () => rig,
    };
    let kept: string | undefined;
    this.#shelf = {
      read: () => kept,
      keep: (_, state) => {
        kept = state;
      },
      together: (work) => work(),
    };
    this.#watchman = this.#open();
  }

  /** A new dashboard: what stood still stands, what was learnt was kept at most a minute ago. */
  restart(): void {
    this.#watchman = this.#open();
  }

  hear(live: LiveView, events: readonly ControllerEvent[], seconds: number): void {
    const nowMs = START_MS + seconds * 1000;
    const heard = { ...live, takenAtMs: nowMs };
    Object.assign(this.#bath, { live: heard, lastPhase: live.phase, lastHeardAtMs: nowMs });
    this.#watchman.live(CONTROLLER, heard, nowMs);
    const rows = events.map(({ kind, code, a, b }) => {
      const row = new Array<number>(EVENT_COLUMNS).fill(0);
      row[EventColumn.sequence] = ++this.#sequence;
      row[EventColumn.run] = 1;
      row[EventColumn.kind] = kind;
      row[EventColumn.code] = code;
      row[EventColumn.a] = a;
      row[EventColumn.b] = b;
      return row;
    });
    for (const [index, row] of rows.entries())
      this.#watchman.event(CONTROLLER, row, nowMs, nowMs, rows.slice(index + 1));
  }

  tick(seconds: number): void {
    this.#watchman.tick(START_MS + seconds * 1000);
  }

  isStanding(name: string): boolean {
    return this.#standing.has(name);
  }

  #open(): ReturnType<typeof openWatchman> {
    const alarms: RaisedAlarms = {
      raise: ({ name, priority, detail }, nowMs) => {
        const shown = priority ?? alarmTexts[name].priority;
        const stands = this.#standing.get(name);
        if (stands !== undefined && priorityRank[stands] >= priorityRank[shown]) return undefined;
        this.#standing.set(name, shown);
        // More than a real list calls: one that comes again within ten minutes calls nobody there.
        this.raised.push({ name, isCall: shown !== 'low', atSeconds: (nowMs - START_MS) / 1000, detail });
        return this.raised.length;
      },
      returnToNormal: (_, name) => this.#standing.delete(name),
      resetAtBath: () => this.#standing.delete('trip'),
      isStanding: (_, name) => this.#standing.has(name),
      // Nobody acknowledges here, and nothing is silent.
      callingPriority: () => undefined,
    };
    return openWatchman(this.#book, alarms, 1, this.#shelf);
  }
}

function recipeView(recipe: Recipe, plannedSeconds: number): RecipeView {
  const { chargeMilliCoulombs, ...rest } = recipe;
  const chargeAmpereHours = chargeMilliCoulombs / 3.6e6;
  return {
    ...rest,
    partName: 'fluted bell lampshade',
    currentDensityAmpsPerDm2: recipe.plateAmps / recipe.areaDm2,
    chargeAmpereHours,
    averageThicknessMicrometres: (13.231 * chargeAmpereHours) / recipe.areaDm2,
    depositMassGrams: 1.18549 * chargeAmpereHours,
    bath: null,
    metal: 'copper',
    cathodeEfficiency: 1,
    plannedSeconds,
  };
}
