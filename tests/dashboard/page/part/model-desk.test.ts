/* The desk that answers for one model, asked as the page asks it, without a browser. */
import { describe, expect, test } from 'vitest';
import { cutOffPlane, type Mesh, platedAllOver } from '@bathkeeper/shared-core/part';
import type { Asked, PictureNews, Told } from '../../../../dashboard/page/part/model-worker/asked.js';
import { ModelDesk } from '../../../../dashboard/page/part/model-worker/model-desk.js';
import { asciiStl, box, together, turned } from '../../../shared-core/part/shapes.js';

function desk() {
  const told: Told[] = [];
  const made = new ModelDesk(
    (one) => {
      told.push(one);
    },
    () => new Promise((resolve) => setImmediate(resolve)),
  );
  const last = <Kind extends Told['kind']>(kind: Kind) =>
    told.filter((one): one is Extract<Told, { kind: Kind }> => one.kind === kind).at(-1);
  const ask = (asked: Asked) => made.take(asked);
  return { told, last, ask };
}

async function reading(mesh: Mesh) {
  const at = desk();
  await at.ask({ kind: 'read', file: new File([asciiStl(mesh)], 'part.stl') });
  return at;
}

describe('reading', () => {
  test('tells how far it is, the report, what is plated, and in the end where current crowds', async () => {
    const { told, last } = await reading(box([20, 30, 50]));
    expect([...new Set(told.map((one) => one.kind))]).toEqual(['progress', 'measured', 'shared', 'crowding']);
    const stages = told.flatMap((one) => (one.kind === 'progress' ? [one.stage] : []));
    expect([...new Set(stages)]).toEqual(['reading', 'measuring', 'comparing']);
    expect(last('measured')!.report).toMatchObject({ format: 'ASCII STL', isUnitFromFile: false, regionCount: 6 });
    expect(last('measured')!.report.measure.areaMm2).toBe(6200);
    expect(last('shared')!.shared.platedAreaMm2).toBe(6200);
    expect(last('crowding')!.marks.edgeLengthMm).toBeCloseTo(400, 3);
    expect(last('crowding')!.shape).toMatchObject({ displacedCm3: 30, edgeBendDegrees: 90, openShare: 1 });
    expect(last('crowding')!.shape.meanCurvatureMm).toBeCloseTo(100 * Math.PI, 3);
  });

  test('of a file that is none says why in the words of the reader', async () => {
    const { ask, told } = desk();
    await ask({ kind: 'read', file: new File(['recipe for soup'], 'soup.stl') });
    expect(told.at(-1)).toEqual({
      kind: 'refused',
      message: expect.stringMatching(/^The file is of no kind that can be read: expected STL.* got 15 bytes.*\.$/),
    });
  });

  test('refuses a file that no page has room for before it touches it', async () => {
    const { ask, told } = desk();
    const huge = { size: 2e9, arrayBuffer: () => Promise.reject(new Error('touched')) } as unknown as File;
    await ask({ kind: 'read', file: huge });
    expect(told.at(-1)).toEqual({ kind: 'refused', message: expect.stringContaining('at most 1000 MB, got 2000 MB') });
  });

  test('says so when memory runs out, and when the file is gone', async () => {
    for (const [fault, words] of [
      [new RangeError('Array buffer allocation failed'), /not enough memory/],
      [new DOMException('gone', 'NotFoundError'), /Choose it again/],
    ] as const) {
      const { ask, told } = desk();
      await ask({ kind: 'read', file: { size: 9, arrayBuffer: () => Promise.reject(fault) } as unknown as File });
      expect(told.at(-1)).toEqual({ kind: 'refused', message: expect.stringMatching(words) });
    }
  });

  test('makes the demonstration bell by itself', async () => {
    const { ask, last } = desk();
    await ask({ kind: 'make-bell' });
    expect(last('measured')!.report).toMatchObject({ format: 'made here', isUnitFromFile: true, notes: [] });
  });
});

describe('a model that was read', () => {
  test('answers only the newest of several questions for what is plated', async () => {
    const { ask, told, last } = await reading(box([2, 3, 5]));
    const before = told.filter((one) => one.kind === 'shared').length;
    const at = (atMm: number) => ({ ...platedAllOver, cutOff: { axis: 'z', side: 'above', atMm } as const });
    await Promise.all([1, 2, 3, 4].map((height) => ask({ kind: 'share', notPlated: at(height) })));
    expect(told.filter((one) => one.kind === 'shared')).toHaveLength(before + 1);
    expect(last('shared')!.shared.platedAreaMm2).toBeCloseTo(46, 5);
  });

  test('finds what is pointed at, and says of each listed piece how much of it is out', async () => {
    const { ask, last } = await reading(box([2, 3, 5]));
    await ask({ kind: 'point', from: [1, 1, 99], direction: [0, 0, -1] });
    const { triangle, isPlated } = last('pointed')!;
    expect(isPlated).toBe(true);
    await ask({
      kind: 'share',
      notPlated: { ...platedAllOver, choices: [{ kind: 'flat', triangle: triangle!, isPlated: false }] },
    });
    expect(last('shared')!.shared.platedAreaMm2).toBe(56);
    expect(last('shared')!.shared.regions.filter((each) => each === 'all')).toHaveLength(1);
    expect(last('shared')!.shared.shells).toEqual(['some']);
    await ask({ kind: 'point', from: [1, 1, 99], direction: [0, 0, -1] });
    expect(last('pointed')!.isPlated).toBe(false);
    await ask({ kind: 'point', from: [9, 9, 99], direction: [0, 0, -1] });
    expect(last('pointed')!.triangle).toBeUndefined();
  });

  /** Stands in for the picture's end of a channel. */
  function inlet() {
    const news: PictureNews[] = [];
    const handedOver: Transferable[] = [];
    const into = {
      postMessage: (one: PictureNews, given: Transferable[]) => {
        news.push(one);
        handedOver.push(...given);
      },
    };
    const states = () => news.flatMap((one) => (one.kind === 'states' ? [one.states] : []));
    return { into, news, handedOver, states };
  }

  test('sends no masks again for a height that is dragged, and nothing more when the picture is gone', async () => {
    const { ask } = await reading(box([2, 3, 5]));
    const { into, states } = inlet();
    const choose = (triangle: number) =>
      ask({ kind: 'share', notPlated: { ...platedAllOver, choices: [{ kind: 'flat', triangle, isPlated: false }] } });
    await ask({ kind: 'draw', into });
    expect(states()).toHaveLength(1);
    await ask({ kind: 'share', notPlated: { ...platedAllOver, cutOff: { axis: 'z', side: 'above', atMm: 3 } } });
    expect(states()).toHaveLength(1);
    await choose(0);
    expect(states()).toHaveLength(2);
    await ask({ kind: 'stop-drawing' });
    await choose(4);
    expect(states()).toHaveLength(2);
  });

  test('hands its picture over in pieces, and each change of what is masked or pointed at as bytes', async () => {
    const { ask, last } = await reading(box([2, 3, 5]));
    const { into, news, handedOver, states } = inlet();
    await ask({ kind: 'draw', into });
    expect(last('picture')!.drawnTriangles).toBe(12);
    expect(news.map((one) => one.kind)).toEqual(['begin', 'piece', 'states']);
    const [piece] = news.flatMap((one) => (one.kind === 'piece' ? [one.piece] : []));
    expect(piece!.positions).toHaveLength(108);
    expect(handedOver).toContain(piece!.positions.buffer);
    expect([...new Set(states().at(-1))]).toEqual([0]);
    await ask({ kind: 'show', piece: { kind: 'smooth', triangle: 0 } });
    expect(
      states()
        .at(-1)!
        .filter((each) => each === 2),
    ).toHaveLength(6);
    await ask({ kind: 'show', piece: null });
    expect(
      states()
        .at(-1)!
        .every((each) => each === 0),
    ).toBe(true);
  });

  test('marks no crowding on what is masked or cut off', async () => {
    const two = together(box([20, 30, 50]), box([20, 30, 50], [100, 0, 0]));
    const { ask, last } = await reading(two);
    const whole = last('crowding')!.marks;
    expect(whole.edgeLengthMm).toBeCloseTo(800, 3);
    await ask({
      kind: 'share',
      notPlated: { ...platedAllOver, choices: [{ kind: 'shell', triangle: 0, isPlated: false }] },
    });
    expect(last('crowding')!.marks.edgeLengthMm).toBeCloseTo(400, 3);
    expect(last('crowding')!.marks.openShare.length / whole.openShare.length).toBeCloseTo(0.5, 2);
    const cutOff = { axis: 'x', side: 'above', atMm: 50 } as const;
    await ask({ kind: 'share', notPlated: { ...platedAllOver, cutOff } });
    const { marks } = last('crowding')!;
    expect(marks.edgeCount).toBe(12);
    const { normal, offset } = cutOffPlane(cutOff);
    for (let k = 0; k < marks.places.length; k += 3) expect(normal[0] * marks.places[k]!).toBeLessThanOrEqual(offset);
  });

  test('keeps closed cavities out, and takes them in when told', async () => {
    const { ask, last } = await reading(together(box([4, 4, 4]), turned(box([2, 2, 2], [1, 1, 1]))));
    expect(last('shared')!.shared).toMatchObject({ platedAreaMm2: 96, notPlatedAreaMm2: 24 });
    await ask({ kind: 'share', notPlated: { ...platedAllOver, areCavitiesPlated: true } });
    expect(last('shared')!.shared).toMatchObject({ platedAreaMm2: 120, notPlatedAreaMm2: 0 });
  });

  test('refuses a choice that was made for another model, and answers the next question all the same', async () => {
    const { ask, last, told } = await reading(box([2, 3, 5]));
    await ask({
      kind: 'share',
      notPlated: { ...platedAllOver, choices: [{ kind: 'flat', triangle: 999, isPlated: false }] },
    });
    expect(told.at(-1)).toEqual({ kind: 'refused', message: expect.stringContaining('made for another model') });
    await ask({ kind: 'share', notPlated: platedAllOver });
    expect(last('shared')!.shared.platedAreaMm2).toBe(62);
  });
});
