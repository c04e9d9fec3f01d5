/*
 * A supply that a person sets: the display's line says what to set, rounded down to the tenth of an ampere that a hand can meet.
 * Whether it was done is for the supervisor to see in the measured current. Called in each control step; it can lower nothing.
 */
import { type Inputs, SupplyFault, SupplyKind } from '@bathkeeper/shared-core/control';
import { displayLine } from '../drivers/hd44780.js';
import type { Board } from '../ports.js';
import type { Settings } from '../settings.js';
import type { SupplyOutput } from './supply-output.js';

export const SUPPLY_KIND = SupplyKind.byHand;
/** The display's port expander takes no more (PCF8574 data sheet). */
export const BUS_HERTZ = 100000;

/** The line is shown anew as often, since a display that lost its power says nothing. */
const REFRESH_MS = 30000;

/** Example: 12.48 A is `SET 12.4 A`. */
export function lineToSet(permittedAmps: number): string {
  const tenths = permittedAmps > 0 ? Math.floor(permittedAmps * 10 + 1e-6) : 0;
  return 'SET ' + Math.floor(tenths / 10) + '.' + (tenths % 10) + ' A';
}

export function supplyOutput(board: Board, _settings: Settings): SupplyOutput {
  const display = displayLine(board.twoWire);
  let shownAmps = -1;
  let text = '';
  let refreshedMs = 0;

  const output: SupplyOutput = {
    kind: SUPPLY_KIND,
    fault: SupplyFault.silent,
    isAtZero: false,
    write: function (permittedAmps: number, _inputs: Inputs, _isSteady: boolean, nowMs: number): void {
      const isDue = nowMs - refreshedMs >= REFRESH_MS;
      if (isDue) refreshedMs = nowMs;
      if (permittedAmps !== shownAmps) {
        shownAmps = permittedAmps;
        text = lineToSet(permittedAmps);
      }
      try {
        display.show(text, isDue || output.fault > 0);
        output.fault = SupplyFault.none;
      } catch (_) {
        // Nobody can read what is to be set: the supervisor is told.
        output.fault = SupplyFault.silent;
      }
      output.isAtZero = !(permittedAmps > 0) && !output.fault;
    },
  };
  return output;
}
