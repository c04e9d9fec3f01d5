/*
 * A measured model as a part of a plan: what of it is plated, what it displaces, how sharp and how open it is. Called by the command and the page, with
 * what part/ has measured. What the model leaves unclear is left out, never guessed.
 */
import type { Crowding } from '../../part/crowding.js';
import { meanCurvatureMm } from '../../part/mean-curvature.js';
import type { MeasuredPart } from '../../part/measure-part.js';
import type { Mesh } from '../../part/mesh.js';
import type { PlannedPart } from '../plan/plan-request.js';
import { significant } from '../shown.js';

export interface ModelOfPart {
  readonly name: string;
  readonly pieces: number;
  readonly areaFrom: string;
  /** Not plated, of one piece: masked, above the liquid. */
  readonly maskedDm2?: number;
  /** Further warnings, of the file or its size. */
  readonly warnings?: readonly string[];
}

const mm2PerDm2 = 10_000;
const mm3PerCm3 = 1000;
/** The least open and the sharpest twentieth count, so that one odd sample does not decide. */
const worstShare = 0.05;

/**
 * @example
 * partFromModel(cubeOf10mm, measureWithParts(cubeOf10mm), crowdingOf(…), { name: 'cube', pieces: 1, areaFrom: 'read from cube.stl' }).areaDm2; // 0.06
 */
export function partFromModel(mesh: Mesh, part: MeasuredPart, crowding: Crowding, about: ModelOfPart): PlannedPart {
  const { measure } = part;
  const cavityDm2 = measure.cavityAreaMm2 / mm2PerDm2;
  const maskedDm2 = about.maskedDm2 ?? 0;
  const cavityWarning =
    cavityDm2 > 0
      ? [`${significant(cavityDm2, 3)} dm² of closed cavities are not counted: no electrolyte reaches them.`]
      : [];
  const curvatureMm = meanCurvatureMm(mesh, part);
  const thinnestRodMm = atShare(crowding.rodDiameterMm, worstShare);
  const isFacingOut = measure.faults.insideOutShells === 0;
  return {
    name: about.name,
    pieces: about.pieces,
    areaDm2: measure.areaMm2 / mm2PerDm2 - cavityDm2 - maskedDm2,
    areaFrom: about.areaFrom,
    ...(measure.volumeMm3 === undefined
      ? {}
      : { volumeCm3: measure.volumeMm3 / mm3PerCm3, displacedCm3: displacedCm3(part) }),
    isClosed: measure.isClosed,
    longestMm: Math.max(...measure.boxMm.max.map((most, axis) => most - measure.boxMm.min[axis]!)),
    ...(isFacingOut ? { edgeBendDegrees: atShare(crowding.edges.bendDegrees, 1 - worstShare) ?? 0 } : {}),
    ...(crowding.openShare.length === 0 ? {} : { openShare: atShare(crowding.openShare, worstShare) ?? 1 }),
    ...(curvatureMm === undefined || cavityDm2 > 0 ? {} : { meanCurvatureMm: curvatureMm }),
    ...(thinnestRodMm === undefined || !isFinite(thinnestRodMm) ? {} : { thinnestRodMm }),
    warnings: [...(about.warnings ?? []), ...measure.warnings, ...cavityWarning],
  };
}

/** Of the outer shells: a sealed cavity displaces as well. */
function displacedCm3({ sums, nesting }: MeasuredPart): number {
  let mm3 = 0;
  sums.volumeMm3.forEach((own, shell) => {
    if (nesting.around[shell]! < 0) mm3 += Math.abs(own);
  });
  return mm3 / mm3PerCm3;
}

/** The value below which so much of a list lies; undefined for an empty one. */
function atShare(values: Float32Array, share: number): number | undefined {
  if (values.length === 0) return undefined;
  const sorted = Float32Array.from(values).sort();
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
}
