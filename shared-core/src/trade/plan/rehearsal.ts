/*
 * A plan's night played on a virtual bath: what is asked, how far it is, and what came of it. The contract between the page and the dashboard; no behaviour.
 */
import type { Phase } from '../../control/phase.js';
import type { PlanRequest } from './plan-request.js';

/** A fault that can be chosen, in plain words. */
export interface RehearsalFaultChoice {
  readonly name: string;
  readonly words: string;
  /** It is over at once; any other lasts to the end of the night, or as long as is asked. */
  readonly isMomentary: boolean;
}

export interface RehearsalFaultAsked {
  readonly name: string;
  /** After the first current. */
  readonly afterMinutes: number;
  /** Absent: to the end of the night. */
  readonly minutes?: number;
}

/** POST /api/rehearsal. */
export interface RehearsalRequest {
  readonly request: PlanRequest;
  /** Whose rig limits count; null: those of the virtual bath. */
  readonly controllerId: string | null;
  readonly faults: readonly RehearsalFaultAsked[];
}

export interface RehearsalPoint {
  readonly afterHours: number;
  readonly currentAmps: number;
  readonly terminalVolts: number;
  readonly bathCelsius: number;
  readonly averageThicknessMicrometres: number;
}

export interface RehearsalTold {
  readonly afterHours: number;
  readonly words: string;
  /** It took the current away, or left only a keep-alive. */
  readonly isGrave: boolean;
}

/** A figure as it was planned and as it was played. */
export interface PlannedAndPlayed {
  readonly planned: number;
  readonly played: number;
}

export interface RehearsalResult {
  readonly points: readonly RehearsalPoint[];
  /** Each until the next; the last until the last point. */
  readonly phases: readonly { readonly phase: Phase; readonly afterHours: number }[];
  /** The plan's current on the same axis. */
  readonly planned: readonly { readonly afterHours: number; readonly currentAmps: number }[];
  readonly faults: readonly { readonly words: string; readonly afterHours: number }[];
  /** What the controller told, in order. */
  readonly told: readonly RehearsalTold[];
  /** How it ended: a sentence. */
  readonly ended: string;
  readonly isAsPlanned: boolean;
  readonly chargeAmpereHours: PlannedAndPlayed;
  readonly averageThicknessMicrometres: PlannedAndPlayed;
  readonly hours: PlannedAndPlayed;
  readonly metal: string;
  /** Where the virtual bath is not the bath of the plan. */
  readonly notes: readonly string[];
}

export interface RehearsalView {
  readonly rehearsalId: number;
  /** What hangs in the bath. */
  readonly parts: string;
  readonly state: 'running' | 'done' | 'cancelled' | 'failed';
  /** How much of the night is played, 0 to 1. */
  readonly share: number;
  /** Only when done. */
  readonly result: RehearsalResult | null;
  /** Only when failed: what went wrong and what to do. */
  readonly problem: string | null;
}

/** GET /api/rehearsal. */
export interface RehearsalDeskView {
  readonly choices: readonly RehearsalFaultChoice[];
  /** The newest; null: none since the dashboard was started. */
  readonly newest: RehearsalView | null;
}
