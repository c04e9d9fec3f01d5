/* What does not fit together in an entry about the care of a bath, each fault a whole sentence. Called by settled-entry.ts, for page and dashboard alike. */
import type { AnodesChangedAsked, HullCellAsked, ThrowingPowerAsked } from './care-entries.js';
import type { EntryAsked } from './ledger-entry.js';
import { hullPanelMm } from './hull-cell.js';

export function careFaults(asked: EntryAsked): string[] {
  switch (asked.kind) {
    case 'hull-cell':
      return hullFaults(asked);
    case 'throwing-power':
      return throwingFaults(asked);
    case 'anodes-changed':
      return changeFaults(asked);
    default:
      return [];
  }
}

function hullFaults({ cell, seen }: HullCellAsked): string[] {
  if (seen.length === 0) return ['seen: expected how the panel looked, got nothing. Write one stretch at least.'];
  const panelMm = hullPanelMm(cell);
  return seen.flatMap(({ fromMm, toMm }, at) => [
    ...(toMm > fromMm
      ? []
      : [`seen: expected stretch ${String(at + 1)} to end beyond ${String(fromMm)} mm, got ${String(toMm)} mm. Measure from the edge of the highest current density.`]),
    ...(toMm <= panelMm
      ? []
      : [`seen: expected positions on a panel of ${String(panelMm)} mm, got ${String(toMm)} mm. Measure again, or choose the other cell.`]),
  ]); // prettier-ignore
}

function throwingFaults({ nearGrams, farGrams, distanceRatio }: ThrowingPowerAsked): string[] {
  return [
    ...(nearGrams >= farGrams
      ? []
      : [`farGrams: expected no more than near, ${String(nearGrams)} g, got ${String(farGrams)} g. Look whether the two were taken for each other.`]),
    ...(distanceRatio > 1
      ? []
      : [`distanceRatio: expected above 1, got ${String(distanceRatio)}. Divide the far distance by the near one.`]),
  ]; // prettier-ignore
}

function changeFaults({ takenOutGrams, putInGrams }: AnodesChangedAsked): string[] {
  return takenOutGrams > 0 || putInGrams > 0
    ? []
    : ['putInGrams: expected anodes put in or taken out, got neither. Weigh what was changed.'];
}
