/*
 * How much the part grows, what finishing takes again, and by how much a model that must fit is offset. Called by plan.ts. Always by offset: each wall
 * moves by the same amount whatever the size of the part, so scaling is right for one length and wrong for all others.
 */
import { type Figure, input, inputOf } from '../figure.js';
import { fittingLength, thicknessOnGrowingBody } from '../part-in-bath/offset.js';
import type { DepositFigures } from './deposit-figures.js';
import type { DistributionFigures } from './distribution-figures.js';
import { dryPaintMicrometres } from './paint-figures.js';
import type { PlanBasis } from './plan-basis.js';

export interface SizeFigures {
  /** Only of one part, closed and mostly convex, whose area grows with its deposit. */
  readonly growingThicknessMicrometres?: Figure;
  readonly wallGrowthMicrometres: Figure;
  readonly modelOffsetMm: Figure;
  readonly outerLengthChangeMm: Figure;
  readonly holeChangeMm: Figure;
  readonly finishedThicknessMicrometres: Figure;
  readonly finishingGrams: Figure;
}

export function sizeFigures(basis: PlanBasis, deposit: DepositFigures, distribution: DistributionFigures): SizeFigures {
  const average = deposit.averageThicknessMicrometres;
  const dry = dryPaintMicrometres(basis);
  const lossMicrometres = basis.finishingMicrometres;
  const paint = input('Dry paint', dry, 'µm');
  const finishing = input('Sanding and polishing take off each wall', lossMicrometres, 'µm');
  const growthOf = (deposited: number): number => deposited + dry.value - lossMicrometres.value;
  const wallGrowthMicrometres: Figure = {
    label: 'Each wall grows by',
    value: growthOf(average.value),
    unit: 'µm',
    uncertainty: {
      low: growthOf(distribution.thinPlaceMicrometres.value),
      high: growthOf(distribution.edgeMicrometres.value),
      because: 'from thin places to edges; measure a first piece where it must fit',
    },
    formula: 'average thickness + dry paint − what finishing takes',
    inputs: [inputOf(average), paint, finishing],
    source: 'arithmetic; finishing takes 10 to 50 µm (from memory, no measured source)',
  };
  const growthMm = wallGrowthMicrometres.value / 1000;
  const growth = inputOf(wallGrowthMicrometres);
  const { outerMm, innerMm } = fittingLength(0, growthMm);
  const cm3 = lossMicrometres.value * 1e-4 * basis.areaDm2 * 100;
  const growing = growingThickness(basis, deposit);
  return {
    ...(growing === undefined ? {} : { growingThicknessMicrometres: growing }),
    wallGrowthMicrometres,
    modelOffsetMm: {
      label: 'Offset of the model’s surface, inwards where negative',
      value: -growthMm,
      unit: 'mm',
      formula: '− growth of each wall. Never scale: the offset is the same for a large part and a small one',
      inputs: [growth],
      source: 'Steiner’s parallel bodies',
    },
    outerLengthChangeMm: {
      label: 'Draw a length between outer surfaces, as a shaft, longer by',
      value: outerMm,
      unit: 'mm',
      formula: '− 2 × growth of each wall',
      inputs: [growth],
      source: 'arithmetic',
    },
    holeChangeMm: {
      label: 'Draw a length between inner surfaces, as a hole, longer by',
      value: innerMm,
      unit: 'mm',
      formula: '2 × growth of each wall',
      inputs: [growth],
      source: 'arithmetic; a narrow hole gets less',
    },
    finishedThicknessMicrometres: {
      label: 'Average thickness after finishing',
      value: average.value - lossMicrometres.value,
      unit: 'µm',
      formula: 'average thickness − what finishing takes',
      inputs: [inputOf(average), finishing],
      source: 'arithmetic',
    },
    finishingGrams: {
      label: 'Metal that finishing takes',
      value: cm3 * basis.profile.metal.densityGramsPerCm3,
      unit: 'g',
      formula: 'what finishing takes × area × density of the metal',
      inputs: [
        finishing,
        inputOf(deposit.areaDm2),
        input('Density of the metal', basis.profile.metal.densityGramsPerCm3, 'g/cm³'),
      ],
      source: 'arithmetic',
    },
  };
}

/** Every wall that grows outwards gains area, so that the same metal lies thinner: much on wires, little on a plate. */
function growingThickness({ request, pieces }: PlanBasis, deposit: DepositFigures): Figure | undefined {
  const [part, ...others] = request.parts;
  if (part?.meanCurvatureMm === undefined || part.meanCurvatureMm <= 0 || others.length > 0) return undefined;
  const areaMm2 = part.areaDm2 * 10_000;
  const average = deposit.averageThicknessMicrometres;
  const micrometres =
    1000 *
    thicknessOnGrowingBody(
      { areaMm2, volumeMm3: 0, meanCurvatureMm: part.meanCurvatureMm },
      (areaMm2 * average.value) / 1000,
    );
  return {
    label: 'Average thickness, as the area grows with it',
    value: micrometres,
    unit: 'µm',
    formula: 'the thickness t at which area × t + mean curvature × t² + 4/3 π t³ is the volume of the deposit',
    inputs: [
      inputOf(average),
      inputOf(deposit.areaDm2),
      input('Pieces', pieces, '1'),
      input('Integral of the mean curvature of one piece', part.meanCurvatureMm, 'mm'),
    ],
    source: 'Steiner’s parallel bodies, exact for convex ones',
  };
}
