/*
 * What the dashboard knows of each controller: who is paired, the newest live message, the run, the waiting recipe, commands.
 * Fed by the ingest, read by snapshot, commands and watch. What must outlive a restart is in the store; the rest is memory.
 */
import { EventKind, Phase } from '@bathkeeper/shared-core/control';
import type { RigLimits } from '@bathkeeper/shared-core/control';
import { EventColumn, LiveKey, RecipeColumn } from '@bathkeeper/shared-core/messages';
import type {
  CommandKind,
  CommandView,
  ControllerView,
  LiveView,
  RecipeView,
  RunView,
} from '@bathkeeper/shared-core/messages';
import type { LiveMessage } from '../ingest/schemas.js';
import { MILLICOULOMBS_PER_AMPERE_HOUR, plannedRest } from '@bathkeeper/shared-core/trade';
import { TEN_MINUTES_MS } from '../store/logged-records.js';
import type { Row, Store } from '../store/store.js';
import { answerWords, endWords, recipeRefusalWords } from './answer-words.js';
import { openCommandLog } from './command-log.js';
import { liveView } from './live-view.js';
import { openTold } from './told.js';

const RECIPES_KEPT = 200;

export interface PairedController {
  readonly controllerId: string;
  readonly bathName: string;
  readonly passwordHash: string;
  readonly isSimulated: boolean;
}

export interface KnownBath {
  readonly paired: PairedController;
  live: LiveView | undefined;
  liveMessage: LiveMessage | undefined;
  lastHeardAtMs: number | null;
  /** The phase of the newest live message, or of the newest record in the store. */
  lastPhase: number | undefined;
  isOnline: boolean;
}

export interface RunRow {
  controller_id: string;
  run: number;
  incarnation: number;
  recipe_id: number;
  started_at_ms: number;
  ended_at_ms: number | null;
  ended_code: number | null;
  charge_millicoulombs: number;
}

export interface BathBook {
  pair(controller: PairedController, rig: RigLimits, nowMs: number): void;
  unpair(controllerId: string): void;
  has(controllerId: string): boolean;
  bath(controllerId: string): KnownBath | undefined;
  all(): readonly KnownBath[];
  rigLimits(controllerId: string): RigLimits;
  heardLive(controllerId: string, message: LiveMessage, nowMs: number): LiveView;
  /** The phase of a controller that is heard now; undefined: nobody can tell. */
  phaseHeard(controllerId: string, nowMs: number): Phase | undefined;
  heard(controllerId: string, nowMs: number): void;
  takeEvent(controllerId: string, row: Row, takenAtMs: number, incarnation: number): void;
  nextRecipeId(): number;
  saveRecipe(controllerId: string, view: RecipeView, row: readonly number[], nowMs: number): void;
  recipe(recipeId: number): RecipeView | undefined;
  newestRun(controllerId: string): RunRow | undefined;
  run(controllerId: string, runNumber: number): RunRow | undefined;
  addCommand(controllerId: string, kind: CommandKind, nowMs: number, words: string): CommandView;
  commandTimedOut(commandId: number): void;
  commandViews(controllerId: string, nowMs: number): CommandView[];
  view(controllerId: string, nowMs: number): ControllerView;
}

/** A controller that was not heard for this long is not shown as online, whatever the broker says of its connection. */
const ONLINE_MS = 15_000;

/** `isSecretHeld`: can commands be proved to this controller? */
export function openBathBook(
  store: Store,
  openedAtMs: number,
  isSecretHeld: (controllerId: string) => boolean,
): BathBook {
  const { database } = store;
  const baths = new Map<string, KnownBath>();
  const told = openTold(store);
  interface ControllerRow {
    controller_id: string;
    bath_name: string;
    password_hash: string;
    is_simulated: number;
  }
  const newestRecord = database.prepare<[string], { at: number; phase: number }>(
    'SELECT newest_at_ms AS at, newest_phase AS phase FROM memories WHERE controller_id = ? ORDER BY at DESC LIMIT 1',
  );
  for (const row of database.prepare<[], ControllerRow>('SELECT * FROM controllers ORDER BY paired_at_ms').all()) {
    const paired = {
      controllerId: row.controller_id,
      bathName: row.bath_name,
      passwordHash: row.password_hash,
      isSimulated: row.is_simulated === 1,
    };
    // What was heard before this dashboard started: whoever fell silent while it was down is missed as well.
    const last = paired.isSimulated ? undefined : newestRecord.get(row.controller_id);
    baths.set(row.controller_id, {
      paired,
      live: undefined,
      liveMessage: undefined,
      lastHeardAtMs: last === undefined ? null : Math.min(last.at, openedAtMs),
      lastPhase: last?.phase,
      isOnline: last !== undefined,
    });
  }
  const insertController = database.prepare(
    'INSERT OR REPLACE INTO controllers VALUES (?, ?, ?, CAST(? AS INTEGER), CAST(? AS INTEGER))',
  );
  const deleteController = database.prepare('DELETE FROM controllers WHERE controller_id = ?');
  const insertRecipe = database.prepare('INSERT INTO recipes VALUES (CAST(? AS INTEGER), ?, CAST(? AS INTEGER), ?, ?)');
  const readRecipe = database.prepare<[number], { view: string; row: string }>(
    'SELECT view, row FROM recipes WHERE recipe_id = ?',
  );
  const maxRecipe = database.prepare<[], { id: number | null }>('SELECT max(recipe_id) AS id FROM recipes');
  const insertRun = database.prepare(
    `INSERT INTO runs (controller_id, run, incarnation, recipe_id, started_at_ms)
     VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER)) ON CONFLICT DO NOTHING`,
  );
  const endRun = database.prepare(
    `UPDATE runs SET ended_at_ms = CAST(? AS INTEGER), ended_code = CAST(? AS INTEGER), charge_millicoulombs = CAST(? AS INTEGER)
     WHERE controller_id = ? AND incarnation = CAST(? AS INTEGER) AND run = CAST(? AS INTEGER)`,
  );
  const reopenRun = database.prepare(
    `UPDATE runs SET ended_at_ms = NULL, ended_code = NULL
     WHERE controller_id = ? AND incarnation = CAST(? AS INTEGER) AND run = CAST(? AS INTEGER)`,
  );
  const newestRun = database.prepare<[string], RunRow>(
    'SELECT * FROM runs WHERE controller_id = ? ORDER BY started_at_ms DESC LIMIT 1',
  );
  const runByNumber = database.prepare<[string, number], RunRow>(
    'SELECT * FROM runs WHERE controller_id = ? AND run = CAST(? AS INTEGER) ORDER BY started_at_ms DESC LIMIT 1',
  );
  /** By ten minutes, which stay for ever; the run's own are searched alone. */
  const lastCharge = database.prepare<[string, number, number, number], { charge: number | null }>(
    `SELECT max(t.charge_millicoulombs) AS charge FROM memories m JOIN ten_minutes t ON t.controller = m.controller AND t.memory = m.memory
     WHERE m.controller_id = ? AND m.incarnation = CAST(? AS INTEGER) AND t.run = CAST(? AS INTEGER) AND t.ten_minute >= CAST(? AS INTEGER)`,
  );
  const commands = openCommandLog(store);
  const lastRefusal = new Map<string, string>();

  /** A recipe never changes; the watch asks for it with every live message. */
  const recipesRead = new Map<number, RecipeView>();
  const recipeOf = (recipeId: number): RecipeView | undefined => {
    const known = recipesRead.get(recipeId);
    if (known !== undefined) return known;
    const row = readRecipe.get(recipeId);
    if (row === undefined) return undefined;
    // Views of earlier versions have no hold current, which the row that was sent has, and know of nothing but copper.
    const holdAmps = (JSON.parse(row.row) as number[])[RecipeColumn.holdAmps] ?? 0;
    const older = { holdAmps, bath: null, metal: 'copper', cathodeEfficiency: 1 };
    const view: RecipeView = { ...older, ...(JSON.parse(row.view) as Omit<RecipeView, keyof typeof older>) };
    if (recipesRead.size >= RECIPES_KEPT) recipesRead.clear();
    recipesRead.set(recipeId, view);
    return view;
  };
  const need = (controllerId: string): KnownBath => {
    const bath = baths.get(controllerId);
    if (bath === undefined) throw new Error(`no controller ${controllerId} is paired`);
    return bath;
  };

  const book: BathBook = {
    pair: (controller, rig, nowMs) => {
      store.together(() => {
        insertController.run(
          controller.controllerId,
          controller.bathName,
          controller.passwordHash,
          controller.isSimulated ? 1 : 0,
          nowMs,
        );
        store.setSetting(`rig:${controller.controllerId}`, JSON.stringify(rig));
      });
      const before = baths.get(controller.controllerId);
      const isSame = before?.paired.isSimulated === controller.isSimulated;
      baths.set(controller.controllerId, {
        paired: controller,
        live: undefined,
        liveMessage: undefined,
        // Paired anew in its run, and not let in with what it holds: it is missed as any other.
        lastHeardAtMs: isSame ? before.lastHeardAtMs : null,
        lastPhase: isSame ? before.lastPhase : undefined,
        isOnline: false,
      });
    },
    unpair: (controllerId) => {
      deleteController.run(controllerId);
      baths.delete(controllerId);
    },
    has: (controllerId) => baths.has(controllerId),
    bath: (controllerId) => baths.get(controllerId),
    all: () => [...baths.values()],
    rigLimits: (controllerId) => JSON.parse(store.setting(`rig:${controllerId}`) ?? '{}') as RigLimits,
    heard: (controllerId, nowMs) => {
      const bath = need(controllerId);
      bath.lastHeardAtMs = nowMs;
      bath.isOnline = true;
    },
    phaseHeard: (controllerId, nowMs) => {
      const live = baths.get(controllerId)?.live;
      return live !== undefined && Math.abs(nowMs - live.takenAtMs) < ONLINE_MS ? live.phase : undefined;
    },
    heardLive: (controllerId, message, nowMs) => {
      const bath = need(controllerId);
      bath.live = liveView(message, nowMs);
      bath.liveMessage = message;
      bath.lastPhase = message[LiveKey.phase];
      bath.lastHeardAtMs = nowMs;
      bath.isOnline = true;
      return bath.live;
    },
    takeEvent: (controllerId, row, takenAtMs, incarnation) => {
      const code = row[EventColumn.code]!;
      const a = row[EventColumn.a]!;
      const b = row[EventColumn.b]!;
      told.take(controllerId, row, takenAtMs);
      switch (row[EventColumn.kind] ?? 0) {
        case EventKind.runStarted:
          insertRun.run(controllerId, b, incarnation, a, takenAtMs);
          break;
        case EventKind.runEnded:
          endRun.run(takenAtMs, code, a * 1000, controllerId, incarnation, row[EventColumn.run]!);
          break;
        case EventKind.recipeRefused:
          lastRefusal.set(controllerId, recipeRefusalWords(code, b));
          break;
        case EventKind.interruption:
          // A run that was stopped short of its charge goes on: it has not ended after all.
          reopenRun.run(controllerId, incarnation, row[EventColumn.run]!);
          break;
        case EventKind.commandAnswered:
          commands.answered(controllerId, a, b === 0, answerWords(code, b, lastRefusal.get(controllerId)));
          break;
      }
    },
    nextRecipeId: () => (maxRecipe.get()?.id ?? 0) + 1,
    saveRecipe: (controllerId, view, row, nowMs) => {
      insertRecipe.run(view.recipeId, controllerId, nowMs, JSON.stringify(view), JSON.stringify(row));
    },
    recipe: recipeOf,
    newestRun: (controllerId) => newestRun.get(controllerId),
    run: (controllerId, runNumber) => runByNumber.get(controllerId, runNumber),
    addCommand: commands.add,
    commandTimedOut: commands.timedOut,
    commandViews: commands.recent,
    view: (controllerId, nowMs) => {
      const bath = need(controllerId);
      const { live, liveMessage } = bath;
      const row = newestRun.get(controllerId);
      const recipeId = liveMessage?.[LiveKey.recipeId] ?? 0;
      const isWaiting = live !== undefined && live.phase === Phase.ready && recipeId > 0;
      return {
        controllerId,
        bathName: bath.paired.bathName,
        isSimulated: bath.paired.isSimulated,
        isOnline: bath.isOnline && Math.abs(nowMs - (bath.lastHeardAtMs ?? -Infinity)) < ONLINE_MS,
        lastHeardAtMs: bath.lastHeardAtMs,
        live: live ?? null,
        run: row === undefined ? null : runView(row, live, liveMessage, nowMs),
        waitingRecipe: isWaiting ? (recipeOf(recipeId) ?? null) : null,
        commands: commands.recent(controllerId, nowMs),
        recordsWaitingAtController: liveMessage?.[LiveKey.waiting] ?? 0,
        mustBePairedAgain: !isSecretHeld(controllerId),
        told: told.view(controllerId, row?.run),
      };
    },
  };

  function runView(
    row: RunRow,
    live: LiveView | undefined,
    message: LiveMessage | undefined,
    nowMs: number,
  ): RunView | null {
    const recipe = recipeOf(row.recipe_id);
    if (recipe === undefined) return null;
    const isPresent = live !== undefined && message?.[LiveKey.run] === row.run && row.ended_at_ms === null;
    const stored = row.ended_at_ms === null ? 0 : row.charge_millicoulombs;
    const chargeAmpereHours = isPresent
      ? live.chargeAmpereHours
      : Math.max(
          stored,
          lastCharge.get(
            row.controller_id,
            row.incarnation,
            row.run,
            Math.floor(row.started_at_ms / TEN_MINUTES_MS) - 1,
          )?.charge ?? 0,
        ) / MILLICOULOMBS_PER_AMPERE_HOUR;
    const fraction = chargeAmpereHours / recipe.chargeAmpereHours;
    return {
      runNumber: row.run,
      recipe,
      startedAtMs: row.started_at_ms,
      endedAtMs: row.ended_at_ms,
      plannedFinishAtMs: isPresent ? (plannedRest(recipe, live, nowMs).at(-1)?.atMs ?? null) : null,
      chargeAmpereHours,
      averageThicknessMicrometres: recipe.averageThicknessMicrometres * fraction,
      depositMassGrams: recipe.depositMassGrams * fraction,
      endedBecause: row.ended_at_ms === null ? null : endWords(row.ended_code ?? 0),
    };
  }
  return book;
}
