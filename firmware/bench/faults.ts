/*
 * The faults that can be scheduled by name, from one file a subject in faults/, and how one is read from a command line. Used by the
 * rehearsal, the campaign, the virtual bath and tests. Those of scope `dashboard` are carried out by whoever runs the dashboard.
 */
import { bathFaults } from './faults/bath-faults.js';
import { boardFaults } from './faults/board-faults.js';
import { chainFaults } from './faults/chain-faults.js';
import type { FaultKind, FaultScope } from './faults/fault-kind.js';
import { linkFaults } from './faults/link-faults.js';
import { sensorFaults } from './faults/sensor-faults.js';
import { supplyFaults } from './faults/supply-faults.js';

export type { FaultKind, FaultScope } from './faults/fault-kind.js';

export interface ScheduledFault {
  readonly name: FaultName;
  readonly scope: FaultScope;
  /** On the bath's clock, from when it was switched on. */
  readonly atSeconds: number;
  /** Undefined: the usual time of this fault. */
  readonly durationSeconds?: number;
}

const kinds = { ...bathFaults, ...supplyFaults, ...chainFaults, ...sensorFaults, ...boardFaults, ...linkFaults };

export type FaultName = keyof typeof kinds;
export const faultKinds: Record<FaultName, FaultKind> = kinds;
export const faultNames = Object.keys(kinds) as readonly FaultName[];

export function isFaultName(name: string): name is FaultName {
  return Object.hasOwn(kinds, name);
}

const syntax = 'expected NAME@HH:MM[:SS] or NAME@90m, and +5m, +30s or +2h after it when it should end';

/**
 * One fault from a command line, or a message that says what is wrong. `rotation-stall@03:10+5m` begins at 11400 s
 * and lasts 300 s.
 */
export function parseFault(text: string): ScheduledFault | string {
  const [name = '', when, ...more] = text.trim().split('@');
  if (!isFaultName(name)) {
    const list = faultNames.map((known) => `  ${known.padEnd(24)}${faultKinds[known].what}`).join('\n');
    return `There is no fault called "${name}". These exist:\n${list}`;
  }
  if (when === undefined || more.length > 0) return `Fault "${text}": ${syntax}.`;
  const [start = '', duration, ...rest] = when.split('+');
  const atSeconds = clockSeconds(start) ?? spanSeconds(start);
  const durationSeconds = duration === undefined ? undefined : spanSeconds(duration);
  if (atSeconds === undefined || rest.length > 0 || (duration !== undefined && durationSeconds === undefined)) {
    return `Fault "${text}": ${syntax}, got "${when}".`;
  }
  const { scope } = faultKinds[name];
  return durationSeconds === undefined ? { name, scope, atSeconds } : { name, scope, atSeconds, durationSeconds };
}

/** Hours, minutes and perhaps seconds from the start of the night. */
function clockSeconds(text: string): number | undefined {
  const parts = /^(\d{1,3}):([0-5]\d)(?::([0-5]\d))?$/.exec(text);
  return parts === null ? undefined : Number(parts[1]) * 3600 + Number(parts[2]) * 60 + Number(parts[3] ?? 0);
}

function spanSeconds(text: string): number | undefined {
  const parts = /^(\d+(?:\.\d+)?)(s|m|h)$/.exec(text);
  return parts === null ? undefined : Number(parts[1]) * (parts[2] === 'h' ? 3600 : parts[2] === 'm' ? 60 : 1);
}
