/* What was found of one analyte, oldest first, without what was undone; a new make-up begins anew. Pure; used by the table and its charts. */
import { type Analyte, inOrder, type LedgerEntry, type TrendPoint } from '@bathkeeper/shared-core/trade';

export function findingsOf(entries: readonly LedgerEntry[], analyte: Analyte): TrendPoint[] {
  let findings: TrendPoint[] = [];
  for (const { atMs, body } of inOrder(entries)) {
    if (body.kind === 'made-up') findings = [];
    else if (body.kind === 'analysis' && body.analyte === analyte) findings.push({ atMs, value: body.concentration });
  }
  return findings;
}
