/*
 * Lengths of a model file in millimetres, and whether the size makes sense for a bath. Most files say no unit, so a
 * person may have to. Called by whoever reads a model, before planning with it.
 */
import type { BoxMm } from './part-measure.js';

/** Millimetres a unit. The names are those of 3MF (3MF Core Specification, section 3.4.1). */
export const millimetresPerUnit = {
  micron: 0.001,
  millimeter: 1,
  centimeter: 10,
  inch: 25.4,
  foot: 304.8,
  meter: 1000,
} as const;

export type LengthUnit = keyof typeof millimetresPerUnit;

/** Smaller is hardly a part to be electroformed, larger fits no bath of a studio. Common practice, no source. */
export const sensibleSizeMm = { least: 2, most: 1500 } as const;

/**
 * A sentence where the longest side of the box makes no sense for a bath, with the unit that would; undefined where it
 * does. `unit`: the unit that the lengths were read as, or `scale` where a person gave millimetres a unit.
 *
 * @example
 * sizeWarning({ min: [0, 0, 0], max: [0.2, 0.1, 0.1] }, 'millimeter');
 * // "The part is 0.2 mm long, …: read as metres it would be 200 mm."
 */
export function sizeWarning(box: BoxMm, unit: LengthUnit | 'scale'): string | undefined {
  const longestMm = Math.max(...box.max.map((most, axis) => most - box.min[axis]!));
  const said = senseOfLength(longestMm);
  if (said === undefined) return undefined;
  const likely = unit === 'scale' ? undefined : likelyUnit(longestMm / millimetresPerUnit[unit], unit);
  if (likely === undefined) return `${said}: check the unit and the scale of the file.`;
  return `${said}: read as ${plural[likely.unit]} it would be ${readable(likely.lengthMm)} mm.`;
}

/** The same of a shape, whose lengths somebody typed. Example: of 5080 mm: "The part is 5080 mm long, …: check the unit of its lengths." */
export function lengthWarning(longestMm: number): string | undefined {
  const said = senseOfLength(longestMm);
  return said === undefined ? undefined : `${said}: check the unit of its lengths.`;
}

function senseOfLength(longestMm: number): string | undefined {
  const { least, most } = sensibleSizeMm;
  if (longestMm >= least && longestMm <= most) return undefined;
  return `The part is ${readable(longestMm)} mm long, which makes no sense for a bath (${String(least)} to ${String(most)} mm)`;
}

function likelyUnit(lengthInUnits: number, but: LengthUnit): { unit: LengthUnit; lengthMm: number } | undefined {
  return likelyUnits
    .map((unit) => ({ unit, lengthMm: lengthInUnits * millimetresPerUnit[unit] }))
    .find(({ unit, lengthMm }) => unit !== but && lengthMm >= likelySizeMm.least && lengthMm <= likelySizeMm.most);
}

/** In the order of how often models are drawn in them. Common practice, no source. */
const likelyUnits: readonly LengthUnit[] = ['millimeter', 'inch', 'meter', 'centimeter', 'foot', 'micron'];
const likelySizeMm = { least: 10, most: 1000 } as const;
const plural: Record<LengthUnit, string> = {
  micron: 'micrometres',
  millimeter: 'millimetres',
  centimeter: 'centimetres',
  inch: 'inches',
  foot: 'feet',
  meter: 'metres',
};

function readable(mm: number): string {
  return String(Number(mm.toPrecision(3)));
}
