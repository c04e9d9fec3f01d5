/*
 * Everything that hangs in one bath together: parts, how many of each, and their sums. The page makes it from models, simple
 * shapes and typed areas; a plan takes it. Knows no metal.
 */

export interface PartInBath {
  readonly name: string;
  /** A whole number from 1. */
  readonly pieces: number;
  /** To be plated, of one piece: what is masked is not in it. */
  readonly areaDm2: number;
  /** Of one piece, masked or not: what it displaces. Undefined where nobody knows. */
  readonly volumeCm3: number | undefined;
}

export interface BathLoad {
  readonly pieces: number;
  readonly areaDm2: number;
  /** Undefined as soon as it is unknown of one part. */
  readonly volumeCm3: number | undefined;
}

/** Example: two bells of 12 dm² and a plate of 3 dm² are three pieces and 27 dm². */
export function bathLoad(parts: readonly PartInBath[]): BathLoad {
  let pieces = 0;
  let areaDm2 = 0;
  let volumeCm3: number | undefined = 0;
  for (const part of parts) {
    pieces += part.pieces;
    areaDm2 += part.pieces * part.areaDm2;
    volumeCm3 =
      volumeCm3 === undefined || part.volumeCm3 === undefined ? undefined : volumeCm3 + part.pieces * part.volumeCm3;
  }
  return { pieces, areaDm2, volumeCm3: parts.length === 0 ? undefined : volumeCm3 };
}
