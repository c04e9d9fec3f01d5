/*
 * Plans that somebody keeps: what the dashboard stores of each and tells the page. The parts are kept by their figures; a model itself stays where it was
 * read. No behaviour.
 */
import type { PlanRequest } from './plan-request.js';

/** One row of GET /api/plans: newest change first, those that are deleted at the end. */
export interface SavedPlanEntry {
  readonly planId: number;
  readonly name: string;
  readonly changedAtMs: number;
  /** null: it is not deleted. Until `goneAtMs` it can be brought back. */
  readonly deletedAtMs: number | null;
  readonly goneAtMs: number | null;
  /** "Fluted bell lampshade, 2 × leaf". */
  readonly parts: string;
  /** Plated, of all pieces together. */
  readonly areaDm2: number;
  /** The key of its bath profile; null: nobody named one. */
  readonly bath: string | null;
}

/** GET /api/plans/:planId. */
export interface SavedPlan extends SavedPlanEntry {
  readonly request: PlanRequest;
}

/** POST /api/plans, and PUT /api/plans/:planId, where what is left out stays as it is. */
export interface SavePlanRequest {
  readonly name: string;
  readonly request: PlanRequest;
}
