/*
 * A part in words: areas, volumes, lengths, pieces of surface, what can be trusted, how far a file was read. Pure; used by the part's room.
 */
import type { LengthUnit, PartMeasure, RegionSummary, ShapeKind } from '@bathkeeper/shared-core/part';
import { inUnits, type Unit, unitName, type UnitSystem } from '@bathkeeper/shared-core/trade';
import type { Reading } from '../part/reading.js';
import type { UpAxis } from '../part/picture/view.js';

const FIXED_SPACE = '\u00a0';

/** Three digits that count, and never an exponent. Not by the browser's own words for numbers: making those takes longer than the page has time for. */
function threeDigits(value: number): string {
  if (value === 0) return '0';
  const places = Math.min(9, Math.max(0, 2 - Math.floor(Math.log10(Math.abs(value)))));
  const [whole, decimals] = value.toFixed(places).split('.') as [string, string | undefined];
  const counting = decimals?.replace(/0+$/, '') ?? '';
  return grouped(whole) + (counting === '' ? '' : `.${counting}`);
}

function grouped(whole: string): string {
  return whole.replace(/\B(?=(\d{3})+$)/g, ',');
}

function withUnit(value: number, unit: Unit, units: UnitSystem): string {
  const shown = inUnits(value, unit, units);
  return threeDigits(shown.value) + FIXED_SPACE + shown.unit;
}

/** Example: `areaWords(12.345, 'metric')` is "12.3 dm²". */
export function areaWords(areaDm2: number, units: UnitSystem): string {
  return withUnit(areaDm2, 'dm²', units);
}

/** Example: `volumeWords(130.04, 'metric')` is "130 cm³". */
export function volumeWords(volumeCm3: number, units: UnitSystem): string {
  return withUnit(volumeCm3, 'cm³', units);
}

/** Example: `lengthWords(3211, 'metric')` is "3.21 m". */
export function lengthWords(mm: number, units: UnitSystem): string {
  return mm >= 1000 ? withUnit(mm / 1000, 'm', units) : withUnit(mm, 'mm', units);
}

/** Example: "132 × 132 × 150 mm". */
export function sizeWords({ min, max }: PartMeasure['boxMm'], units: UnitSystem): string {
  const sides = max.map((most, axis) => threeDigits(inUnits(most - min[axis]!, 'mm', units).value));
  return sides.join(' × ') + FIXED_SPACE + unitName('mm', units);
}

/** Example: `countWords(5000000)` is "5,000,000". */
export function countWords(count: number): string {
  return grouped(String(count));
}

/** A share of the surface. Example: `shareWords(0.004)` is "under 1 %". */
export function shareWords(share: number): string {
  if (share > 0 && share < 0.01) return 'under 1' + FIXED_SPACE + '%';
  return `${String(Math.round(share * 100))}${FIXED_SPACE}%`;
}

export const unitWords: Readonly<Record<LengthUnit, string>> = {
  millimeter: 'millimetres',
  centimeter: 'centimetres',
  meter: 'metres',
  inch: 'inches',
  foot: 'feet',
  micron: 'micrometres',
};

const stageWords: Readonly<Record<Reading['stage'], string>> = {
  reading: 'Reading',
  measuring: 'Measuring',
  comparing: 'Looking for its faces in',
};

/** Example: "Measuring bell.stl". */
export function readingWords({ name, stage }: Reading): string {
  return `${stageWords[stage]} ${name}`;
}

/** Reading is about half of the work, whatever the file. */
export function readingShare({ stage, share }: Reading): number {
  if (stage === 'reading') return share * 0.5;
  return stage === 'measuring' ? 0.5 + share * 0.35 : 0.85 + share * 0.15;
}

/** Above this a region is flat: a dome of 11° to all sides has as much. */
const FLAT = 0.99;
/** Below this a surface faces all ways alike. */
const ALL_WAYS = 0.25;

/** What kind of surface a piece is and where it faces. Example: "Flat, faces up", "Outside, all around", "Inside, mostly down". */
export function pieceWords({ facing, outwards }: RegionSummary, up: UpAxis): string {
  const length = Math.hypot(...facing);
  const isFlat = length > FLAT;
  const kind = isFlat ? 'Flat' : outwards < -0.1 ? 'Inside' : outwards > 0.1 ? 'Outside' : 'Curved';
  if (!isFlat && length < ALL_WAYS) return `${kind}, all around`;
  return `${kind}, ${isFlat ? 'faces' : 'mostly'} ${directionWords(facing, up)}`;
}

function directionWords([x, y, z]: RegionSummary['facing'], up: UpAxis): string {
  const [right, towardsBack, upwards] = up === 'z' ? [x, y, z] : [x, -z, y];
  const most = Math.max(Math.abs(right), Math.abs(towardsBack), Math.abs(upwards));
  if (Math.abs(upwards) === most) return upwards > 0 ? 'up' : 'down';
  if (Math.abs(right) === most) return right > 0 ? 'right' : 'left';
  return towardsBack > 0 ? 'to the back' : 'to the front';
}

/** What can still be trusted of the area and of the volume, as one sentence each. */
export function trustWords({ faults, volumeMm3 }: PartMeasure): { area: string; volume: string } {
  const overlap = faults.possiblyOverlappingShellPairs > 0;
  return {
    area: overlap
      ? 'Area: at most this. Where shells run through each other it counts too much.'
      : 'Area: can be trusted.',
    volume:
      volumeMm3 === undefined
        ? 'Volume: none, and so no word on whether it floats.'
        : overlap
          ? 'Volume: at most this.'
          : 'Volume: can be trusted.',
  };
}

export const shapeWords: Readonly<Record<ShapeKind, string>> = {
  plate: 'Plate',
  box: 'Box',
  cylinder: 'Rod',
  tube: 'Tube',
  sphere: 'Ball',
  cone: 'Cone',
  bell: 'Bell',
};
