/*
 * What stands of a bath's drifts, so that each is told once: raised, worse (it needs a person tonight now), over. Kept by the drift watch; asked by
 * its courses' findings. It judges nothing and calls nobody.
 */
import type { DriftFinding, DriftName, DriftSeverity } from './drift-finding.js';

/** What stands, and how it was told last. */
export type Standing = Partial<Record<DriftName, DriftFinding>>;
export type Found = Omit<DriftFinding, 'turned' | 'severity'>;

/**
 * Takes what a course says of its quantity now, in place. `turned`: it was raised or is over with this block; undefined: it is as it was.
 *
 * Example: raised as `look`, then found again as `tonight`: the answer is one finding, `worse`, since the first.
 */
export function told(
  standing: Standing,
  turned: 'raised' | 'cleared' | undefined,
  found: Found,
  severity: DriftSeverity,
): DriftFinding[] {
  const { name } = found;
  const stands = standing[name];
  if (turned === 'cleared') {
    if (stands === undefined) return [];
    delete standing[name];
    return [{ ...stands, now: found.now, before: found.before, turned }];
  }
  if (stands === undefined) {
    if (turned === undefined) return [];
    const finding: DriftFinding = { ...found, severity, turned };
    standing[name] = finding;
    return [finding];
  }
  if (stands.severity === 'tonight' || severity === 'look') return [];
  const finding: DriftFinding = {
    ...found,
    sinceMs: Math.min(stands.sinceMs, found.sinceMs),
    severity,
    turned: 'worse',
  };
  standing[name] = finding;
  return [finding];
}

/** Everything of these names that stands is over: what it was judged by is no more. */
export function over(standing: Standing, names: readonly DriftName[]): DriftFinding[] {
  const findings: DriftFinding[] = [];
  for (const name of names) {
    const stands = standing[name];
    if (stands === undefined) continue;
    delete standing[name];
    findings.push({ ...stands, turned: 'cleared' });
  }
  return findings;
}
