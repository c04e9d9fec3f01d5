/*
 * The rows of an outbox message, taken apart as the dashboard does. Used by the stand-in dashboard and by whoever listens to a virtual bath's outbox.
 */
import { eventOfStored, recordOfStored } from '@bathkeeper/shared-core/messages';
import type { Row } from './outbox-ledger.js';

export interface OutboxRows {
  readonly records: readonly Row[];
  readonly events: readonly Row[];
  /** What no controller kept: a healthy one sends none. */
  readonly foreign: readonly unknown[];
}

/** `message`: parsed, its fields not looked at yet. */
export function outboxRows(message: Readonly<Record<string, unknown>>): OutboxRows {
  const foreign: unknown[] = [];
  const taken = (sent: unknown, rowOf: (text: string) => Row | undefined): Row[] =>
    (Array.isArray(sent) ? sent : []).flatMap((text: unknown) => {
      const row = typeof text === 'string' ? rowOf(text) : undefined;
      if (row === undefined) foreign.push(text);
      return row === undefined ? [] : [row];
    });
  return { records: taken(message['r'], recordOfStored), events: taken(message['e'], eventOfStored), foreign };
}
