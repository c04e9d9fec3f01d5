/*
 * The bundles that a campaign plays: the reference board with each kind of supply, built anew from the sources, so that what is played is
 * what the sources say. Called once by the command and by the test.
 */
import { buildFirmware } from '@bathkeeper/firmware/build';
import type { Bundles } from './play-night.js';

export async function campaignBundles(): Promise<Bundles> {
  const built = async (supply: string): Promise<string> => (await buildFirmware({ board: 'esp32', supply })).code;
  return { analogue: await built('analogue'), scpi: await built('scpi'), 'by-hand': await built('by-hand') };
}
