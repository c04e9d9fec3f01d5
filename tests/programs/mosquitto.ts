/*
 * Finds Mosquitto, the broker from outside that some tests connect to: MOSQUITTO_PATH, PATH, or Debian's /usr/sbin.
 * Called by those tests, which skip by name where it is missing on a workbench. In CI a missing broker is an error.
 */
import { existsSync } from 'node:fs';
import { programOnPath, type Machine } from './program-on-path.js';

/**
 * The path of Mosquitto, or undefined where it is not installed.
 * Throws when MOSQUITTO_PATH points nowhere, and when CI is set and there is none.
 *
 * @example
 * const mosquitto = mosquittoPath();
 * describe.skipIf(mosquitto === undefined)('against a broker from outside (needs Mosquitto)', () => { ... });
 */
export function mosquittoPath(
  machine: Machine = process,
  foldersBesidePath: readonly string[] = ['/usr/sbin', '/usr/local/sbin'],
): string | undefined {
  const given = machine.env['MOSQUITTO_PATH'];
  if (given) {
    if (existsSync(given)) return given;
    throw new Error(
      `MOSQUITTO_PATH should name Mosquitto's executable, but there is no file at "${given}". Correct it or unset it.`,
    );
  }
  const found = programOnPath(['mosquitto'], machine, foldersBesidePath);
  if (found === undefined && machine.env['CI']) {
    throw new Error(
      'CI is set and Mosquitto is not installed: no test may be skipped there. Install it (Debian: apt-get install mosquitto).',
    );
  }
  return found;
}
