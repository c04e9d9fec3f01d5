/* Models and simple shapes as parts of a plan. */
import { bathLoad, crowdingOf, measureWithParts, type Mesh, type PartInBath } from '@bathkeeper/shared-core/part';
import { type ModelOfPart, partFromModel, partFromShape, planOf } from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { box, meshOf, together, torus, turned } from '../part/shapes.js';

const about: ModelOfPart = { name: 'part', pieces: 1, areaFrom: 'read from STL' };
function part(mesh: Mesh, more: Partial<ModelOfPart> = {}) {
  const measured = measureWithParts(mesh);
  return partFromModel(mesh, measured, crowdingOf(mesh, measured, 200), { ...about, ...more });
}

describe('a model as a part', () => {
  test('has the area, volume, length, sharpness and openness of its surface', () => {
    const cube = part(box([100, 100, 100]));
    expect(cube).toMatchObject({
      areaDm2: 6,
      volumeCm3: 1000,
      displacedCm3: 1000,
      isClosed: true,
      longestMm: 100,
      edgeBendDegrees: 90,
      warnings: [],
    });
    expect(cube.openShare).toBe(1);
    expect(cube.meanCurvatureMm).toBeCloseTo(300 * Math.PI, 4);
  });

  test('is less by what is masked', () => {
    expect(part(box([100, 100, 100]), { maskedDm2: 1.5 }).areaDm2).toBeCloseTo(4.5, 9);
  });

  test('does not plate a closed cavity, and floats by it', () => {
    const hollow = part(together(box([100, 100, 100]), turned(box([80, 80, 80], [10, 10, 10]))));
    expect(hollow.areaDm2).toBeCloseTo(6, 6);
    expect(hollow.volumeCm3).toBeCloseTo(1000 - 512, 3);
    expect(hollow.displacedCm3).toBeCloseTo(1000, 3);
    expect(hollow.meanCurvatureMm).toBeUndefined();
    expect(hollow.warnings).toEqual(['3.84 dm² of closed cavities are not counted: no electrolyte reaches them.']);
  });

  test('without a volume has none, and says why', () => {
    const open = box([100, 100, 100]);
    const told = part({ ...open, corners: open.corners.slice(3) });
    expect(told.volumeCm3).toBeUndefined();
    expect(told.isClosed).toBe(false);
    expect(told.warnings).toEqual([expect.stringMatching(/There is no volume/)]);
  });

  test('that faces inwards says nothing of its edges, a round one has none, a thin one tells its rods', () => {
    expect(part(turned(box([10, 10, 10]))).edgeBendDegrees).toBeUndefined();
    const ring = part(torus(20, 0.5, 96, 24));
    expect(ring.edgeBendDegrees).toBe(0);
    expect(ring.thinnestRodMm).toBeLessThan(1.5);
    expect(part(meshOf([], [])).openShare).toBeUndefined();
  });
});

test('what hangs in the bath, as the page adds it up, is planned as it is', () => {
  const parts: PartInBath[] = [
    { name: 'bell', pieces: 2, areaDm2: 12, volumeCm3: 90 },
    { name: 'plate', pieces: 1, areaDm2: 3, volumeCm3: undefined },
  ];
  const reading = planOf({ parts, averageThicknessMicrometres: 100 });
  if ('faults' in reading) throw new Error(reading.faults.join(' '));
  expect(reading.plan.figures.deposit.areaDm2.value).toBe(bathLoad(parts).areaDm2);
});

describe('a simple shape as a part', () => {
  test('has its measure, and what its shape tells', () => {
    expect(
      partFromShape({ kind: 'box', lengthMm: 100, widthMm: 100, heightMm: 100 }, { pieces: 2, maskedDm2: 1 }),
    ).toEqual({
      part: {
        name: 'box',
        pieces: 2,
        areaDm2: 5,
        areaFrom: 'of a box',
        notPlated: ['1 dm² masked, as was typed in'],
        volumeCm3: 1000,
        isClosed: true,
        longestMm: 100,
        openShare: 1,
        edgeBendDegrees: 90,
        meanCurvatureMm: 300 * Math.PI,
      },
    });
  });

  test('agrees with its mesh', () => {
    const shape = partFromShape({ kind: 'plate', lengthMm: 100, widthMm: 50, thicknessMm: 2 }, { pieces: 1 });
    const mesh = part(box([100, 50, 2]));
    if ('refusals' in shape) throw new Error(shape.refusals.join(' '));
    for (const name of [
      'areaDm2',
      'volumeCm3',
      'longestMm',
      'edgeBendDegrees',
      'openShare',
      'meanCurvatureMm',
    ] as const) {
      expect(mesh[name]).toBeCloseTo(shape.part[name]!, 3);
    }
  });

  test.each(['cylinder', 'sphere', 'tube', 'cone', 'bell'] as const)('tells what it can of a %s', (kind) => {
    const lengths = {
      diameterMm: 50,
      lengthMm: 80,
      outsideDiameterMm: 50,
      wallMm: 2,
      baseDiameterMm: 50,
      topDiameterMm: 20,
      mouthDiameterMm: 60,
      heightMm: 80,
    };
    const reading = partFromShape(
      { kind, ...lengths },
      {
        pieces: 1,
      },
    );
    if ('refusals' in reading) throw new Error(reading.refusals.join(' '));
    expect(reading.part.areaDm2).toBeGreaterThan(0);
    expect(reading.part.openShare).toBeLessThanOrEqual(1);
    expect(reading.part.meanCurvatureMm === undefined).toBe(['tube', 'cone', 'bell'].includes(kind));
  });

  test('that cannot be is refused in words', () => {
    expect(partFromShape({ kind: 'sphere', diameterMm: -1 }, { pieces: 1 })).toEqual({
      refusals: ['Diameter: expected a length above 0, got -1 mm. Enter it again.'],
    });
  });
});
