/*
 * What a 3MF file holds before it is put together: objects that are meshes or are made of other objects, and what
 * is to be built. Filled by model-part.ts, put together by assemble.ts.
 */

/** Twelve numbers as in the file: x' = x·m0 + y·m3 + z·m6 + m9, y' = x·m1 + …; 3MF Core Specification, section 3.3. */
export type Transform = readonly number[];

export interface Placement {
  /** The object's part and id in one. */
  readonly object: string;
  readonly transform: Transform | undefined;
}

export interface ObjectMesh {
  /** x, y, z of each vertex, in the file's unit. */
  readonly vertices: Float32Array;
  readonly triangles: Uint32Array;
}

export interface ModelObject {
  readonly mesh: ObjectMesh | undefined;
  readonly components: readonly Placement[];
  /** Of type `support` or `other`: no part of the thing itself. */
  readonly isAside: boolean;
}

export interface Package {
  readonly objects: Map<string, ModelObject>;
  /** What is to be built, of the root part. */
  readonly items: Placement[];
  /** Components and items so far, of all its parts. */
  placements: number;
  unit: string | undefined;
}

/** Numbers that come one by one, in an array that grows by half. */
export class Numbers<A extends Float32Array | Uint32Array> {
  length = 0;

  constructor(
    private values: A,
    private readonly make: (length: number) => A,
  ) {}

  add(value: number): void {
    if (this.length === this.values.length) {
      const grown = this.make(Math.ceil(this.length * 1.5));
      grown.set(this.values);
      this.values = grown;
    }
    this.values[this.length++] = value;
  }

  finish(): A {
    return this.values.slice(0, this.length) as A;
  }
}
