/*
 * Names of the numbers that stand in events and live messages, for the summary of a night.
 */
import { Condition, Phase } from '@bathkeeper/shared-core/control';

function nameIn(codes: Readonly<Record<string, number>>, code: number | undefined): string {
  return Object.entries(codes).find(([, value]) => value === code)?.[0] ?? 'unknown';
}

export function conditionName(code: number | undefined): string {
  return nameIn(Condition, code);
}

export function phaseName(phase: number | undefined): string {
  return nameIn(Phase, phase);
}
