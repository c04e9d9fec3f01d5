/*
 * A dashboard that is killed between raising an alarm and noting its call. Twenty kills at instants of a seed; the benchmark makes two hundred
 * (BATHKEEPER_KILLS says how many here).
 */
import { describe, expect, it } from 'vitest';
import { killedWhileCalling } from './call-kills.js';
import { folderOnTrial } from './dashboard-on-trial.js';

const KILLS = Number(process.env.BATHKEEPER_KILLS ?? 20);
const SEED = Number(process.env.BATHKEEPER_SEED ?? 4);

describe('a killed dashboard', () => {
  it(
    'loses no call, and repeats one only under the same id and where the kill fell between sending and noting',
    { timeout: 60_000 + KILLS * 20_000 },
    async () => {
      const kills = await killedWhileCalling(folderOnTrial(), KILLS, SEED);
      const told = JSON.stringify(kills);
      expect(kills.lost, told).toEqual([]);
      expect(kills.forgotten, told).toEqual([]);
      expect(kills.underOtherIds, told).toEqual([]);
      expect(kills.storedCount, told).toBeGreaterThan(KILLS / 4);
      expect(kills.needless, told).toEqual([]);
      // Each kill at the receiver, before it has answered, must repeat.
      expect(kills.repeatedCount, told).toBeGreaterThanOrEqual(kills.killsBetween);
      if (process.env.BATHKEEPER_KILLS !== undefined) console.log(told);
    },
  );
});
