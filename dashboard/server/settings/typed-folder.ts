/*
 * Where a person typed a command: npm runs it in the project's folder, and names theirs in INIT_CWD. Used by the commands that take paths (plan, backup, restore), so
 * that a file named without a folder lies where its owner looks for it.
 */
import { homedir } from 'node:os';
import { join, resolve } from 'node:path';

/** Example: `fromWhereTyped('part.stl', { INIT_CWD: '/home/kim' })` -> "/home/kim/part.stl". */
export function fromWhereTyped(path: string, environment: NodeJS.ProcessEnv = process.env): string {
  return resolve(environment.INIT_CWD ?? process.cwd(), path);
}

/** Where the data lies if nothing says otherwise. */
export const usualDataFolder = (): string => join(homedir(), '.local', 'share', 'bathkeeper');
