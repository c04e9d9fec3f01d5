/* What is kept of what somebody chose as not plated: chosen on the model as the page chooses it, answered by the desk that holds it. */
import { describe, expect, test } from 'vitest';
import type { Mesh } from '@bathkeeper/shared-core/part';
import { LoadedModel } from '../../../../dashboard/page/part/loaded-model.js';
import type { Asked, Told } from '../../../../dashboard/page/part/model-worker/asked.js';
import { ModelDesk } from '../../../../dashboard/page/part/model-worker/model-desk.js';
import { plannedPart } from '../../../../dashboard/page/part/planned-part.js';
import { asciiStl, box, together, turned } from '../../../shared-core/part/shapes.js';

/** The model on the page, its desk behind it without a worker between them. `settled`: everything that was asked is answered. */
async function onPage(mesh: Mesh) {
  const worker: { onmessage?: (event: { data: Told }) => void; postMessage: (asked: Asked) => void } = {
    postMessage: (asked) => {
      waiting = waiting.then(() => desk.take(asked));
    },
  };
  let model: LoadedModel | undefined;
  const desk = new ModelDesk(
    (told) => {
      if (told.kind === 'measured') model = new LoadedModel(told.report, worker as unknown as Worker);
      else worker.onmessage?.({ data: told });
    },
    () => new Promise((resolve) => setImmediate(resolve)),
  );
  let waiting = desk.take({ kind: 'read', file: new File([asciiStl(mesh)], 'part.stl') });
  await waiting;
  return {
    model: model!,
    settled: () => waiting,
    told: () => plannedPart('part', 1, { kind: 'model', model: model! }).notPlated,
  };
}

/** The flat face of a box that looks so: its triangle in the report. */
function faceTowards({ report }: LoadedModel, axis: 0 | 1 | 2, sign: 1 | -1): number {
  return report.regions.find(({ facing }) => Math.abs(facing[axis] - sign) < 1e-6)!.triangle;
}

describe('what is not plated is told', () => {
  test('not at all where everything is', async () => {
    expect((await onPage(box([100, 50, 20]))).told()).toBeUndefined();
  });

  test('face by face, with its size at the scale that was chosen', async () => {
    const { model, settled, told } = await onPage(box([100, 50, 20]));
    model.choose({ kind: 'smooth', triangle: faceTowards(model, 2, -1), isPlated: false });
    model.choose({ kind: 'flat', triangle: faceTowards(model, 0, 1), isPlated: false });
    await settled();
    expect(told()).toEqual(['flat, faces down, 0.5 dm²', 'flat, faces right, 0.1 dm²']);
    model.times.value = 2;
    expect(told()).toEqual(['flat, faces down, 2 dm²', 'flat, faces right, 0.4 dm²']);
    model.up.value = 'y';
    expect(told()![0]).toBe('flat, faces to the back, 2 dm²');
    model.undo();
    model.undo();
    await settled();
    expect(told()).toBeUndefined();
  });

  test('by the height from the lower end of the model, wherever that lies', async () => {
    const { model, settled, told } = await onPage(box([10, 20, 60], [5, 5, 7]));
    const least = model.report.measure.boxMm.min[2];
    model.setCutOff({ axis: 'z', side: 'above', atMm: least + 5 });
    model.unit.value = 'inch';
    await settled();
    expect(told()).toEqual(['everything above 127 mm along z, upright']);
  });

  test('with closed cavities, and without them where they are plated', async () => {
    const { model, settled, told } = await onPage(
      together(box([100, 100, 100]), turned(box([80, 80, 80], [10, 10, 10]))),
    );
    expect(told()).toEqual(['closed cavities, 3.84 dm²']);
    model.choose({ kind: 'flat', triangle: faceTowards(model, 2, 1), isPlated: false });
    await settled();
    expect(told()).toEqual(['flat, faces up, 1 dm²', 'closed cavities, 3.84 dm²']);
    model.setCavitiesPlated(true);
    await settled();
    expect(told()).toEqual(['flat, faces up, 1 dm²']);
  });
});
