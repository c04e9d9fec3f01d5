/* A figure's bounds in a person's units. Used by the plan's figures and its sheet; pure. */
import { type Figure, inUnits, significant, type UnitSystem } from '@bathkeeper/shared-core/trade';

/** Example: of 1.9 V within 1.4 to 2.6 V "(1.4 to 2.6)"; undefined where there are none. */
export function boundsWords({ unit, uncertainty }: Figure, units: UnitSystem): string | undefined {
  if (uncertainty === undefined || uncertainty.low === uncertainty.high) return undefined;
  const shown = (value: number): string => significant(inUnits(value, unit, units).value, 3);
  return `(${shown(uncertainty.low)} to ${shown(uncertainty.high)})`;
}
