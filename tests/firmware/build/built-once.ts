/*
 * The firmware for a target, built once for all test files of a run: a build takes seconds, and a dozen files look at the same ten targets. What they
 * get is what `buildFirmware` answered in this very run, from the present sources.
 */
import { existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { buildFirmware, type BuildRequest, type BuiltFirmware } from '@bathkeeper/firmware/build';
import { inject } from 'vitest';

export type Target = Pick<BuildRequest, 'board' | 'supply' | 'memory' | 'clock'>;

export async function builtOnce(target: Target = {}): Promise<BuiltFirmware> {
  const { board = 'esp32', supply = 'analogue', memory = 'fram', clock = 'ds3231' } = target;
  const file = join(inject('buildsFolder'), `${[board, supply, memory, clock].join(' ')}.json`);
  if (existsSync(file)) return JSON.parse(readFileSync(file, 'utf8')) as BuiltFirmware;
  const built = await buildFirmware(target);
  // Two files may build the same at once; each puts a whole one there.
  const unfinished = `${file}.${String(process.pid)}`;
  writeFileSync(unfinished, JSON.stringify(built));
  renameSync(unfinished, file);
  return built;
}
