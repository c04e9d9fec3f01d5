/*
 * Area and volume of simple shapes, for a part without a model. Called by the page and by plans. The area is all that the
 * electrolyte wets: both sides of a plate, the inside of a tube or a bell. Never rounds, and knows no metal.
 */

/** Lengths in mm. */
export type SimpleShape =
  | { readonly kind: 'plate'; readonly lengthMm: number; readonly widthMm: number; readonly thicknessMm: number }
  | { readonly kind: 'box'; readonly lengthMm: number; readonly widthMm: number; readonly heightMm: number }
  | { readonly kind: 'cylinder'; readonly diameterMm: number; readonly lengthMm: number }
  | { readonly kind: 'tube'; readonly outsideDiameterMm: number; readonly wallMm: number; readonly lengthMm: number }
  | { readonly kind: 'sphere'; readonly diameterMm: number }
  /** A top of 0 is a point. */
  | {
      readonly kind: 'cone';
      readonly baseDiameterMm: number;
      readonly topDiameterMm: number;
      readonly heightMm: number;
    }
  /** Open at the mouth, closed at the crown. Diameters outside; the wall is measured across, and is as thick in the crown. */
  | {
      readonly kind: 'bell';
      readonly mouthDiameterMm: number;
      readonly topDiameterMm: number;
      readonly heightMm: number;
      readonly wallMm: number;
    };

export type ShapeKind = SimpleShape['kind'];

export interface ShapeMeasure {
  readonly areaDm2: number;
  /** Of the material: what the part displaces once its hollows have filled. */
  readonly volumeCm3: number;
}

/** Either the measure, or why there is none, as whole sentences. */
export type ShapeReading = { readonly measure: ShapeMeasure } | { readonly refusals: readonly string[] };

/**
 * Formulas: solid geometry, as in any handbook (Bronshtein, "Handbook of Mathematics", section 3.3, from memory).
 *
 * @example
 * measureShape({ kind: 'box', lengthMm: 100, widthMm: 100, heightMm: 100 }); // { measure: { areaDm2: 6, volumeCm3: 1000 } }
 */
export function measureShape(shape: SimpleShape): ShapeReading {
  const refusals = refusalsOf(shape);
  if (refusals.length > 0) return { refusals };
  const { areaMm2, volumeMm3 } = sums(shape);
  return { measure: { areaDm2: areaMm2 / 10_000, volumeCm3: volumeMm3 / 1000 } };
}

interface Sums {
  readonly areaMm2: number;
  readonly volumeMm3: number;
}

function sums(shape: SimpleShape): Sums {
  switch (shape.kind) {
    case 'plate':
      return box(shape.lengthMm, shape.widthMm, shape.thicknessMm);
    case 'box':
      return box(shape.lengthMm, shape.widthMm, shape.heightMm);
    case 'cylinder':
      return solidFrustum(shape.diameterMm, shape.diameterMm, shape.lengthMm);
    case 'tube':
      return tube(shape.outsideDiameterMm, shape.wallMm, shape.lengthMm);
    case 'sphere':
      return { areaMm2: Math.PI * shape.diameterMm ** 2, volumeMm3: (Math.PI * shape.diameterMm ** 3) / 6 };
    case 'cone':
      return solidFrustum(shape.baseDiameterMm, shape.topDiameterMm, shape.heightMm);
    case 'bell':
      return bell(shape);
  }
}

/** A = 2 (lw + lh + wh), V = lwh. */
function box(length: number, width: number, height: number): Sums {
  return {
    areaMm2: 2 * (length * width + length * height + width * height),
    volumeMm3: length * width * height,
  };
}

/** A = π l (D + d) / 2 with the slant height l = √(h² + ((D − d) / 2)²); the ends do not count. */
function lateralAreaMm2(oneDiameter: number, otherDiameter: number, height: number): number {
  return (Math.PI / 2) * (oneDiameter + otherDiameter) * Math.hypot(height, (oneDiameter - otherDiameter) / 2);
}

/** V = π h (D² + Dd + d²) / 12. */
function frustumVolumeMm3(oneDiameter: number, otherDiameter: number, height: number): number {
  return (Math.PI * height * (oneDiameter ** 2 + oneDiameter * otherDiameter + otherDiameter ** 2)) / 12;
}

function disk(diameter: number): number {
  return (Math.PI * diameter ** 2) / 4;
}

function solidFrustum(oneDiameter: number, otherDiameter: number, height: number): Sums {
  return {
    areaMm2: lateralAreaMm2(oneDiameter, otherDiameter, height) + disk(oneDiameter) + disk(otherDiameter),
    volumeMm3: frustumVolumeMm3(oneDiameter, otherDiameter, height),
  };
}

/** Outside, inside and both rims. */
function tube(outside: number, wall: number, length: number): Sums {
  const inside = outside - 2 * wall;
  const rim = disk(outside) - disk(inside);
  return { areaMm2: Math.PI * (outside + inside) * length + 2 * rim, volumeMm3: rim * length };
}

/** Outside and inside of wall and crown, and the rim of the mouth. */
function bell(shape: Extract<SimpleShape, { kind: 'bell' }>): Sums {
  const { mouthDiameterMm: mouth, topDiameterMm: top, heightMm: height, wallMm: wall } = shape;
  const hollowMouth = mouth - 2 * wall;
  const hollowTop = hollowTopDiameterMm(shape);
  const hollowHeight = height - wall;
  return {
    areaMm2:
      lateralAreaMm2(mouth, top, height) +
      disk(top) +
      lateralAreaMm2(hollowMouth, hollowTop, hollowHeight) +
      disk(hollowTop) +
      (disk(mouth) - disk(hollowMouth)),
    volumeMm3: frustumVolumeMm3(mouth, top, height) - frustumVolumeMm3(hollowMouth, hollowTop, hollowHeight),
  };
}

/** Under the crown, one wall below the top. */
function hollowTopDiameterMm({
  mouthDiameterMm,
  topDiameterMm,
  heightMm,
  wallMm,
}: Extract<SimpleShape, { kind: 'bell' }>) {
  return topDiameterMm + ((mouthDiameterMm - topDiameterMm) * wallMm) / heightMm - 2 * wallMm;
}

function refusalsOf(shape: SimpleShape): string[] {
  const given = shape as unknown as Readonly<Record<string, number>>;
  const refusals = shapeDimensions[shape.kind].flatMap(({ name, words, mayBeZero }) => {
    const value = given[name];
    const isGood = value !== undefined && Number.isFinite(value) && (value > 0 || (mayBeZero === true && value === 0));
    return isGood ? [] : [`${words}: expected a length above 0, got ${String(value)} mm. Enter it again.`];
  });
  if (refusals.length > 0) return refusals;
  if (shape.kind === 'tube' && shape.wallMm * 2 > shape.outsideDiameterMm)
    return [wallTooThick('tube', shape.outsideDiameterMm / 2, shape.wallMm)];
  if (shape.kind === 'bell') {
    const least = Math.min(shape.mouthDiameterMm / 2, shape.topDiameterMm / 2, shape.heightMm);
    if (shape.wallMm > least || hollowTopDiameterMm(shape) < 0) return [wallTooThick('bell', least, shape.wallMm)];
  }
  return [];
}

function wallTooThick(what: string, mostMm: number, gotMm: number): string {
  return `The wall of the ${what} leaves no hollow: expected at most ${String(mostMm)} mm, got ${String(gotMm)} mm. Give a thinner wall, or take a shape without a hollow.`;
}

export interface ShapeDimension {
  /** The property of the shape. */
  readonly name: string;
  readonly words: string;
  readonly mayBeZero?: true;
}

/** What has to be said of each shape, in the order in which people say it. For forms and messages. */
export const shapeDimensions: Readonly<Record<ShapeKind, readonly ShapeDimension[]>> = {
  plate: [
    { name: 'lengthMm', words: 'Length' },
    { name: 'widthMm', words: 'Width' },
    { name: 'thicknessMm', words: 'Thickness' },
  ],
  box: [
    { name: 'lengthMm', words: 'Length' },
    { name: 'widthMm', words: 'Width' },
    { name: 'heightMm', words: 'Height' },
  ],
  cylinder: [
    { name: 'diameterMm', words: 'Diameter' },
    { name: 'lengthMm', words: 'Length' },
  ],
  tube: [
    { name: 'outsideDiameterMm', words: 'Outside diameter' },
    { name: 'wallMm', words: 'Wall' },
    { name: 'lengthMm', words: 'Length' },
  ],
  sphere: [{ name: 'diameterMm', words: 'Diameter' }],
  cone: [
    { name: 'baseDiameterMm', words: 'Diameter of the base' },
    { name: 'topDiameterMm', words: 'Diameter of the top (0: a point)', mayBeZero: true },
    { name: 'heightMm', words: 'Height' },
  ],
  bell: [
    { name: 'mouthDiameterMm', words: 'Diameter of the mouth, outside' },
    { name: 'topDiameterMm', words: 'Diameter of the crown, outside' },
    { name: 'heightMm', words: 'Height' },
    { name: 'wallMm', words: 'Wall' },
  ],
};

/** What counts as surface, in words, for each shape. */
export const shapeSurfaceWords: Readonly<Record<ShapeKind, string>> = {
  plate: 'Both sides and the four narrow edges.',
  box: 'All six sides, from outside: a closed box.',
  cylinder: 'The round side and both ends: a rod or a solid cylinder.',
  tube: 'Outside, inside and both rims: a tube open at both ends.',
  sphere: 'The whole ball.',
  cone: 'The slanting side, the base and the top.',
  bell: 'Outside and inside, the crown from both sides, and the rim: open at the mouth only.',
};
