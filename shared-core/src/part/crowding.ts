/*
 * Where current will crowd and where it will not reach, by simple geometry: sharp edges, thin places, recesses. Samples of the
 * surface, each standing for the same area, so the cost is bounded whatever the model. An estimate to point at places; it
 * gives no thickness. A solution of the field would (deposit-distribution.ts).
 */
import type { MeasuredPart } from './measure-part.js';
import { boxOf, triangleAreaMm2, type Mesh } from './mesh.js';
import { RayGrid } from './ray-grid.js';
import type { Triple } from './ray-triangle.js';
import { normalOf } from './selection.js';
import { sharpEdges, type SharpEdges } from './sharp-edges.js';

export interface Crowding {
  readonly edges: SharpEdges;
  /** The triangle of each sample; each stands for `areaMm2` divided by their number. */
  readonly samples: Uint32Array;
  /** x, y, z of each sample, within its triangle. */
  readonly placesMm: Float32Array;
  /** For each sample how much material lies straight behind it: a rod's diameter, a plate's thickness. Infinity where the surface is open there. */
  readonly thicknessMm: Float32Array;
  /**
   * For each sample how thick a rod would be whose surface bends as here: near the diameter of a rod or a ball (an eighth more at most; a quarter more or less on one of 24 facets), one to
   * two and a half times the side of a square bar, four times the thickness of a plate, since a plate goes on to the sides and crowds nothing. A rod is thin to both sides: the edge
   * of a solid, thin to one, is none, and stands among the edges. Infinity where the surface is open.
   */
  readonly rodDiameterMm: Float32Array;
  /** For each sample the share of directions that leave freely, those straight up counting most: 1 on a ball, 0.5 in an inner corner of two walls, near 0 deep in a hole. */
  readonly openShare: Float32Array;
}

const raysASample = 48;
/** Pairs of opposite inward rays that tell a rod from a plate: tilted by 60° from straight in, so that in a rod of diameter d both of those across it are d / 2 long. */
const tiltedPairs = 4;
/** A few seconds' work. Where very many triangles lie close together in a large box the samples end here, fewer than wished. */
const fewSecondsOfTests = 100_000_000;

/** A thousand samples of a model of a million triangles take a second or two. */
export function crowdingOf(
  mesh: Mesh,
  part: MeasuredPart,
  sampleCount = 1000,
  mostTests = fewSecondsOfTests,
): Crowding {
  const survey = new CrowdingSurvey(mesh, part, sampleCount, mostTests);
  survey.lookAt(sampleCount);
  return survey.found();
}

/** The same in pieces, for whoever has other questions to answer in between. Making it takes the time of a grid over all triangles. */
export class CrowdingSurvey {
  private done = 0;
  private readonly samples: Uint32Array;
  private readonly grid: RayGrid;
  private readonly lift: number;
  private readonly directions = upwardDirections(raysASample);
  private readonly placesMm: Float32Array;
  private readonly thicknessMm: Float32Array;
  private readonly rodDiameterMm: Float32Array;
  private readonly openShare: Float32Array;

  constructor(
    private readonly mesh: Mesh,
    private readonly part: MeasuredPart,
    sampleCount = 1000,
    private readonly mostTests = fewSecondsOfTests,
  ) {
    this.samples = samplesByArea(mesh, sampleCount);
    this.grid = new RayGrid(mesh);
    const box = boxOf(mesh);
    // Off the surface by so little that nothing fits between, and by enough for coordinates of 32 bits.
    this.lift = Math.max(...box.min.map(Math.abs), ...box.max.map(Math.abs)) * 1e-6;
    this.placesMm = new Float32Array(this.samples.length * 3);
    this.thicknessMm = new Float32Array(this.samples.length);
    this.rodDiameterMm = new Float32Array(this.samples.length);
    this.openShare = new Float32Array(this.samples.length);
  }

  /** Looks at so many further samples; false when there are no more to look at. */
  lookAt(count: number): boolean {
    const end = Math.min(this.samples.length, this.done + count);
    while (this.done < end && this.grid.trianglesTested < this.mostTests) this.lookAtNext();
    return this.done < this.samples.length && this.grid.trianglesTested < this.mostTests;
  }

  /** What was found at the samples so far. */
  found(): Crowding {
    return {
      edges: sharpEdges(this.mesh, this.part.edges),
      samples: this.samples.subarray(0, this.done),
      placesMm: this.placesMm.subarray(0, this.done * 3),
      thicknessMm: this.thicknessMm.subarray(0, this.done),
      rodDiameterMm: this.rodDiameterMm.subarray(0, this.done),
      openShare: this.openShare.subarray(0, this.done),
    };
  }

  private lookAtNext(): void {
    const { grid, mesh } = this;
    const sample = this.done++;
    const triangle = this.samples[sample]!;
    const isTurned = this.isTurned(triangle);
    const normal = normalOf(mesh, triangle).map((each) => (isTurned ? -each : each)) as unknown as Triple;
    const place = placeWithin(mesh, triangle, sample);
    this.placesMm.set(place, sample * 3);
    this.thicknessMm[sample] = grid.firstHit(place, [-normal[0], -normal[1], -normal[2]], triangle);

    const [across, along] = acrossAndAlong(normal);
    const turnedTo = (x: number, y: number, up: number) =>
      normal.map((each, axis) => each * up + across[axis]! * x + along[axis]! * y) as unknown as Triple;
    const inward = (angle: number) =>
      grid.firstHit(place, turnedTo(Math.cos(angle) * sine60, Math.sin(angle) * sine60, -0.5), triangle);
    let shorterPair = Infinity;
    for (let k = 0; k < tiltedPairs; k++) {
      const angle = (Math.PI * k) / tiltedPairs;
      shorterPair = Math.min(shorterPair, Math.max(inward(angle), inward(angle + Math.PI)));
    }
    this.rodDiameterMm[sample] = 2 * shorterPair;

    const raised = place.map((each, axis) => each + normal[axis]! * this.lift) as unknown as Triple;
    let free = 0;
    for (const [x, y, up] of this.directions)
      if (grid.firstHit(raised, turnedTo(x, y, up), triangle) === Infinity) free++;
    this.openShare[sample] = free / this.directions.length;
  }

  /** A triangle against its shell, or a whole shell inside out: of a solid the normals lead out of it, of a cavity into it. */
  private isTurned(triangle: number): boolean {
    const { shells, sums, nesting } = this.part;
    const shell = shells.shellOf[triangle]!;
    const isSolid = (nesting.depth[shell] ?? 0) % 2 === 0;
    const isInsideOut = shells.isClosed[shell] === 1 && sums.volumeMm3[shell]! > 0 !== isSolid;
    return (shells.isInverted[triangle] === 1) !== isInsideOut;
  }
}

const sine60 = Math.sqrt(3) / 2;

/** The share of the area whose samples are below the limit. Example: `shareBelow(crowding.openShare, 0.3)`. */
export function shareBelow(values: Float32Array, limit: number): number {
  return values.length === 0 ? 0 : values.reduce((count, each) => count + (each < limit ? 1 : 0), 0) / values.length;
}

/** Triangles at equal steps of the area, in an order in which any first few come from everywhere. */
function samplesByArea(mesh: Mesh, count: number): Uint32Array {
  const triangles = mesh.corners.length / 3;
  let whole = 0;
  for (let t = 0; t < triangles; t++) whole += triangleAreaMm2(mesh, t);
  if (whole === 0) return new Uint32Array(0);
  const samples = new Uint32Array(count);
  let passed = 0;
  let found = 0;
  for (let t = 0; t < triangles && found < count; t++) {
    passed += triangleAreaMm2(mesh, t);
    while (found < count && passed >= ((found + 0.5) / count) * whole) samples[found++] = t;
  }
  return scattered(samples.subarray(0, found));
}

function scattered(samples: Uint32Array): Uint32Array {
  // A step near the golden section of the length, with no divisor in common, visits every place once.
  let step = Math.max(1, Math.round(samples.length * 0.618));
  while (greatestDivisor(step, samples.length) !== 1) step++;
  return samples.map((_, i) => samples[(i * step) % samples.length]!);
}

function greatestDivisor(one: number, other: number): number {
  return other === 0 ? one : greatestDivisor(other, one % other);
}

/** Directions around "up", as many as lie near each other there as the cosine says (a spiral of golden angles on the disk below). */
function upwardDirections(count: number): (readonly [number, number, number])[] {
  const goldenAngle = Math.PI * (3 - Math.sqrt(5));
  return Array.from({ length: count }, (_, i) => {
    const radius = Math.sqrt((i + 0.5) / count);
    return [
      radius * Math.cos(i * goldenAngle),
      radius * Math.sin(i * goldenAngle),
      Math.sqrt(1 - radius * radius),
    ] as const;
  });
}

function acrossAndAlong([x, y, z]: readonly [number, number, number]): [number[], number[]] {
  const across = Math.abs(x) > 0.5 ? [y, -x, 0] : [0, z, -y];
  const length = Math.hypot(...across);
  const unit = across.map((each) => (length === 0 ? 0 : each / length));
  const along = [y * unit[2]! - z * unit[1]!, z * unit[0]! - x * unit[2]!, x * unit[1]! - y * unit[0]!];
  return [unit, along];
}

/** A place in the triangle, another one for each sample, so that one large triangle is not looked at in its middle only: steps of irrational length over the square (from memory: M. Roberts' R2 sequence), folded onto the triangle. */
function placeWithin({ positionsMm, corners }: Mesh, triangle: number, sample: number): Triple {
  let u = (0.5 + sample * 0.7548776662466927) % 1;
  let v = (0.5 + sample * 0.5698402909980532) % 1;
  if (u + v > 1) [u, v] = [1 - u, 1 - v];
  const shares = [1 - u - v, u, v];
  const along = (axis: number) =>
    shares.reduce((sum, share, k) => sum + share * positionsMm[corners[triangle * 3 + k]! * 3 + axis]!, 0);
  return [along(0), along(1), along(2)];
}
