/*
 * What the control loop asks of a supply, whatever its kind: carry this current, and say whether you do. One file of this folder for
 * each kind; the build puts one of them into the bundle. Holds no behaviour.
 */
import type { Inputs, SupplyFault, SupplyKind } from '@bathkeeper/shared-core/control';
import type { Board } from '../ports.js';
import type { Settings } from '../settings.js';

export interface SupplyOutput {
  readonly kind: SupplyKind;
  /**
   * `none`: it answers and carries what the last write asked, as far as it was looked at (at least once a second or so).
   * Anything else until that was seen for the first time.
   */
  fault: SupplyFault;
  /** It has been seen to carry zero since it was last asked for more. */
  isAtZero: boolean;
  /**
   * Once in each control step, also at zero. `isSteady`: nothing is wrong and the recipe stands still, so that a slow correction by
   * the shunt may go on. Never throws: a supply that does not answer is a fault, not an exception.
   */
  write(permittedAmps: number, inputs: Inputs, isSteady: boolean, nowMs: number): void;
}

/** What each file of this folder exports as `supplyOutput`. */
export type OpenSupply = (board: Board, settings: Settings) => SupplyOutput;
