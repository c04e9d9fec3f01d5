/*
 * The time of day, as an offset of our own to the board's uptime, which nothing here moves: from the clock chip at boot where one is
 * fitted, then from the dashboard's signs of life, which set the chip. Asked by the keeper. Records need no time of day: they are
 * ordered by boot and number. It only tells how long a run was without current.
 */
import { clockChipSeconds, clockChipSetter } from './clocks/ds3231.js';
import type { Board } from './ports.js';

/** A time before this was never set (2023). */
const BELIEVED_SECONDS = 1.7e9;
/** The chip is set when it is off by more. */
const CHIP_OFF_SECONDS = 5;

export interface WallClock {
  /** Seconds since 1970, or 0 while unknown. `toldSeconds`: what the dashboard's last sign of life says it is now, or 0. */
  seconds(toldSeconds: number): number;
}

export function wallClock(board: Board, isChipFitted: boolean): WallClock {
  const chipSeconds = isChipFitted ? clockChipSeconds(board.twoWire) : 0;
  let bootedSeconds = chipSeconds > BELIEVED_SECONDS ? chipSeconds - board.uptimeMs() / 1000 : 0;
  const setChip = isChipFitted ? clockChipSetter(board.twoWire) : undefined;
  let isChipSet = false;
  return {
    seconds: function (toldSeconds: number): number {
      const upSeconds = board.uptimeMs() / 1000;
      if (toldSeconds > BELIEVED_SECONDS) {
        if (setChip && !isChipSet && Math.abs(toldSeconds - upSeconds - bootedSeconds) > CHIP_OFF_SECONDS) {
          try {
            setChip(toldSeconds);
          } catch (_) {
            // Not there: the time of day is only lost with the power.
          }
        }
        isChipSet = true;
        bootedSeconds = toldSeconds - upSeconds;
      }
      return bootedSeconds ? Math.floor(bootedSeconds + upSeconds) : 0;
    },
  };
}
