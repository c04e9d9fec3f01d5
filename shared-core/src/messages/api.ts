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
  /** Of the metal, at the recipe's own cathode efficiency. */
  readonly averageThicknessMicrometres: number;
  readonly depositMassGrams: number;
  /** Key of the bath profile (trade/baths); null: acid copper of any kind. */
  readonly bath: string | null;
  /** Name of the metal in a sentence: "copper". */
  readonly metal: string;
  /** Share of the charge that deposits metal, above 0 up to 1. */
  readonly cathodeEfficiency: number;
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
  /** Its cause was gone then; a trip was reset at the bath. null: it stands. */
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
  /** The controller came back idle from a run: its memory was dead or wiped when the power went. */
  | 'run-forgotten'
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
  | 'alert-latch-not-opening'
  /** Slow changes that the watch sees before a limit is reached. */
  | 'current-drifting'
  | 'cell-resistance-drifting'
  | 'temperature-drifting'
  | 'rotation-drifting'
  | 'supply-drifting'
  | 'liquid-evaporating'
  /** The dashboard's own house. */
  | 'broker-lost'
  | 'disk-nearly-full'
  | 'clock-wrong'
  /** This computer slept, or its program stood still: nobody watched meanwhile. */
  | 'watch-stood-still'
  | 'store-not-writable'
  /** The check at the start found pages that cannot be read. */
  | 'store-damaged';

/**
 * Alarm states after ISA-18.2 / IEC 62682 (from memory): acknowledging and returning to normal are two independent facts. `latched`: a
 * trip that was acknowledged and whose cause is gone, until it is reset at the bath.
 */
export type AlarmState = 'unacknowledged' | 'acknowledged' | 'returned-unacknowledged' | 'latched' | 'normal';

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
  /** A name, or a word of the program; in words by byWords (watch/who.ts). */
  readonly acknowledgedBy: string | null;
  readonly returnedAtMs: number | null;
  /** `waiting`: not called yet, and somebody can be. `nobody`: nobody is set up to be called. `none`: it calls nobody, or was acknowledged before. */
  readonly notification: 'none' | 'waiting' | 'nobody' | 'delivered' | 'failing';
  /** A trip that was reset at the bath. Absent: it was not, or it does not latch. */
  readonly resetAtMs?: number;
  /** A trip, before it was reset at the bath. Absent: it does not latch. */
  readonly isLatched?: boolean;
  /** Of several with one cause, the first. Absent: it stands alone. */
  readonly isFirstOut?: boolean;
  /** The first-out alarm that explains this one. Absent: none does. */
  readonly causedByAlarmId?: number;
  /** The alarm whose call stands for this one too: raised in the same second, explained by it, or part of a flood. Absent: it calls itself. */
  readonly calledWithAlarmId?: number;
  /** Its call tells of a flood (more than 10 raised in 10 minutes), and lists what still calls. Absent: it does not. */
  readonly isFloodCall?: boolean;
  /** Why it calls nobody, though it lives on as any other. Absent or empty: it calls. */
  readonly silences?: readonly AlarmSilence[];
  /** It came with a run from a file: it calls nobody, stands nowhere, and cannot be acknowledged. Its number is below 0. Absent: it is of this store. */
  readonly isImported?: true;
  /** May it be shelved or taken out of service? Trips, what latches and `high` never. Absent: no. */
  readonly mayBeShelved?: boolean;
}

/** Three independent reasons for silence; OPC UA Part 9 (5.8.2) keeps them apart likewise: ShelvingState, SuppressedState, OutOfServiceState. */
export type AlarmSilence =
  | {
      readonly kind: 'shelved';
      readonly who: string;
      readonly reason: string;
      readonly sinceMs: number;
      /** It ends then by itself, also over a restart. */
      readonly untilMs: number;
    }
  /** By the state of the plant: a finished run has no low-current alarm. `reason` is a whole sentence. */
  | { readonly kind: 'suppressed-by-design'; readonly reason: string }
  /** By the owner, until put back. */
  | { readonly kind: 'out-of-service'; readonly who: string; readonly reason: string; readonly sinceMs: number };

/**
 * POST /api/controllers/:id/alarms/:name/shelve answers an AlarmStandingView; an alarm may be shelved before it is raised.
 * DELETE of the same address ends it early, with a SignedRequest. A longer time than SHELVE_HOURS_MAX is refused, never shortened in silence.
 */
export interface ShelveRequest {
  readonly reason: string;
  readonly minutes: number;
  readonly by?: string;
}
/** The longest shelf: one night. Our own practice, no source; OPC UA Part 9 (MaxTimeShelved) asks for a limit and leaves its length open. */
export const SHELVE_HOURS_MAX = 12;

/** POST /api/controllers/:id/alarms/:name/out-of-service; DELETE, with a SignedRequest, puts it back. Both answer an AlarmStandingView. */
export interface OutOfServiceRequest {
  readonly reason: string;
  readonly by?: string;
}

/** POST /api/alarms/:alarmId/acknowledge answers an AlarmView. `by`: the name of who does it (watch/who.ts); absent: it is kept as done on the page. */
export interface SignedRequest {
  readonly by?: string;
}

/**
 * GET /api/controllers/:id/alarms/silences answers an AlarmStandingView[]: each name that is silent now, raised or not. Alarms of the house
 * itself (their controllerId is empty) have `-` as the id in these addresses.
 */
export interface AlarmStandingView {
  readonly controllerId: string;
  readonly name: AlarmName;
  readonly title: string;
  readonly silences: readonly AlarmSilence[];
}

/**
 * GET /api/alarms/journal?controller=&alarm=&before=&count= (newest first, at most 500) answers a JournalEntry[]. `alarm`: an alarmId or a
 * name; `before`: an entryId, for the page after it.
 */
export interface JournalEntry {
  readonly entryId: number;
  readonly atMs: number;
  readonly controllerId: string;
  readonly name: AlarmName;
  /** null: a shelf or an out of service of an alarm that was not raised. */
  readonly alarmId: number | null;
  readonly what: JournalAct;
  /** The state after it; null: no alarm stood. */
  readonly state: AlarmState | null;
  /** A person, `bath`, or `clock` (a shelf that ended by itself). */
  readonly who: string;
  readonly reason: string | null;
}

export type JournalAct =
  | 'raised'
  | 'raised-again'
  | 'returned'
  | 'acknowledged'
  | 'reset'
  | 'shelved'
  | 'unshelved'
  | 'shelf-ended'
  | 'suppressed'
  | 'unsuppressed'
  | 'taken-out-of-service'
  | 'put-back-in-service';

/** GET /api/controllers/:id/alarms/figures?from=&to= : one night in figures, for judging the alarms and not the bath. */
export interface AlarmFigures {
  readonly controllerId: string;
  readonly fromMs: number;
  readonly toMs: number;
  /** How often an alarm was announced, one that came back included. */
  readonly raisedCount: number;
  readonly raisedPerHour: number;
  /** Most raised in any 10 minutes; more than 10 is a flood (IEC 62682 / ISA-18.2, from memory). */
  readonly raisedIn10MinutesMax: number;
  readonly byPriority: { readonly high: number; readonly medium: number; readonly low: number };
  /** Raised while shelved, suppressed by design or out of service; in none of the counts above. */
  readonly silentCount: number;
  /** null: none was raised. */
  readonly longestStanding: { readonly alarmId: number; readonly name: AlarmName; readonly seconds: number } | null;
  /** Names raised three times or more within one minute (ISA-18.2, from memory), most often first. */
  readonly chattering: readonly { readonly name: AlarmName; readonly raisedCount: number }[];
  /** Of those acknowledged; null: none was. */
  readonly secondsToAcknowledgeMedian: number | null;
  readonly secondsToAcknowledgeMax: number | null;
  readonly unacknowledgedCount: number;
  /** Standing for more than 24 h without a break (ISA-18.2, from memory). */
  readonly stale: readonly number[];
}

/** Someone to call. Who is first has place 1. GET /api/contacts, POST, PUT /api/contacts/:id, DELETE. */
export interface ContactView {
  readonly contactId: number;
  readonly name: string;
  readonly place: number;
  /** Minutes of the local day; both null: at any hour. From after to: over midnight. */
  readonly fromMinute: number | null;
  readonly toMinute: number | null;
  readonly wantsGoodNews: boolean;
  readonly wantsMorningSummary: boolean;
  /** Alarms of low priority call nobody unless somebody wants them: then once, within that person's hours. */
  readonly wantsLowPriority: boolean;
  readonly channels: readonly ChannelView[];
}
export interface ContactRequest {
  readonly name: string;
  readonly place: number;
  readonly fromMinute: number | null;
  readonly toMinute: number | null;
  readonly wantsGoodNews: boolean;
  readonly wantsMorningSummary: boolean;
  /** Absent: no. */
  readonly wantsLowPriority?: boolean;
}

export type ChannelKind = 'web-push' | 'e-mail' | 'webhook';

export interface ChannelView {
  readonly channelId: number;
  readonly kind: ChannelKind;
  /** With what is secret hidden; it is never shown again. */
  readonly shownAddress: string;
  readonly lastDeliveryAtMs: number | null;
  readonly lastConfirmedAtMs: number | null;
  readonly lastFailure: string | null;
}
/**
 * POST /api/contacts/:id/channels answers a ChannelView; DELETE /api/channels/:id. The same push subscription again, or the same e-mail address,
 * answers the channel that it has already.
 */
export type ChannelRequest =
  | { readonly kind: 'web-push'; readonly subscription: PushSubscriptionRequest }
  | { readonly kind: 'e-mail'; readonly address: string }
  | {
      readonly kind: 'webhook';
      readonly address: string;
      readonly allowPrivateAddress: boolean;
      /** Body with {{title}} and the other names of CallPayload between braces, escaped for the content type; empty: the CallPayload as JSON. */
      readonly template: string;
      readonly contentType: string;
      /** Never shown again. */
      readonly headers: readonly { readonly name: string; readonly value: string }[];
    };

/**
 * GET /api/push/device?device=… answers one for each person who is called on that device; none: it is not known. A device is named by the SHA-256 of its
 * push endpoint in base64url: the endpoint itself is secret.
 */
export interface CalledOnDevice {
  readonly contactId: number;
  readonly name: string;
  readonly channel: ChannelView;
}

/** What the browser's `PushSubscription.toJSON()` gives (W3C Push API). GET /api/push/key answers { publicKey }. */
export interface PushSubscriptionRequest {
  readonly endpoint: string;
  readonly keys: { readonly p256dh: string; readonly auth: string };
}

/** PUT /api/mail answers a TestCallView of the log-in, so that a wrong password is told at once; GET answers a MailView. */
export interface MailRequest {
  readonly host: string;
  readonly port: number;
  readonly isImplicitTls: boolean;
  readonly user: string;
  /** Absent: as it is. Never shown again. */
  readonly password?: string;
  readonly from: string;
}
export interface MailView {
  readonly isSet: boolean;
  readonly host: string;
  readonly port: number;
  readonly isImplicitTls: boolean;
  readonly user: string;
  readonly from: string;
  readonly hasPassword: boolean;
}

/** GET /api/escalation, PUT the same. */
export interface EscalationView {
  /** Unacknowledged this long: the same person again. */
  readonly againAfterMinutes: number;
  readonly nextPersonAfterMinutes: number;
  /** The zone of the house, in which hours of contacts and the morning count (IANA name). Absent in a PUT: as it is; at first the computer's own. */
  readonly timeZone?: string;
  /** Minute of the local day at which the summary of the night goes out; null: none does. Absent in a PUT: as it is; at first 420 (07:00). */
  readonly morningSummaryAtMinute?: number | null;
}

/**
 * What a channel is handed: the JSON of a webhook without a template, and the decrypted text of a Web Push. A service worker posts to `acknowledgeUrl`
 * (POST without a body; a GET shows a page with a button and acknowledges nothing). In a Web Push both addresses are paths of the page's own origin.
 */
export interface CallPayload {
  /** One ringing of one channel: whoever gets it twice has it from a repeated delivery, and may fold the two. */
  readonly id: string;
  /** The call as a whole, the same in each reminder and at each person. Good as a notification's `tag`. */
  readonly call: string;
  readonly kind: 'alarm' | 'good-news' | 'morning-summary' | 'test';
  readonly title: string;
  readonly message: string;
  readonly priority: 'high' | 'medium' | 'low';
  /** The alarm's name (of several the first), or the kind. */
  readonly alarm: string;
  /** Empty: the house itself. */
  readonly controller: string;
  /** ISO 8601. */
  readonly raisedAt: string;
  /** Who is called. */
  readonly contact: string;
  /** Absent: the page's address is not known. */
  readonly url?: string;
  readonly acknowledgeUrl?: string;
}

/**
 * POST /api/contacts/:id/test-call { repeatsUntilConfirmed }, of one channel POST /api/channels/:id/test-call the same · GET /api/test-calls/:id.
 * Repeats each minute until confirmed or stopped (DELETE), for an hour at most.
 */
export interface TestCallView {
  readonly testCallId: number;
  readonly contactId: number;
  readonly startedAtMs: number;
  readonly tries: number;
  readonly deliveredAtMs: number | null;
  readonly confirmedAtMs: number | null;
  readonly endedAtMs: number | null;
  readonly words: string;
}

/** GET and PUT /api/heartbeat: the address outside that is asked for regularly, so that its silence is noticed. */
export interface HeartbeatRequest {
  /** Empty: none. */
  readonly address: string;
  readonly everyMinutes: number;
  readonly allowPrivateAddress: boolean;
}
export interface HeartbeatView {
  readonly isSet: boolean;
  readonly shownAddress: string | null;
  readonly everyMinutes: number;
  readonly lastAnsweredAtMs: number | null;
  readonly lastFailure: string | null;
}

/** GET /api/controllers/:id/leave-alone: advice before a run is left alone. It never blocks. */
export interface LeaveAloneView {
  readonly controllerId: string;
  readonly checkedAtMs: number;
  readonly plannedFinishAtMs: number | null;
  readonly items: readonly LeaveAloneItem[];
}
export interface LeaveAloneItem {
  readonly name:
    | 'call-confirmed'
    | 'page-address'
    | 'link-quality'
    | 'rig-limits'
    | 'calibration-age'
    | 'disk'
    | 'sleep'
    | 'automatic-update'
    | 'starts-after-power-cut'
    | 'clock'
    | 'outward-heartbeat'
    | 'finish-time';
  /** `unknown` counts as missing. */
  readonly state: 'good' | 'missing' | 'unknown';
  /** What was found and, when missing, why it matters and what to do. */
  readonly words: string;
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
  /** The key of a bath profile (trade/baths), whose metal, densities and temperatures count; without it acid copper of any kind. */
  readonly bath?: string;
  /** Share of the charge that deposits metal, where it is not the bath's usual one. */
  readonly cathodeEfficiency?: number;
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
