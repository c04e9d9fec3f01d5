/*
 * What raises an alarm: whose it is, since when, and what is known of it. Put together by the watchman and the house, taken by the alarm list, and by the
 * calls from memory where the store takes nothing.
 */
import type { AlarmName, AlarmView } from '@bathkeeper/shared-core/messages';
import type { AlarmRow } from './alarm-rows.js';

export interface AlarmCause {
  readonly controllerId: string;
  readonly name: AlarmName;
  readonly causeAtMs: number;
  readonly detail: string;
  /** Added to the title: "Tripped: … (emergency stop)". */
  readonly because?: string;
  /** The controller's condition that caused it, where it is known: what to check for it comes first. */
  readonly condition?: number | undefined;
  /** What to check first, where more is known than the usual text knows. */
  readonly checkFirst?: string;
  /** Where the usual one does not fit. */
  readonly priority?: AlarmView['priority'];
}

/** As it was raised. */
export function causeOf(row: AlarmRow, sinceMs = row.cause_at_ms): AlarmCause {
  return {
    controllerId: row.controller_id,
    name: row.name,
    causeAtMs: sinceMs,
    detail: row.detail,
    condition: row.condition ?? undefined,
    checkFirst: row.check_first,
    priority: row.priority,
  };
}
