/*
 * What a model's surface tells of the part that goes into the bath: the contract between reading a model and planning
 * with it. Made by `measurePart` from a mesh, read by the planner. Lengths in mm, areas in mm², volumes in mm³
 * (1 dm² = 10,000 mm², 1 cm³ = 1,000 mm³). Holds no metal and no bath.
 */

/** A box along the axes of the model, in mm: x, y, z. */
export interface BoxMm {
  readonly min: readonly [number, number, number];
  readonly max: readonly [number, number, number];
}

/** How often the surface is not what a solid's surface should be. All 0 for a good model. */
export interface SurfaceFaults {
  /** Edges at which only one triangle ends: the rim of a hole. Corners count as one only where they are exactly equal. */
  readonly openEdges: number;
  /** Edges at which three or more triangles meet. */
  readonly overusedEdges: number;
  /** Triangles that face the other way than most of the shell they belong to. */
  readonly invertedTriangles: number;
  /** Closed shells that face inwards though nothing is around them. */
  readonly insideOutShells: number;
  /** Shells in which no choice of inside and outside agrees along every edge, as on a Möbius strip. */
  readonly unorientableShells: number;
  /** Triangles with the same corners in the same sense as an earlier one. Their area is not counted again. */
  readonly duplicateTriangles: number;
  /** Triangles without an area: two corners in one place, or three in a line. */
  readonly degenerateTriangles: number;
  /** Pairs of shells whose boxes overlap without one lying within the other: they may run through each other. */
  readonly possiblyOverlappingShellPairs: number;
  /** Closed shells within another that face outwards like it: whether they are hollow or solid cannot be told. */
  readonly unclearInnerShells: number;
}

export interface PartMeasure {
  readonly triangles: number;
  /** All of the surface, cavities included. Trustworthy on an open surface too. */
  readonly areaMm2: number;
  /** Area of closed cavities within the part, which no electrolyte reaches; part of `areaMm2`. */
  readonly cavityAreaMm2: number;
  /** Undefined where the surface bounds no volume; `volumeRefusal` then says why. */
  readonly volumeMm3: number | undefined;
  /** A whole sentence; undefined when there is a volume. */
  readonly volumeRefusal: string | undefined;
  /** Every edge joins exactly two triangles. */
  readonly isClosed: boolean;
  /** Pieces of surface that hang together along edges. */
  readonly shells: number;
  readonly boxMm: BoxMm;
  readonly faults: SurfaceFaults;
  /** What is wrong and what can still be trusted, as whole sentences, with counts; empty for a good model. */
  readonly warnings: readonly string[];
}
