/* What hangs in the bath, in a line. Used by the job sheet, the recipe and the list of saved plans. */
import type { PlannedPart } from './plan-request.js';

/** Example: a bell and two leaves are "bell, 2 × leaf". */
export function partNames(parts: readonly Pick<PlannedPart, 'name' | 'pieces'>[]): string {
  return parts.map(({ name, pieces }) => (pieces === 1 ? name : `${String(pieces)} × ${name}`)).join(', ');
}
