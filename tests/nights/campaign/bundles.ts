/*
 * The bundles that a campaign plays: the reference board with each kind of supply and memory. That of the default target is the file that is
 * flashed; the others are built from the sources. Called once by the command, and by the tests, which have each built only once in a run.
 */
import { bundleText } from '@bathkeeper/firmware/bench';
import { buildFirmware } from '@bathkeeper/firmware/build';
import type { Bundles } from './play-night.js';

export async function campaignBundles(build: typeof buildFirmware = buildFirmware): Promise<Bundles> {
  const built = async (supply: string, memory: string): Promise<string> =>
    (await build({ board: 'esp32', supply, memory })).code;
  return {
    analogue: bundleText(),
    scpi: await built('scpi', 'fram'),
    'by-hand': await built('by-hand', 'fram'),
    'analogue flash': await built('analogue', 'flash'),
    'scpi flash': await built('scpi', 'flash'),
    'by-hand flash': await built('by-hand', 'flash'),
  };
}
