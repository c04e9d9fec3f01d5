/*
 * Reads the request that starts a demonstration and lists everything that is wrong with it at once.
 * Called by main.ts; it starts nothing.
 */
import { RECIPE_COLUMNS } from '@bathkeeper/shared-core/messages';
import type { BoardSettings } from './board-settings.js';
import type { DemonstrationOptions } from './demonstration.js';
import { parseFault, type ScheduledFault } from './faults.js';

export type StartRequest = Omit<DemonstrationOptions, 'bundle' | 'settings'> & { readonly settings?: BoardSettings };

/** The request with its defaults, or the list of faults in whole sentences. Faults come as text: `rotation-stall@03:10+5m`. */
export function startRequest(request: unknown): StartRequest | string[] {
  const problems: string[] = [];
  const fields = (typeof request === 'object' && request !== null ? request : {}) as Record<string, unknown>;

  const number = (name: string, usual: number, least: number, most: number): number => {
    const value = fields[name] ?? usual;
    if (typeof value === 'number' && value >= least && value <= most) return value;
    problems.push(`${name}: expected a number from ${String(least)} to ${String(most)}, got ${JSON.stringify(value)}.`);
    return usual;
  };
  const seed = number('seed', 1, 0, 2 ** 31);
  const speed = number('speed', 1, 0.1, 1000);
  const prerollSeconds = number('prerollSeconds', 0, 0, 200_000);
  const signOfLifePort = number('signOfLifePort', 0, 0, 65_535);

  const { settings, recipeRow } = fields;
  if (settings !== undefined && !looksLikeSettings(settings))
    problems.push('settings: expected the contents of bathkeeper.json with link, rig, shunt and supply.');
  const isRow = Array.isArray(recipeRow) && recipeRow.length === RECIPE_COLUMNS && recipeRow.every(Number.isFinite);
  if (recipeRow !== undefined && recipeRow !== null && !isRow)
    problems.push(`recipeRow: expected ${String(RECIPE_COLUMNS)} numbers, got ${JSON.stringify(recipeRow)}.`);

  const faults: ScheduledFault[] = [];
  for (const text of Array.isArray(fields.faults) ? (fields.faults as unknown[]) : []) {
    const fault = parseFault(String(text));
    if (typeof fault === 'string') problems.push(fault);
    else faults.push(fault);
  }
  if (problems.length > 0) return problems;
  return {
    ...{ seed, speed, prerollSeconds, signOfLifePort, faults },
    ...(settings === undefined ? {} : { settings: settings as BoardSettings }),
    ...(isRow ? { recipeRow: recipeRow as number[] } : {}),
  };
}

/** Only what the bench itself needs of the settings; the rest is the firmware's to judge. */
function looksLikeSettings(settings: unknown): boolean {
  const { link, shunt, supply } = (settings ?? {}) as Partial<Record<keyof BoardSettings, Record<string, unknown>>>;
  return (
    typeof link?.address === 'string' &&
    typeof link.port === 'number' &&
    typeof shunt?.microOhms === 'number' &&
    typeof supply?.codeAtZero === 'number' &&
    typeof supply.codesPerAmp === 'number'
  );
}
