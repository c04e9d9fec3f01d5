/*
 * What a person has said is not plated, as a list of choices that can be kept and taken back, and what it leaves to plate. Called
 * by whoever shows or plans a part that was measured. Pure; the same choices on the same model give the same area.
 */
import type { Edges } from './edges.js';
import type { MeasuredPart } from './measure-part.js';
import type { Mesh } from './mesh.js';
import type { Plane } from './plane-cut.js';
import { innerMask, platedAreaMm2, regionMask, type Mask } from './selection.js';
import { noShell } from './shells.js';
import { smoothBendDegrees, smoothRegions, type Regions } from './smooth-regions.js';

/** One choice: a piece of surface around a triangle, taken out of what is plated or put back. */
export interface Choice {
  /** Flat: the plane around the triangle. Smooth: up to the next sharp bend. Shell: all that hangs together. */
  readonly kind: 'flat' | 'smooth' | 'shell';
  readonly triangle: number;
  readonly isPlated: boolean;
}

/** Everything on one side of a plane across an axis of the model; `atMm` along that axis. */
export interface CutOff {
  readonly axis: 'x' | 'y' | 'z';
  readonly side: 'above' | 'below';
  readonly atMm: number;
}

export interface NotPlated {
  /** In the order in which they were made: a later one wins. */
  readonly choices: readonly Choice[];
  readonly cutOff: CutOff | undefined;
  /** Closed cavities count only where somebody says so: no electrolyte reaches them. */
  readonly areCavitiesPlated: boolean;
}

export const platedAllOver: NotPlated = { choices: [], cutOff: undefined, areCavitiesPlated: false };

export interface PlatedShare {
  readonly platedAreaMm2: number;
  readonly notPlatedAreaMm2: number;
  /** For each triangle 1 where it was chosen as not plated. What lies beyond the cut-off is not in it, since the plane cuts triangles. */
  readonly mask: Mask;
}

/** What is flat for a click: how far the surface may bend from triangle to triangle, and from the first one. A choice of ours, no source. */
export const flatLimits = { acrossEdgeDegrees: 1, fromFirstDegrees: 5 } as const;

const axisNormals = { x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1] } as const;

/** Example: `cutOffPlane({ axis: 'z', side: 'below', atMm: 5 })` has the normal 0, 0, -1 and the offset -5. */
export function cutOffPlane({ axis, side, atMm }: CutOff): Plane {
  const [x, y, z] = axisNormals[axis];
  return side === 'above' ? { normal: [x, y, z], offset: atMm } : { normal: [-x, -y, -z], offset: -atMm };
}

/** A measured part together with what choices need, made once: regions, cavities, and the flat regions that were asked for lately. */
export class Selectable {
  readonly regions: Regions;
  private readonly cavities: Mask;
  private readonly flatRegions = new Map<number, Mask>();

  constructor(
    readonly mesh: Mesh,
    readonly part: MeasuredPart,
    normals?: Float32Array,
  ) {
    this.regions = smoothRegions(mesh, part.edges, smoothBendDegrees, normals);
    this.cavities = innerMask(part);
  }

  /** Throws a RangeError where a choice names a triangle that the model does not have: it was made for another model. */
  share({ choices, cutOff, areCavitiesPlated }: NotPlated): PlatedShare {
    const mask = areCavitiesPlated ? new Uint8Array(this.cavities.length) : this.cavities.slice();
    for (const choice of choices) this.apply(choice, mask);
    const counted = this.withoutDuplicates(mask);
    const plane = cutOff === undefined ? undefined : cutOffPlane(cutOff);
    const platedMm2 = platedAreaMm2(this.mesh, counted, plane);
    return { platedAreaMm2: platedMm2, notPlatedAreaMm2: this.part.measure.areaMm2 - platedMm2, mask };
  }

  /** The triangles that a choice takes in, 1 for each. */
  piece(kind: Choice['kind'], triangle: number): Mask {
    const mask = new Uint8Array(this.mesh.corners.length / 3);
    this.apply({ kind, triangle, isPlated: false }, mask);
    return mask;
  }

  private apply({ kind, triangle, isPlated }: Choice, mask: Mask): void {
    if (!(triangle >= 0 && triangle < mask.length))
      throw new RangeError(
        `A choice names triangle ${String(triangle)}: expected 0 to ${String(mask.length - 1)}. It was made for another model; choose again.`,
      );
    const value = isPlated ? 0 : 1;
    if (kind === 'flat') {
      const region = this.flatRegion(triangle, this.part.edges);
      for (let t = 0; t < mask.length; t++) if (region[t] === 1) mask[t] = value;
      return;
    }
    const pieceOf = kind === 'shell' ? this.part.shells.shellOf : this.regions.regionOf;
    const piece = pieceOf[triangle]!;
    if (piece === noShell) mask[triangle] = value;
    else for (let t = 0; t < mask.length; t++) if (pieceOf[t] === piece) mask[t] = value;
  }

  private flatRegion(triangle: number, edges: Edges): Mask {
    let region = this.flatRegions.get(triangle);
    if (region === undefined) {
      // A flat region of a large model is a byte a triangle: only the newest few are kept, the rest is found again.
      const oldest = this.flatRegions.keys().next();
      if (this.flatRegions.size >= flatRegionsKept && oldest.done !== true) this.flatRegions.delete(oldest.value);
      region = regionMask(this.mesh, edges, triangle, flatLimits);
      this.flatRegions.set(triangle, region);
    }
    return region;
  }

  /** The measure counts a triangle once that is there twice; so does what is plated of it. */
  private withoutDuplicates(mask: Mask): Mask {
    const { duplicates } = this.part;
    if (duplicates.length === 0) return mask;
    const counted = mask.slice();
    for (const triangle of duplicates) counted[triangle] = 1;
    return counted;
  }
}

const flatRegionsKept = 16;

/** How much of a piece of surface is chosen as not plated, as a list shows it. */
export type Taken = 'none' | 'some' | 'all';

/** For pieces of a numbering, each named by one of its triangles, how much of it the mask takes. */
export function takenOf(pieceOf: Uint32Array, triangles: readonly number[], mask: Mask): Taken[] {
  const wanted = new Map(triangles.map((triangle) => [pieceOf[triangle]!, { in: 0, out: 0 }]));
  for (let t = 0; t < mask.length; t++) {
    const count = wanted.get(pieceOf[t]!);
    if (count === undefined) continue;
    if (mask[t] === 1) count.in++;
    else count.out++;
  }
  return triangles.map((triangle) => {
    const { in: masked, out } = wanted.get(pieceOf[triangle]!)!;
    return masked === 0 ? 'none' : out === 0 ? 'all' : 'some';
  });
}
