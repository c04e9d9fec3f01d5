/*
 * Looks a program up by name, as a shell would, for the tests that drive one that is not part of the project.
 * It never runs what it finds.
 */
import { accessSync, constants, statSync } from 'node:fs';
import { delimiter, join } from 'node:path';

/** What the look-up needs to know of the machine; `process` fulfils it. */
export interface Machine {
  readonly env: NodeJS.ProcessEnv;
  readonly platform: string;
  readonly arch: string;
  readonly getuid?: () => number;
}

/**
 * The path of the first of these names that is an executable file in PATH or in one of the further folders.
 *
 * @example
 * programOnPath(['mosquitto'], process, ['/usr/sbin']); // '/usr/sbin/mosquitto', or undefined where it is not installed
 */
export function programOnPath(
  names: readonly string[],
  machine: Machine,
  furtherFolders: readonly string[] = [],
): string | undefined {
  const folders = [
    ...(machine.env['PATH'] ?? '').split(delimiter).filter((folder) => folder !== ''),
    ...furtherFolders,
  ];
  for (const name of names) {
    for (const folder of folders) {
      const path = join(folder, name);
      if (isExecutableFile(path)) return path;
    }
  }
  return undefined;
}

function isExecutableFile(path: string): boolean {
  try {
    accessSync(path, constants.X_OK);
    return statSync(path).isFile();
  } catch {
    return false; // not there, or not ours to run: the same answer to the one who looks for it
  }
}
