/* When a bath stood under which controller. Called by the server, which counts the runs that began within. Pure. */
import { inOrder } from './bath-account.js';
import type { LedgerEntry } from './ledger-entry.js';

export interface ControllerSpan {
  readonly controllerId: string;
  readonly fromMs: number;
  /** null: it still stands there. */
  readonly toMs: number | null;
}

/** Oldest first. Put on another one, it has left the one before; the end itself is no longer within. */
export function controllerSpans(entries: readonly LedgerEntry[]): ControllerSpan[] {
  const spans: ControllerSpan[] = [];
  let open: { controllerId: string; fromMs: number } | undefined;
  for (const { atMs, body } of inOrder(entries)) {
    if (body.kind !== 'put-on' && body.kind !== 'taken-off') continue;
    if (open !== undefined) spans.push({ ...open, toMs: atMs });
    open = body.kind === 'put-on' ? { controllerId: body.controllerId, fromMs: atMs } : undefined;
  }
  return open === undefined ? spans : [...spans, { ...open, toMs: null }];
}

/** The first of the spans in which another bath stood under a controller at the same time: it stands at one bath, or its charge counts twice. */
export function sharedSpan(
  spans: readonly ControllerSpan[],
  others: readonly ControllerSpan[],
): ControllerSpan | undefined {
  return spans.find(({ controllerId, fromMs, toMs }) =>
    others.some(
      (other) =>
        other.controllerId === controllerId && fromMs < (other.toMs ?? Infinity) && other.fromMs < (toMs ?? Infinity),
    ),
  );
}

/** Whether a bath stood under a controller at a moment. */
export function stoodUnder(spans: readonly ControllerSpan[], controllerId: string, atMs: number): boolean {
  return spans.some(
    (span) => span.controllerId === controllerId && span.fromMs <= atMs && atMs < (span.toMs ?? Infinity),
  );
}
