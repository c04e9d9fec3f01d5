/* Asks the dashboard for saved plans and rehearsals, as api.ts does for everything else. Called by the rooms of the plan; keeps nothing. */
import type {
  RehearsalDeskView,
  RehearsalRequest,
  SavedPlan,
  SavedPlanEntry,
  SavePlanRequest,
} from '@bathkeeper/shared-core/trade';
import { type Answer, ask } from './api.js';

const plan = (planId: number): string => `/api/plans/${String(planId)}`;

export const askPlans = (): Promise<Answer<SavedPlanEntry[]>> => ask('GET', '/api/plans');
export const askPlan = (planId: number): Promise<Answer<SavedPlan>> => ask('GET', plan(planId));
export const savePlan = (request: SavePlanRequest): Promise<Answer<SavedPlan>> => ask('POST', '/api/plans', request);
export const changeSavedPlan = (planId: number, change: Partial<SavePlanRequest>): Promise<Answer<SavedPlan>> =>
  ask('PUT', plan(planId), change);
export const copyPlan = (planId: number): Promise<Answer<SavedPlan>> => ask('POST', `${plan(planId)}/copy`);
export const deletePlan = (planId: number): Promise<Answer<SavedPlanEntry>> => ask('DELETE', plan(planId));
export const bringPlanBack = (planId: number): Promise<Answer<SavedPlanEntry>> =>
  ask('POST', `${plan(planId)}/bring-back`);

export const askRehearsal = (): Promise<Answer<RehearsalDeskView>> => ask('GET', '/api/rehearsal');
export const startRehearsal = (request: RehearsalRequest): Promise<Answer<RehearsalDeskView>> =>
  ask('POST', '/api/rehearsal', request);
export const cancelRehearsal = (): Promise<Answer<RehearsalDeskView>> => ask('DELETE', '/api/rehearsal');
