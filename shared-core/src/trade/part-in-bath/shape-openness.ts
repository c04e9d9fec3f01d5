/*
 * How open the least open place of a simple shape is, and how sharp its sharpest edge, for a part without a model. Called by whoever plans
 * with a shape; a model has crowding.ts for it.
 */
import type { SimpleShape } from '../../part/simple-shapes.js';

/** What the three thicknesses need of a part's shape. */
export interface ShapeOpenness {
  /** Share of directions that the least open places see, 0 to 1. */
  readonly openShare: number;
  /** Bend of the sharpest convex edge: 0 on a ball, 90 at a square edge. */
  readonly edgeBendDegrees: number;
}

/** Share of directions by which a spot on a round wall sees the opening at that distance (z / 2R): (Z² + ½) / √(Z² + 1) − Z (a view factor, from memory). */
function wallToOpening(distanceMm: number, radiusMm: number): number {
  const z = distanceMm / (2 * radiusMm);
  return (z * z + 0.5) / Math.sqrt(z * z + 1) - z;
}

/**
 * A tube is least open in its middle, a bell in the middle of its crown: R² / (R² + h²), as of a spot before a disk.
 *
 * Example: a tube of 20 mm bore and 100 mm: 0.037 at half its length.
 */
export function opennessOf(shape: SimpleShape): ShapeOpenness {
  switch (shape.kind) {
    case 'sphere':
      return { openShare: 1, edgeBendDegrees: 0 };
    case 'plate':
    case 'box':
    case 'cylinder':
      return { openShare: 1, edgeBendDegrees: 90 };
    case 'cone':
      return { openShare: 1, edgeBendDegrees: coneBend(shape.baseDiameterMm, shape.topDiameterMm, shape.heightMm) };
    case 'tube': {
      const radiusMm = shape.outsideDiameterMm / 2 - shape.wallMm;
      return {
        openShare: radiusMm > 0 ? 2 * wallToOpening(shape.lengthMm / 2, radiusMm) : 0,
        edgeBendDegrees: 90,
      };
    }
    case 'bell': {
      const radiusMm = Math.max(0, shape.mouthDiameterMm / 2 - shape.wallMm);
      const depthMm = shape.heightMm - shape.wallMm;
      return { openShare: radiusMm ** 2 / (radiusMm ** 2 + depthMm ** 2), edgeBendDegrees: 90 };
    }
  }
}

/** At the wider end, where wall and end meet: 90° and more as the cone is flatter. */
function coneBend(oneDiameterMm: number, otherDiameterMm: number, heightMm: number): number {
  const slantDegrees = (Math.atan2(Math.abs(oneDiameterMm - otherDiameterMm) / 2, heightMm) * 180) / Math.PI;
  return 90 + slantDegrees;
}
