/*
 * What the dashboard knows of each controller: who is paired, the newest live message, the run, the waiting recipe, commands.
 * Fed by the ingest, read by snapshot, commands and watch. What must outlive a restart is in the store; the rest is memory.
 */
import { Command, EventKind, Phase, RecipeFault } from '@bathkeeper/shared-core/control';
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
import { conditionWords } from '../watch/condition-words.js';
import { openTold } from './told.js';

const COMMANDS_SHOWN_MS = 60_000;
const PULSE_FORGOTTEN_SECONDS = 9999;
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

const kindNames: Readonly<Record<number, CommandKind>> = {
  [Command.stop]: 'stop',
  [Command.hold]: 'hold',
  [Command.acknowledge]: 'acknowledge',
  [Command.lower]: 'lower',
  [Command.recipe]: 'recipe',
};

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
  interface CommandRow {
    command_id: number;
    controller_id: string;
    kind: CommandKind;
    asked_at_ms: number;
    state: CommandView['state'];
    words: string;
  }
  // A controller takes no id twice, whoever sent it: an id that follows the time is new also in a new or restored store.
  const insertCommand = database.prepare(
    `INSERT INTO commands (command_id, controller_id, kind, asked_at_ms, state, words)
     VALUES (max(1 + coalesce((SELECT max(command_id) FROM commands), 0), CAST(? AS INTEGER)), ?, ?, CAST(? AS INTEGER), 'sent', ?)`,
  );
  const answerCommand = database.prepare(
    `UPDATE commands SET state = ?, words = ? WHERE command_id = CAST(? AS INTEGER) AND controller_id = ?`,
  );
  const timeOutCommand = database.prepare(
    `UPDATE commands SET state = 'no-answer', words = ? WHERE command_id = CAST(? AS INTEGER) AND state = 'sent'`,
  );
  // Nobody waits any longer for the answer to what was asked before this start.
  database
    .prepare(`UPDATE commands SET state = 'no-answer', words = ? WHERE state = 'sent'`)
    .run(
      'The dashboard was restarted before the bath answered. Look at the readings, and act at the bath if it matters.',
    );
  const recentCommands = database.prepare<[string, number], CommandRow>(
    'SELECT * FROM commands WHERE controller_id = ? AND asked_at_ms > ? ORDER BY command_id DESC LIMIT 10',
  );
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
          answerCommand.run(
            b === 0 ? 'done' : 'refused',
            answerWords(code, b, lastRefusal.get(controllerId)),
            a,
            controllerId,
          );
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
    addCommand: (controllerId, kind, nowMs, words) => {
      const commandId = Number(
        insertCommand.run(Math.floor(nowMs / 1000), controllerId, kind, nowMs, words).lastInsertRowid,
      );
      return { commandId, kind, askedAtMs: nowMs, state: 'sent', words };
    },
    commandTimedOut: (commandId) => {
      timeOutCommand.run(
        'The bath did not answer. Nothing is known to have changed: look at the readings, and act at the bath if it matters.',
        commandId,
      );
    },
    commandViews: (controllerId, nowMs) =>
      recentCommands.all(controllerId, nowMs - COMMANDS_SHOWN_MS).map((row) => ({
        commandId: row.command_id,
        kind: row.kind,
        askedAtMs: row.asked_at_ms,
        state: row.state,
        words: row.words,
      })),
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
        commands: book.commandViews(controllerId, nowMs),
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

/** What ended a run, as the end of a sentence. Example: `endWords(0)` is "a stop was asked". */
export function endWords(code: number): string {
  return code === 0 ? 'a stop was asked' : conditionWords(code, 0, 0);
}

function liveView(message: LiveMessage, nowMs: number): LiveView {
  const centi = (value: number | undefined): number | null => (value === undefined ? null : value / 100);
  const periodMs = message[LiveKey.pulsePeriod];
  const age = message[LiveKey.pulseAge];
  const voltage = message[LiveKey.voltage];
  return {
    takenAtMs: nowMs,
    phase: message[LiveKey.phase] as LiveView['phase'],
    phaseSeconds: message[LiveKey.phaseSeconds],
    liveSeconds: message[LiveKey.liveSeconds],
    cathodeCurrentAmps: centi(message[LiveKey.current]),
    terminalVolts: voltage === undefined ? null : voltage / 1000,
    bathTemperatureCelsius: centi(message[LiveKey.temperature]),
    permittedAmps: message[LiveKey.permitted] / 100,
    chargeAmpereHours: message[LiveKey.charge] / MILLICOULOMBS_PER_AMPERE_HOUR,
    rotationPulsesPerMinute: periodMs > 0 && age * 1000 < 4 * periodMs + 20_000 ? 60_000 / periodMs : null,
    secondsSinceRotationPulse: age >= PULSE_FORGOTTEN_SECONDS ? null : age,
    derateFraction: message[LiveKey.derate] / 100,
    isContactorClosed: message[LiveKey.contactorClosed] === 1,
    conditions: [...codesIn(message[LiveKey.conditions]), ...codesIn(message[LiveKey.conditionsHigh], 33)],
    supplyKind: message[LiveKey.supplyKind] as LiveView['supplyKind'],
    rampState: message[LiveKey.rampState] as LiveView['rampState'],
    loweredToAmps: centi(message[LiveKey.lowered]),
    permissivesMissing: codesIn(message[LiveKey.permissivesMissing]),
  };
}

/** Codes whose bits are set, the lowest bit being that of code `first`. Example: `codesIn(5, 33)` is `[33, 35]`. */
export function codesIn(mask: number, first = 1): number[] {
  const codes: number[] = [];
  for (let bit = 0; bit < 32; bit++) if ((mask >>> bit) & 1) codes.push(first + bit);
  return codes;
}

function answerWords(kind: number, answer: number, refusal: string | undefined): string {
  const name = kindNames[kind] ?? 'stop';
  if (answer === 0) {
    return {
      stop: 'The bath has stopped: the contactor is open and the run has ended.',
      hold: 'The bath holds at its keep-alive current. Only a press at the bath goes on.',
      acknowledge: 'The buzzer at the bath is silenced until something new happens.',
      lower: 'The bath has lowered its current. A press of start at the bath lifts it again.',
      recipe: 'The recipe has reached the bath and waits for the press of start.',
    }[name];
  }
  if (name === 'recipe' && refusal !== undefined) return refusal;
  if (answer === 2) return 'It came too late and was not carried out. Ask again if it still matters.';
  if (answer === 3) return 'The controller did not understand it. Its firmware may be older than this dashboard.';
  if (answer === 4)
    return 'The supply is set by hand, so the controller cannot lower it. Turn it down at the bath, or stop.';
  return {
    stop: 'There was nothing to stop: no run is live.',
    hold: 'There was nothing to hold: no run is live, or it is held already.',
    acknowledge: 'There was nothing to acknowledge at the bath.',
    lower: 'There was nothing to lower: no run is live, or the current is as low already.',
    recipe: 'The bath did not take the recipe.',
  }[name];
}

function recipeRefusalWords(code: number, limitTimes1000: number): string {
  const limit = limitTimes1000 / 1000;
  switch (code) {
    case RecipeFault.aboveRigCurrent:
      return `The controller refused the recipe: its current is above the rig's limit of ${String(limit)} A. Lower the current density.`;
    case RecipeFault.aboveRigRunTime:
      return `The controller refused the recipe: it lasts longer than the rig's limit of ${(limit / 3600).toFixed(1)} h. Plate less, or faster.`;
    case RecipeFault.aboveRigTemperature:
      return `The controller refused the recipe: its hold temperature is above the rig's limit of ${String(limit)} °C.`;
    case RecipeFault.runIsLive:
      return 'The controller refused the recipe: a run is live, or a trip waits for its reset at the bath. Stop or reset it first.';
    default:
      return 'The controller refused the recipe: a field is missing or impossible.';
  }
}
