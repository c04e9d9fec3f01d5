/* What the page hands to a plan: the same as the command reads from the same file, at any scale; less where something is masked. */
import { crowdingOf, measureWithParts, type Mesh, platedCrowding } from '@bathkeeper/shared-core/part';
import { modelBody, modelCrowding, partFromModel, partFromShape, planOf } from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { addPart, load, parts, plannedParts, replaceParts } from '../../../../dashboard/page/part/bath-parts.js';
import { LoadedModel } from '../../../../dashboard/page/part/loaded-model.js';
import type { ModelReport, Told } from '../../../../dashboard/page/part/model-worker/asked.js';
import { plannedPart } from '../../../../dashboard/page/part/planned-part.js';
import { box, together, turned } from '../../../shared-core/part/shapes.js';

/** A model as its worker tells of it, with so many triangles masked at its end. */
function loaded(mesh: Mesh, masked = 0) {
  const part = measureWithParts(mesh);
  const count = mesh.corners.length / 3;
  const mask = new Uint8Array(count).fill(1, count - masked);
  const crowding = platedCrowding(mesh, part.edges, crowdingOf(mesh, part, 200), mask, undefined);
  const worker: Pick<Worker, 'postMessage' | 'terminate'> & { onmessage?: (event: { data: Told }) => void } = {
    postMessage: () => undefined,
    terminate: () => undefined,
  };
  const report = { format: 'Binary STL', unit: 'millimeter', isUnitFromFile: false, notes: [], measure: part.measure };
  const model = new LoadedModel(report as unknown as ModelReport, worker as unknown as Worker);
  const shape = { ...modelBody(mesh, part), ...modelCrowding(crowding, part.measure) };
  worker.onmessage!({ data: { kind: 'crowding', marks: null as never, shape } });
  return model;
}

function scaled(mesh: Mesh, factor: number): Mesh {
  return { ...mesh, positionsMm: mesh.positionsMm.map((each) => each * factor) };
}

function asRead(mesh: Mesh, name = 'part', pieces = 2) {
  const part = measureWithParts(mesh);
  return partFromModel(mesh, part, crowdingOf(mesh, part, 200), { name, pieces, areaFrom: 'read from a file' });
}

describe('a part for a plan', () => {
  test('is as the command reads it from the same file, in any unit', () => {
    // A bar close above a step: neither is open to all directions.
    const mesh = together(box([4, 3, 1]), box([1, 1, 2], [1, 1, 1.5]));
    for (const [unit, factor] of [['millimeter', 1], ['inch', 25.4]] as const) {
      const model = loaded(mesh);
      model.unit.value = unit;
      const onPage = plannedPart('part', 2, { kind: 'model', model });
      const { warnings: readWarnings, areaFrom, ...asCommand } = asRead(scaled(mesh, factor));
      expect(areaFrom).toBeDefined();
      for (const [name, value] of Object.entries(asCommand)) {
        const told = onPage[name as keyof typeof onPage];
        if (typeof value === 'number') expect((told as number) / value, name).toBeCloseTo(1, 4);
        else expect(told, name).toEqual(value);
      }
      expect(onPage.warnings).toEqual(expect.arrayContaining([...readWarnings!]));
      expect(onPage.areaFrom).toContain(`read from Binary STL with ${String(factor)} mm a unit, `);
      expect(onPage.openShare).toBeLessThan(1);
    }
  }); // prettier-ignore

  test('tells size and what is not plated, so that a saved plan knows them when the model is gone', () => {
    const model = loaded(box([100, 50, 20]));
    expect(plannedPart('part', 1, { kind: 'model', model }).areaFrom).toBe(
      'read from Binary STL with 1 mm a unit, 100 mm × 50 mm × 20 mm',
    );
    model.shared.value = { platedAreaMm2: model.report.measure.areaMm2 - 5000 } as never;
    expect(plannedPart('part', 1, { kind: 'model', model }).areaFrom).toMatch(/, 0\.5 dm² not plated$/);
  });

  test('says nothing yet of its shape before the worker has looked, and plans all the same', () => {
    const model = loaded(box([100, 100, 100]));
    model.shape.value = {};
    const part = plannedPart('part', 1, { kind: 'model', model });
    expect(part).toMatchObject({ areaDm2: 6, volumeCm3: 1000, isClosed: true });
    expect(part.openShare).toBeUndefined();
    const reading = planOf({ parts: [part], averageThicknessMicrometres: 100 });
    if ('faults' in reading) throw new Error(reading.faults.join(' '));
    expect(reading.plan.gaps.join(' ')).toContain('How thin recesses get');
  });

  test('has no sharp edge, no rod and no growing area of what is masked', () => {
    const mesh = box([100, 100, 100]);
    expect(plannedPart('part', 1, { kind: 'model', model: loaded(mesh) }).meanCurvatureMm).toBeCloseTo(300 * Math.PI, 2); // prettier-ignore
    const model = loaded(mesh, 10);
    model.shared.value = { platedAreaMm2: 10_000 } as never;
    const part = plannedPart('part', 1, { kind: 'model', model });
    expect(part).toMatchObject({ areaDm2: 1, displacedCm3: 1000 });
    expect(part.meanCurvatureMm).toBeUndefined();
    const [whole, none] = [loaded(mesh, 0), loaded(mesh, 12)].map((each) => each.shape.value);
    expect([whole!.edgeBendDegrees, none!.edgeBendDegrees]).toEqual([90, 0]);
    expect(none!.openShare).toBeUndefined();
  });

  test('tells of closed cavities only while they are not plated', () => {
    const model = loaded(together(box([100, 100, 100]), turned(box([80, 80, 80], [10, 10, 10]))));
    const words = () => plannedPart('part', 1, { kind: 'model', model }).warnings!.join(' ');
    expect(words()).toContain('closed cavities are not counted');
    model.notPlated.value = { ...model.notPlated.value, areCavitiesPlated: true };
    expect(words()).not.toContain('cavities');
  });

  test('without a model has what its shape tells, under the name that somebody gave it', () => {
    const shape = { kind: 'tube', outsideDiameterMm: 20, wallMm: 2, lengthMm: 100 } as const;
    const reading = partFromShape(shape, { pieces: 3 });
    if ('refusals' in reading) throw new Error(reading.refusals.join(' '));
    const source = { kind: 'simple', shape, areaDm2: reading.part.areaDm2, volumeCm3: reading.part.volumeCm3 } as const;
    expect(plannedPart('mouthpiece', 3, source)).toEqual({ ...reading.part, name: 'mouthpiece' });
    const typed = { kind: 'simple', shape: undefined, areaDm2: 12, volumeCm3: undefined } as const;
    expect(plannedPart('Part', 1, typed)).toEqual({ name: 'Part', pieces: 1, areaDm2: 12, areaFrom: 'typed in' });
  });

  test('of a saved plan has the figures that were kept, in the place of what hung there', () => {
    const model = loaded(box([10, 10, 10]));
    addPart('cube', { kind: 'model', model });
    const { name, pieces, ...figures } = asRead(box([30, 20, 10]), 'block', 4);
    replaceParts([{ name, pieces, ...figures }]);
    expect(load.value).toEqual({ pieces: 4, areaDm2: 4 * figures.areaDm2, volumeCm3: 4 * figures.volumeCm3! });
    expect(plannedParts.value).toEqual([{ name, pieces, ...figures }]);
    parts.value[0]!.pieces.value = 5;
    parts.value[0]!.name.value = 'brick';
    expect(plannedParts.value).toEqual([{ ...figures, name: 'brick', pieces: 5 }]);
    replaceParts([]);
    expect(parts.value).toEqual([]);
  });
});
