/*
 * What the dashboard's server tells its page and what the page may ask: the shapes of the JSON on /api.
 * The server builds them, the page reads them; the controller never sees this file.
 * Times are milliseconds since 1970 in the server's clock (a simulated bath may run on a faster one, see clockSpeed).
 */
import type { Phase } from '../control/phase.js';
import type { SupplyKind } from '../control/signals.js';

/** GET /api/state, and the first and every `state` message of GET /api/stream (server-sent events, once a second and at every change). */
export interface Snapshot {
  readonly nowMs: number;
  /** 1, or how many times faster than real time the server's clock runs. */
  readonly clockSpeed: number;
  readonly controllers: readonly ControllerView[];
  /** Every alarm that is not back to normal and acknowledged, newest first, then the last 50 that are. */
  readonly alarms: readonly AlarmView[];
  readonly webhook: WebhookView;
  /** Things that the owner should know about the installation itself, in whole sentences. */
  readonly notices: readonly string[];
}

export interface ControllerView {
  readonly controllerId: string;
  readonly bathName: string;
  readonly isSimulated: boolean;
  readonly isOnline: boolean;
  /** null: never heard. */
  readonly lastHeardAtMs: number | null;
  /** The newest live message; null before the first. */
  readonly live: LiveView | null;
  /** The run in progress, or the last one; null before the first. */
  readonly run: RunView | null;
  /** The recipe that waits for the press at the bath, or null. */
  readonly waitingRecipe: RecipeView | null;
  /** Commands of the last minute and what became of them, newest first. */
  readonly commands: readonly CommandView[];
  readonly recordsWaitingAtController: number;
  /** The dashboard holds no secret of it (paired by an older version, or the file was lost): it hears, and can send nothing. */
  readonly mustBePairedAgain: boolean;
  /** Absent: nothing of it was told yet. */
  readonly told?: ToldView;
}

/** What a controller told in its events and no live message repeats. */
export interface ToldView {
  /** Steps of bring-up done over USB, of each step the newest, oldest first. */
  readonly bringUp: readonly BringUpDone[];
  /** Of the run in progress or the last one, oldest first. */
  readonly interruptions: readonly InterruptionView[];
  /** When the second means was opened, and for which condition; null: it was not, or it was reset since. */
  readonly secondMeansOpened: { readonly atMs: number; readonly condition: number } | null;
}

export interface BringUpDone {
  /** BringUpStep; a newer controller may know more. */
  readonly step: number;
  readonly atMs: number;
  readonly a: number;
  readonly b: number;
}

/** The current was interrupted and came back by a press. */
export interface InterruptionView {
  /** When it came back. */
  readonly atMs: number;
  /** Without current; null: a restart made it unknown. */
  readonly seconds: number | null;
}

/** One live message, decoded. A null reading is a reading at fault. */
export interface LiveView {
  readonly takenAtMs: number;
  readonly phase: Phase;
  readonly phaseSeconds: number;
  readonly liveSeconds: number;
  readonly cathodeCurrentAmps: number | null;
  readonly terminalVolts: number | null;
  readonly bathTemperatureCelsius: number | null;
  readonly permittedAmps: number;
  readonly chargeAmpereHours: number;
  /** From the time between the last two pulses; null when unknown. */
  readonly rotationPulsesPerMinute: number | null;
  readonly secondsSinceRotationPulse: number | null;
  readonly derateFraction: number;
  readonly isContactorClosed: boolean;
  /** Condition codes active now, 1 to 64. */
  readonly conditions: readonly number[];
  readonly supplyKind: SupplyKind;
  /** 0 goes on, 1 waits for the cell, 2 backs off, 3 paused at the bath. */
  readonly rampState: 0 | 1 | 2 | 3;
  /** Ceiling that `lower` set, until a press of start at the bath; null: none. */
  readonly loweredToAmps: number | null;
  /** Permissive codes missing now. */
  readonly permissivesMissing: readonly number[];
}

export interface RecipeView {
  readonly recipeId: number;
  readonly partName: string;
  readonly areaDm2: number;
  readonly currentDensityAmpsPerDm2: number;
  readonly plateAmps: number;
  readonly strikeAmps: number;
  readonly strikeSeconds: number;
  readonly rampSeconds: number;
  readonly finishAmps: number;
  readonly finishSeconds: number;
  /** The keep-alive current of a hold. */
  readonly holdAmps: number;
  readonly chargeAmpereHours: number;
  /** Average thickness that the charge gives at 100 % cathode efficiency. */
  readonly averageThicknessMicrometres: number;
  readonly depositMassGrams: number;
  readonly bathWarnCelsius: number;
  readonly bathHoldCelsius: number;
  readonly rotationPulsesPerMinute: number;
  /** What the recipe would do from its start, were nothing to go wrong. */
  readonly plannedSeconds: number;
}

export interface RunView {
  readonly runNumber: number;
  readonly recipe: RecipeView;
  readonly startedAtMs: number;
  readonly endedAtMs: number | null;
  /** null when ended or when nobody can tell (held, tripped). */
  readonly plannedFinishAtMs: number | null;
  readonly chargeAmpereHours: number;
  readonly averageThicknessMicrometres: number;
  readonly depositMassGrams: number;
  /** What ended it, in words, or null while it lasts. */
  readonly endedBecause: string | null;
}

/** GET /api/controllers/:id/runs/:run/night?points=1200: the band's series, thinned at the server so that extremes survive. */
export interface NightSeries {
  readonly controllerId: string;
  readonly runNumber: number;
  readonly startedAtMs: number;
  readonly fromMs: number;
  readonly toMs: number;
  readonly measured: readonly NightPoint[];
  /** What is still to come by the recipe from now on, in a few straight pieces. */
  readonly planned: readonly PlannedPoint[];
  readonly alarms: readonly NightMark[];
  readonly phases: readonly { readonly phase: Phase; readonly fromMs: number }[];
}

/** Means of a bucket with the extremes of the current within it. null: no good reading within the bucket. */
export interface NightPoint {
  readonly atMs: number;
  readonly currentAmps: number | null;
  readonly currentAmpsMin: number | null;
  readonly currentAmpsMax: number | null;
  readonly permittedAmps: number;
  readonly terminalVolts: number | null;
  readonly bathTemperatureCelsius: number | null;
  readonly rotationPulsesPerMinute: number | null;
  readonly chargeAmpereHours: number;
}

export interface PlannedPoint {
  readonly atMs: number;
  readonly currentAmps: number;
  readonly averageThicknessMicrometres: number;
}

export interface NightMark {
  readonly alarmId: number;
  readonly name: AlarmName;
  readonly atMs: number;
  readonly untilMs: number | null;
}

/** Alarm names, for machines; the page shows `title` and `checkFirst`. */
export type AlarmName =
  | 'rotation-stalled'
  | 'current-off-permitted'
  | 'bath-temperature-out-of-band'
  | 'controller-silent'
  | 'trip'
  | 'contactor-contradicts'
  | 'held'
  | 'sensor-fault'
  | 'notification-failed'
  | 'message-refused'
  /** The controller did not believe a command or a sign of life (EventKind.commandRefused). */
  | 'command-refused'
  | 'current-does-not-fall'
  | 'anode-passivating'
  | 'contact-weak'
  | 'bath-will-overheat'
  | 'clip-hot'
  | 'rotation-slow'
  | 'rotation-given-up'
  | 'agitation-stopped'
  | 'filter-stopped'
  | 'start-takes-long'
  | 'held-for-long'
  | 'not-acknowledged'
  | 'supply-fault'
  | 'memory-fault'
  | 'alert-latch-not-opening';

/** Alarm states after IEC 62682: acknowledging and returning to normal are two independent facts. */
export type AlarmState = 'unacknowledged' | 'acknowledged' | 'returned-unacknowledged' | 'normal';

export interface AlarmView {
  readonly alarmId: number;
  readonly controllerId: string;
  readonly name: AlarmName;
  readonly priority: 'high' | 'medium' | 'low';
  readonly state: AlarmState;
  /** "Rotation stopped", in words. */
  readonly title: string;
  /** What was seen, with numbers: "no pulse for 23 s, expected one every 5 s". */
  readonly detail: string;
  /** What to do first, in one or two sentences. */
  readonly checkFirst: string;
  /** When the cause began at the bath, as well as is known. */
  readonly causeAtMs: number;
  readonly raisedAtMs: number;
  readonly notifiedAtMs: number | null;
  readonly acknowledgedAtMs: number | null;
  readonly acknowledgedBy: string | null;
  readonly returnedAtMs: number | null;
  readonly notification: 'none' | 'waiting' | 'delivered' | 'failing';
}

/** What the person typed; POST /api/controllers/:id/recipe/preview answers a RecipePreview, POST …/recipe sends it. */
export interface RecipeRequest {
  readonly partName: string;
  readonly areaDm2: number;
  readonly currentDensityAmpsPerDm2: number;
  /** One of the two. */
  readonly averageThicknessMicrometres?: number;
  readonly chargeAmpereHours?: number;
  /** Defaults are in trade/recipe-defaults. */
  readonly strikeDensityAmpsPerDm2?: number;
  readonly strikeMinutes?: number;
  readonly rampMinutes?: number;
  /** 0: the part does not turn. */
  readonly rotationPulsesPerMinute?: number;
}

export interface RecipePreview {
  readonly recipe: RecipeView;
  /** Each a whole sentence that says what, limit, got, and what to do. Empty: it can be sent. */
  readonly refusals: readonly string[];
  readonly cautions: readonly string[];
  /** The night ahead from a start now. */
  readonly planned: readonly PlannedPoint[];
}

export type CommandKind = 'stop' | 'hold' | 'acknowledge' | 'lower' | 'recipe';

/** POST /api/controllers/:id/commands. */
export type CommandRequest =
  | { readonly kind: 'stop' | 'hold' | 'acknowledge' }
  /** The new ceiling of the set-point; the controller never goes below the recipe's hold current. */
  | { readonly kind: 'lower'; readonly toAmps: number };

/** Answer to a CommandRequest, and to sending a recipe. */
export interface CommandView {
  readonly commandId: number;
  readonly kind: CommandKind;
  readonly askedAtMs: number;
  /** `sent` to the broker, answered by the controller, or expired without an answer. */
  readonly state: 'sent' | 'done' | 'refused' | 'no-answer';
  /** "Hold reached the bath: 2.8 A keep-alive, contactor closed." */
  readonly words: string;
}

export interface WebhookView {
  readonly isSet: boolean;
  /** The address with its path and query hidden; secrets are never shown again. */
  readonly shownAddress: string | null;
  readonly lastDeliveryAtMs: number | null;
  readonly lastFailure: string | null;
}

/** PUT /api/webhook. POST /api/webhook/test answers a WebhookTestResult. */
export interface WebhookRequest {
  /** http or https. Empty: no webhook. */
  readonly address: string;
  /** May the address be on this computer or the local network? */
  readonly allowPrivateAddress: boolean;
}

export interface WebhookTestResult {
  readonly delivered: boolean;
  /** "Answered 200 after 84 ms." or what went wrong and what to do. */
  readonly words: string;
}

/**
 * POST /api/controllers: pairs a controller, or pairs it again. `secretText` is what its console showed in bring-up (see pairing-text);
 * it is never shown again. `bathName` may be left out when the controller is known already.
 */
export interface PairRequest {
  readonly controllerId: string;
  readonly bathName?: string;
  readonly secretText: string;
}
/** What the controller must be told over USB, so that it finds this dashboard. None of it is secret. */
export interface PairResult {
  readonly controllerId: string;
  readonly address: string;
  readonly port: number;
  readonly signOfLifePort: number;
}

/** GET /api/door: what the page needs before anybody is let in. */
export interface Door {
  /** `first-start`: no passphrase yet, it takes the one-time link; `closed`: ask for the passphrase; `open`: this session is let in. */
  readonly state: 'first-start' | 'closed' | 'open';
  readonly isSimulated: boolean;
}

/** Every error answer of /api. `problems` lists every fault at once, each a whole sentence. */
export interface Refusal {
  readonly error: string;
  readonly problems: readonly string[];
}

/** POST /api/first-start { token, passphrase } · POST /api/session { passphrase } · DELETE /api/session
 *  POST /api/alarms/:alarmId/acknowledge · POST /api/controllers/:id/simulated-press { button } (simulated baths only) */
export type SimulatedButton = 'start' | 'stop' | 'reset' | 'emergency-stop' | 'emergency-release' | 'latch-reset';
