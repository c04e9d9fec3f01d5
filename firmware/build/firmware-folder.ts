/*
 * Where the firmware workspace lies, whether this runs as TypeScript (tests) or compiled (dist/build).
 * Called by the other files of the build; it never depends on the folder that a command was started in.
 */
import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The folder that holds firmware/package.json. */
export function firmwareFolder(): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  while (!existsSync(join(folder, 'package.json'))) {
    const parent = dirname(folder);
    if (parent === folder)
      throw new Error(`No package.json above ${import.meta.url}: the build was moved away from the firmware folder.`);
    folder = parent;
  }
  return folder;
}
