/* What was found of one analyte, and the levels that were read, oldest first, without what was undone; a new make-up begins anew. Pure; used by the table and the charts. */
import { type Analyte, inOrder, type LedgerEntry, type TrendPoint } from '@bathkeeper/shared-core/trade';

export function findingsOf(entries: readonly LedgerEntry[], analyte: Analyte): TrendPoint[] {
  let findings: TrendPoint[] = [];
  for (const { atMs, body } of inOrder(entries)) {
    if (body.kind === 'made-up') findings = [];
    else if (body.kind === 'analysis' && body.analyte === analyte) findings.push({ atMs, value: body.concentration });
  }
  return findings;
}

/** Litres, as made up and as read at the mark. */
export function levelsOf(entries: readonly LedgerEntry[]): TrendPoint[] {
  let levels: TrendPoint[] = [];
  for (const { atMs, body } of inOrder(entries)) {
    if (body.kind === 'made-up') levels = [];
    if (body.kind === 'made-up' || body.kind === 'level') levels.push({ atMs, value: body.litres });
  }
  return levels;
}
