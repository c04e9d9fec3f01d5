/*
 * The bundles that a campaign plays: the reference board with each kind of supply. That of the default kind is the file that is flashed; the
 * others are built from the sources. Called once by the command and by the tests.
 */
import { bundleText } from '@bathkeeper/firmware/bench';
import { buildFirmware } from '@bathkeeper/firmware/build';
import type { Bundles } from './play-night.js';

export async function campaignBundles(): Promise<Bundles> {
  const built = async (supply: string): Promise<string> => (await buildFirmware({ board: 'esp32', supply })).code;
  return { analogue: bundleText(), scpi: await built('scpi'), 'by-hand': await built('by-hand') };
}
