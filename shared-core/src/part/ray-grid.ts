/*
 * Finds the first triangle that a ray meets: the box of the part in equal cells, each with the triangles that may touch
 * it. Called by the estimates of thin places and recesses. Cells grow until all lists together hold at most 8 entries a triangle.
 */
import { boxOf, type Mesh } from './mesh.js';
import { rayToTriangle, type Triple } from './ray-triangle.js';

export class RayGrid {
  /** How many triangles were looked at so far, for whoever must come to an end. */
  trianglesTested = 0;
  private readonly low: Triple;
  private readonly cell: number;
  private readonly size: [number, number, number] = [1, 1, 1];
  private readonly starts: Uint32Array;
  private readonly entries: Uint32Array;
  private readonly range = new Int32Array(6);

  constructor(private readonly mesh: Mesh) {
    const box = boxOf(mesh);
    this.low = box.min;
    const spans = box.max.map((most, axis) => most - box.min[axis]!);
    const longest = Math.max(...spans, 1e-9);
    const triangles = mesh.corners.length / 3;
    let cells = Math.min(128, Math.max(2, Math.ceil(Math.sqrt(triangles / 6))));
    for (;;) {
      const cell = (longest / cells) * 1.0001;
      for (let axis = 0; axis < 3; axis++) this.size[axis] = Math.max(1, Math.ceil(spans[axis]! / cell));
      this.cell = cell;
      this.starts = new Uint32Array(this.size[0] * this.size[1] * this.size[2] + 1);
      const total = this.countEntries(triangles, 8 * triangles + 64);
      if (total <= 8 * triangles + 64 || cells <= 2) break;
      cells = Math.ceil(cells / 2);
    }
    let sum = 0;
    for (let at = 0; at < this.starts.length; at++) {
      sum += this.starts[at]!;
      this.starts[at] = sum;
    }
    // Filled from behind: each start moves down to where its list begins.
    this.entries = new Uint32Array(sum);
    for (let t = 0; t < triangles; t++) this.enter(t);
  }

  /** How far along the direction the first triangle is met, in lengths of the direction; Infinity where none is. `except` is not looked at. */
  firstHit(from: Triple, direction: Triple, except: number): number {
    const { size, cell, low } = this;
    const at = [0, 0, 0];
    const step = [0, 0, 0];
    const next = [Infinity, Infinity, Infinity];
    const width = [Infinity, Infinity, Infinity];
    for (let axis = 0; axis < 3; axis++) {
      const place = (from[axis]! - low[axis]!) / cell;
      at[axis] = Math.min(size[axis]! - 1, Math.max(0, Math.floor(place)));
      if (direction[axis] === 0) continue;
      step[axis] = direction[axis]! > 0 ? 1 : -1;
      width[axis] = Math.abs(cell / direction[axis]!);
      next[axis] = ((at[axis]! + (step[axis] === 1 ? 1 : 0) - place) * cell) / direction[axis]!;
    }
    let nearest = Infinity;
    for (;;) {
      const index = (at[0]! * size[1] + at[1]!) * size[2] + at[2]!;
      this.trianglesTested += this.starts[index + 1]! - this.starts[index]!;
      for (let i = this.starts[index]!; i < this.starts[index + 1]!; i++) {
        const triangle = this.entries[i]!;
        if (triangle !== except) nearest = Math.min(nearest, rayToTriangle(this.mesh, triangle, from, direction));
      }
      const axis = next[0]! < next[1]! ? (next[0]! < next[2]! ? 0 : 2) : next[1]! < next[2]! ? 1 : 2;
      if (nearest <= next[axis]!) return nearest;
      at[axis]! += step[axis]!;
      if (at[axis]! < 0 || at[axis]! >= size[axis]) return nearest;
      next[axis]! += width[axis]!;
    }
  }

  /** Counts the triangles of each cell; stops beyond `most`. */
  private countEntries(triangles: number, most: number): number {
    const { range, size, starts } = this;
    let total = 0;
    for (let t = 0; t < triangles && total <= most; t++) {
      this.findRange(t);
      for (let x = range[0]!; x <= range[3]!; x++)
        for (let y = range[1]!; y <= range[4]!; y++)
          for (let z = range[2]!; z <= range[5]!; z++) {
            starts[(x * size[1] + y) * size[2] + z]!++;
            total++;
          }
    }
    return total;
  }

  private enter(triangle: number): void {
    const { range, size, starts, entries } = this;
    this.findRange(triangle);
    for (let x = range[0]!; x <= range[3]!; x++)
      for (let y = range[1]!; y <= range[4]!; y++)
        for (let z = range[2]!; z <= range[5]!; z++) entries[--starts[(x * size[1] + y) * size[2] + z]!] = triangle;
  }

  /** The cells that the triangle's box touches, first and last along each axis, into `range`. */
  private findRange(triangle: number): void {
    const { positionsMm, corners } = this.mesh;
    const a = corners[triangle * 3]! * 3;
    const b = corners[triangle * 3 + 1]! * 3;
    const c = corners[triangle * 3 + 2]! * 3;
    for (let axis = 0; axis < 3; axis++) {
      const low = Math.min(positionsMm[a + axis]!, positionsMm[b + axis]!, positionsMm[c + axis]!);
      const high = Math.max(positionsMm[a + axis]!, positionsMm[b + axis]!, positionsMm[c + axis]!);
      const last = this.size[axis]! - 1;
      this.range[axis] = Math.min(last, Math.max(0, Math.floor((low - this.low[axis]!) / this.cell)));
      this.range[axis + 3] = Math.min(last, Math.max(0, Math.floor((high - this.low[axis]!) / this.cell)));
    }
  }
}
