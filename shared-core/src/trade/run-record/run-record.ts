/*
 * What is kept of one run, from its plan to the balance: the shapes of GET /api/runs and GET /api/runs/:controllerId/:incarnation/:run. Made by the
 * dashboard's logbook, read by the page and the run sheet. No behaviour. Times are milliseconds since 1970 in the server's clock.
 */
import type { Phase } from '../../control/phase.js';
import type { AlarmView, JournalEntry, RecipeView } from '../../messages/api.js';
import type { Figure } from '../figure.js';
import type { PlanRequest } from '../plan/plan-request.js';
import type { BathAge } from './printed-sheet.js';
import type { RunCost } from './run-cost.js';
import type { RunEntry } from './run-entry.js';
import type { WeighedDeposit } from './weighed-deposit.js';

/** A run's number alone is not enough: a controller whose memory was lost counts anew, under another incarnation. */
export interface RunKey {
  readonly controllerId: string;
  readonly incarnation: number;
  readonly run: number;
}

/** One row of GET /api/runs?before=&count=: newest first, `before` being the start of the last one seen. */
export interface RunListEntry extends RunKey {
  readonly bathName: string;
  readonly isSimulated: boolean;
  /** null: this dashboard did not make its recipe. */
  readonly partName: string | null;
  readonly startedAtMs: number;
  /** null: it goes on, or nobody heard its end. */
  readonly endedAtMs: number | null;
  readonly endedBecause: string | null;
  /** It has not ended, and none of its controller began after it. */
  readonly goesOn: boolean;
  readonly chargeAmpereHours: number;
  readonly askedChargeAmpereHours: number | null;
  /** Of the charge, by Faraday's law at the recipe's own efficiency. */
  readonly averageThicknessMicrometres: number | null;
  readonly alarmCount: number;
}

/** A stretch of one phase. */
export interface RunPhase {
  readonly phase: Phase;
  readonly fromMs: number;
  readonly seconds: number;
}

/** The part stood without current, and what that means for the copper. */
export interface RunInterruption {
  /** null: a restart made it unknown. */
  readonly fromMs: number | null;
  /** When the current came back; null: it has not. */
  readonly untilMs: number | null;
  readonly seconds: number | null;
  readonly adhesion: string;
}

/** Something that the controller told beside phases and alarms: a whole sentence in metric units. */
export interface RunHappening {
  readonly atMs: number;
  readonly words: string;
}

/** Sums over every record of the run. null: there was no good reading. */
export interface RunMeasures {
  readonly recordedSeconds: number;
  readonly chargeAmpereHours: number;
  /** At the terminals: voltage × current × time. */
  readonly energyWattHours: number | null;
  readonly currentMeanAmps: number | null;
  readonly currentMinAmps: number | null;
  readonly currentMaxAmps: number | null;
  readonly bathMeanCelsius: number | null;
  readonly bathMinCelsius: number | null;
  readonly bathMaxCelsius: number | null;
}

/** What the charge has become, by the figures of a plan: the average is Faraday's, the thin place and the edge are estimates. */
export interface RunDeposit {
  readonly massGrams: Figure;
  readonly averageThicknessMicrometres: Figure;
  readonly thinPlaceMicrometres: Figure;
  readonly edgeMicrometres: Figure;
}

/** A step of bring-up that was in force at the start: a BringUpStep with its `a`. */
export interface CalibrationInForce {
  readonly step: number;
  readonly atMs: number;
  readonly a: number;
}

/** Somebody took the run out of the logbook; until `goneAtMs` it can be brought back. */
export interface RunDeleted {
  readonly atMs: number;
  readonly who: string;
  readonly goneAtMs: number;
}

/** One row of GET /api/deleted-runs: newest deletion first. */
export interface DeletedRun extends RunKey {
  readonly bathName: string;
  readonly partName: string | null;
  readonly startedAtMs: number;
  readonly deleted: RunDeleted;
}

export interface AlarmWithStory {
  readonly alarm: AlarmView;
  /** Oldest first. */
  readonly journal: readonly JournalEntry[];
}

/** GET /api/runs/:controllerId/:incarnation/:run. */
export interface RunRecord extends RunKey {
  readonly bathName: string;
  readonly isSimulated: boolean;
  readonly recipe: RecipeView | null;
  /** The plan that the recipe came from, with its parts; null: it came from none. */
  readonly plan: PlanRequest | null;
  readonly startedAtMs: number;
  readonly endedAtMs: number | null;
  readonly endedBecause: string | null;
  /** To its end; of a run that goes on to now, of one whose end nobody heard to its last record. */
  readonly lastedUntilMs: number;
  /** It has not ended, and none of its controller began after it. */
  readonly goesOn: boolean;
  readonly phases: readonly RunPhase[];
  readonly interruptions: readonly RunInterruption[];
  readonly happened: readonly RunHappening[];
  readonly measures: RunMeasures;
  /** null: no recipe is known, or no charge has flowed. */
  readonly deposit: RunDeposit | null;
  readonly calibration: readonly CalibrationInForce[];
  readonly alarms: readonly AlarmWithStory[];
  /** By people, in the order of what they tell; what was undone stands among them. */
  readonly entries: readonly RunEntry[];
  /** null: it was not weighed before and after. */
  readonly weighed: WeighedDeposit | null;
  readonly cost: RunCost;
  /** null: no ledger was under its controller when it began. */
  readonly bathAge: BathAge | null;
}
