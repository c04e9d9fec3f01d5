/*
 * Collects corners and triangles into a mesh. Called by the readers of model files, which know the file's size and so
 * about how much is coming; arrays grow by half, so that a lie about it costs little.
 */
import type { Mesh } from './mesh.js';
import { VertexWeld } from './vertex-weld.js';

export class MeshBuilder {
  readonly weld: VertexWeld;
  private corners: Uint32Array;
  private used = 0;

  constructor(expectedTriangles: number) {
    // A closed surface has half as many corners as triangles (Euler); others have more, and grow.
    this.weld = new VertexWeld(Math.ceil(expectedTriangles / 2) + 4);
    this.corners = new Uint32Array(Math.max(16, expectedTriangles) * 3);
  }

  get triangles(): number {
    return this.used / 3;
  }

  /** Adds a triangle of three numbers that the weld gave. */
  add(a: number, b: number, c: number): void {
    if (this.used === this.corners.length) {
      const grown = new Uint32Array(Math.ceil(this.used / 2) * 3);
      grown.set(this.corners);
      this.corners = grown;
    }
    this.corners[this.used] = a;
    this.corners[this.used + 1] = b;
    this.corners[this.used + 2] = c;
    this.used += 3;
  }

  /** The mesh; the builder is used up by it. */
  finish(): Mesh {
    const corners = this.used === this.corners.length ? this.corners : this.corners.slice(0, this.used);
    return { positionsMm: this.weld.finish(), corners };
  }
}
