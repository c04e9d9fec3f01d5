/*
 * In place of the clock chip in a program that is built without: the time of day comes from the dashboard alone. Used by clock.ts, when the
 * settings say that a chip is fitted.
 */
import type { TwoWireBus } from '../ports.js';

/** Says what is amiss. @onceAtBoot */
export function clockChipSeconds(_bus: TwoWireBus): number {
  print('Clock chip fitted, but this program is without: flash it with --clock ds3231');
  return 0;
}

export function clockChipSetter(_bus: TwoWireBus): undefined {
  return undefined;
}
