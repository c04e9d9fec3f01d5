/*
 * A measured model as a part of a plan: what of it is plated, what it displaces, how sharp and how open it is. Called by the command and the page, with
 * what part/ has measured. What the model leaves unclear is left out, never guessed.
 */
import type { Crowding } from '../../part/crowding.js';
import { meanCurvatureMm } from '../../part/mean-curvature.js';
import type { MeasuredPart } from '../../part/measure-part.js';
import type { Mesh } from '../../part/mesh.js';
import type { PartMeasure } from '../../part/part-measure.js';
import { platedCrowding } from '../../part/plated-crowding.js';
import { innerMask } from '../../part/selection.js';
import type { PlannedPart } from '../plan/plan-request.js';
import { significant } from '../shown.js';

interface AboutPart {
  readonly name: string;
  readonly pieces: number;
  readonly areaFrom: string;
  readonly notPlated?: readonly string[];
  /** Further warnings, of the file or its size. */
  readonly warnings?: readonly string[];
}

export interface ModelOfPart extends AboutPart {
  /** Not plated, of one piece: masked, above the liquid. */
  readonly maskedDm2?: number;
}

/** What only the mesh tells of its body, whatever of it is plated. */
export type ModelBody = Pick<PlannedPart, 'displacedCm3' | 'meanCurvatureMm'>;

/** What the places and edges that are plated tell. */
export type ModelCrowding = Pick<PlannedPart, 'edgeBendDegrees' | 'openShare' | 'thinnestRodMm'>;

const mm2PerDm2 = 10_000;
const mm3PerCm3 = 1000;
/** The least open and the sharpest twentieth count, so that one odd sample does not decide. */
const worstShare = 0.05;
/** Areas are sums over millions of triangles. */
const roundingShare = 1e-6;

/**
 * @example
 * partFromModel(cubeOf10mm, measureWithParts(cubeOf10mm), crowdingOf(…), { name: 'cube', pieces: 1, areaFrom: 'read from cube.stl' }).areaDm2; // 0.06
 */
export function partFromModel(mesh: Mesh, part: MeasuredPart, crowding: Crowding, about: ModelOfPart): PlannedPart {
  const { measure } = part;
  const { maskedDm2 = 0, ...told } = about;
  return partFromMeasure(
    measure,
    {
      ...modelBody(mesh, part),
      // Closed cavities are not plated: nothing of them is a recess.
      ...modelCrowding(platedCrowding(mesh, part.edges, crowding, innerMask(part), undefined), measure),
    },
    {
      ...told,
      platedDm2: outerDm2(measure) - maskedDm2,
      ...notPlatedOf(maskedDm2, measure.cavityAreaMm2 / mm2PerDm2),
      warnings: [...(about.warnings ?? []), ...measure.warnings, ...cavityWarnings(measure)],
    },
  );
}

/** Where a masked area was only typed in, nobody can say more of it. */
export function notPlatedOf(maskedDm2 = 0, cavityDm2 = 0): Pick<PlannedPart, 'notPlated'> {
  const notPlated = [
    ...(maskedDm2 > 0 ? [`${significant(maskedDm2, 3)} dm² masked, as was typed in`] : []),
    ...(cavityDm2 > 0 ? [`closed cavities, ${significant(cavityDm2, 3)} dm²`] : []),
  ];
  return notPlated.length === 0 ? {} : { notPlated };
}

/** The same from what was measured before; `platedDm2` of one piece. Its own warnings are no more than what it is told of. */
export function partFromMeasure(
  measure: PartMeasure,
  shape: ModelBody & ModelCrowding,
  about: AboutPart & { readonly platedDm2: number },
): PlannedPart {
  const { platedDm2, ...told } = about;
  const { displacedCm3, meanCurvatureMm: curvatureMm, ...crowding } = shape;
  const { min, max } = measure.boxMm;
  // A body of which a part is masked grows by less than its whole curvature says.
  const isPlatedAllOver = Math.abs(platedDm2 - measure.areaMm2 / mm2PerDm2) <= roundingShare * platedDm2;
  return {
    ...told,
    areaDm2: platedDm2,
    ...(measure.volumeMm3 === undefined ? {} : { volumeCm3: measure.volumeMm3 / mm3PerCm3 }),
    ...(measure.volumeMm3 === undefined || displacedCm3 === undefined ? {} : { displacedCm3 }),
    isClosed: measure.isClosed,
    longestMm: Math.max(...max.map((most, axis) => most - min[axis]!)),
    ...crowding,
    ...(curvatureMm === undefined || !isPlatedAllOver || measure.cavityAreaMm2 > 0
      ? {}
      : { meanCurvatureMm: curvatureMm }),
  };
}

export function modelBody(mesh: Mesh, part: MeasuredPart): ModelBody {
  const curvatureMm = meanCurvatureMm(mesh, part);
  return {
    displacedCm3: displacedCm3(part),
    ...(curvatureMm === undefined ? {} : { meanCurvatureMm: curvatureMm }),
  };
}

/** `crowding`: of what is plated. A surface that faces inwards tells nothing of its edges. */
export function modelCrowding(crowding: Crowding, { faults }: PartMeasure): ModelCrowding {
  const thinnestRodMm = atShare(crowding.rodDiameterMm, worstShare);
  return {
    ...(faults.insideOutShells === 0
      ? { edgeBendDegrees: atShare(crowding.edges.bendDegrees, 1 - worstShare) ?? 0 }
      : {}),
    ...(crowding.openShare.length === 0 ? {} : { openShare: atShare(crowding.openShare, worstShare) ?? 1 }),
    ...(thinnestRodMm === undefined || !isFinite(thinnestRodMm) ? {} : { thinnestRodMm }),
  };
}

/** The same with every length multiplied by `factor` (above 0); angles and shares stay. */
export function scaledShape(shape: ModelBody & ModelCrowding, factor: number): ModelBody & ModelCrowding {
  const { displacedCm3, meanCurvatureMm: curvatureMm, thinnestRodMm, ...alike } = shape;
  return {
    ...alike,
    ...(displacedCm3 === undefined ? {} : { displacedCm3: displacedCm3 * factor ** 3 }),
    ...(curvatureMm === undefined ? {} : { meanCurvatureMm: curvatureMm * factor }),
    ...(thinnestRodMm === undefined ? {} : { thinnestRodMm: thinnestRodMm * factor }),
  };
}

/** One sentence where there are closed cavities that are not plated, else none. */
export function cavityWarnings({ cavityAreaMm2 }: PartMeasure): string[] {
  if (cavityAreaMm2 <= 0) return [];
  return [
    `${significant(cavityAreaMm2 / mm2PerDm2, 3)} dm² of closed cavities are not counted: no electrolyte reaches them.`,
  ];
}

function outerDm2({ areaMm2, cavityAreaMm2 }: PartMeasure): number {
  return (areaMm2 - cavityAreaMm2) / mm2PerDm2;
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
