/* How numbers stand in the planner's sentences. Called by the recipe's refusals and cautions. Rounds for reading only. */

/** At most two decimals, no trailing zeros. Example: `shown(19.2)` is "19.2", `shown(2 / 3)` is "0.67". */
export function shown(value: number): string {
  return String(Math.round(value * 100) / 100);
}
