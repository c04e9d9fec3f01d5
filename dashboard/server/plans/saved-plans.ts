/*
 * The plans that somebody keeps, in the store: listed, read, saved, copied, deleted, and brought back within thirty days. Called by the routes of plans, which
 * check what comes in. It computes no plan.
 */
import {
  partNames,
  type PlanRequest,
  type SavedPlan,
  type SavedPlanEntry,
  type SavePlanRequest,
} from '@bathkeeper/shared-core/trade';
import { bathLoad } from '@bathkeeper/shared-core/part';
import type { Store } from '../store/store.js';

/** Long enough to miss it, short enough that what was thrown away does not lie about for ever. Our own practice. */
export const KEPT_AFTER_DELETION_MS = 30 * 86_400_000;
/** Deleted ones included. */
export const PLANS_MAX = 2000;
const NAME_CHARACTERS = 80;

export interface SavedPlans {
  /** Newest change first, deleted ones at the end. */
  list(nowMs: number): SavedPlanEntry[];
  plan(planId: number): SavedPlan | undefined;
  /** undefined: no more can be kept. */
  add(plan: SavePlanRequest, nowMs: number): SavedPlan | undefined;
  /** undefined, here and below: there is no such plan, or it is deleted. */
  change(planId: number, change: Partial<SavePlanRequest>, nowMs: number): SavedPlan | undefined;
  remove(planId: number, nowMs: number): SavedPlanEntry | undefined;
  bringBack(planId: number, nowMs: number): SavedPlanEntry | undefined;
}

interface PlanRow {
  plan_id: number;
  name: string;
  changed_at_ms: number;
  deleted_at_ms: number | null;
  request: string;
}

export function openSavedPlans({ database }: Store): SavedPlans {
  const all = database.prepare<[], PlanRow>(
    'SELECT * FROM plans ORDER BY deleted_at_ms IS NOT NULL, coalesce(deleted_at_ms, changed_at_ms) DESC, plan_id DESC',
  );
  const one = database.prepare<[number], PlanRow>('SELECT * FROM plans WHERE plan_id = CAST(? AS INTEGER)');
  const count = database.prepare<[], { count: number }>('SELECT count(*) AS count FROM plans');
  const insert = database.prepare('INSERT INTO plans (name, changed_at_ms, request) VALUES (?, CAST(? AS INTEGER), ?)');
  const update = database.prepare(
    'UPDATE plans SET name = ?, request = ?, changed_at_ms = CAST(? AS INTEGER) WHERE plan_id = CAST(? AS INTEGER)',
  );
  const mark = database.prepare(
    'UPDATE plans SET deleted_at_ms = CAST(? AS INTEGER) WHERE plan_id = CAST(? AS INTEGER)',
  );
  const forget = database.prepare('DELETE FROM plans WHERE deleted_at_ms <= CAST(? AS INTEGER)');

  const forgetOld = (nowMs: number): void => {
    forget.run(nowMs - KEPT_AFTER_DELETION_MS);
  };
  const rowOf = (planId: number, isDeleted: boolean): PlanRow | undefined => {
    const row = one.get(planId);
    return row !== undefined && (row.deleted_at_ms !== null) === isDeleted ? row : undefined;
  };
  const marked = (planId: number, wasDeleted: boolean, deletedAtMs: number | null): SavedPlanEntry | undefined => {
    if (rowOf(planId, wasDeleted) === undefined) return undefined;
    mark.run(deletedAtMs, planId);
    return entryOf(one.get(planId)!);
  };
  return {
    list: (nowMs) => {
      forgetOld(nowMs);
      return all.all().map(entryOf);
    },
    plan: (planId) => {
      const row = rowOf(planId, false);
      return row === undefined ? undefined : planOfRow(row);
    },
    add: ({ name, request }, nowMs) => {
      forgetOld(nowMs);
      if (count.get()!.count >= PLANS_MAX) return undefined;
      const { lastInsertRowid } = insert.run(name, nowMs, JSON.stringify(request));
      return planOfRow(one.get(Number(lastInsertRowid))!);
    },
    change: (planId, { name, request }, nowMs) => {
      const row = rowOf(planId, false);
      if (row === undefined) return undefined;
      update.run(name ?? row.name, request === undefined ? row.request : JSON.stringify(request), nowMs, planId);
      return planOfRow(one.get(planId)!);
    },
    remove: (planId, nowMs) => marked(planId, false, nowMs),
    bringBack: (planId, nowMs) => {
      forgetOld(nowMs);
      return marked(planId, true, null);
    },
  };
}

/** Example: `copyName('bell')` is "bell, copy", and of that "bell, copy 2". */
export function copyName(name: string): string {
  const [, stem = name, , number] = /^(.*), copy( (\d+))?$/.exec(name) ?? [];
  const end = stem === name ? ', copy' : `, copy ${String(Number(number ?? 1) + 1)}`;
  return stem.slice(0, NAME_CHARACTERS - end.length) + end;
}

function entryOf(row: PlanRow): SavedPlanEntry {
  const request = JSON.parse(row.request) as PlanRequest;
  return {
    planId: row.plan_id,
    name: row.name,
    changedAtMs: row.changed_at_ms,
    deletedAtMs: row.deleted_at_ms,
    goneAtMs: row.deleted_at_ms === null ? null : row.deleted_at_ms + KEPT_AFTER_DELETION_MS,
    parts: partNames(request.parts),
    areaDm2: bathLoad(request.parts.map((part) => ({ ...part, volumeCm3: part.volumeCm3 }))).areaDm2,
    bath: request.bath ?? null,
  };
}

function planOfRow(row: PlanRow): SavedPlan {
  return { ...entryOf(row), request: JSON.parse(row.request) as PlanRequest };
}
