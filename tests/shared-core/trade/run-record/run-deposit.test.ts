/* What a run's charge has become: Faraday's average against the computed values of both rules of thumb, and estimates that take the plan's part where it fits. */
import { describe, expect, it } from 'vitest';
import { depositOfRun } from '@bathkeeper/shared-core/trade';
import { recipe } from '../../../browser/canned-night.js';
import { lampshade } from '../plan/requests.js';

describe('the deposit of a run', () => {
  it('is on average what Faraday allows: 8 Ah on 1 dm² of copper are 105.8 µm, 310 Ah on 15.5 dm² 264.6 µm and 367.5 g (computed from the SI)', () => {
    const small = depositOfRun({ ...recipe, areaDm2: 1 }, null, 8)!;
    expect(small.averageThicknessMicrometres.value).toBeCloseTo(105.8, 1);
    const large = depositOfRun({ ...recipe, areaDm2: 15.5 }, null, 310)!;
    expect(large.averageThicknessMicrometres.value).toBeCloseTo(264.6, 1);
    expect(large.massGrams.value).toBeCloseTo(367.5, 1);
  });

  it('has a thin place below the average and an edge above it, each with its source', () => {
    const {
      averageThicknessMicrometres: average,
      thinPlaceMicrometres: thin,
      edgeMicrometres: edge,
    } = depositOfRun(recipe, null, 272)!;
    expect(thin.value).toBeLessThan(average.value);
    expect(edge.value).toBeGreaterThan(average.value);
    expect(thin.source).not.toBe('');
  });

  it('takes what the plan knows of the part, and nothing of a plan for another area', () => {
    const [part] = lampshade.parts;
    const deep = { ...lampshade, parts: [{ ...part!, openShare: 0.15 }] };
    const area = { ...recipe, areaDm2: part!.areaDm2 * part!.pieces };
    const plain = depositOfRun(area, null, 272)!.thinPlaceMicrometres.value;
    expect(depositOfRun(area, deep, 272)!.thinPlaceMicrometres.value).toBeLessThan(plain);
    const doubled = { ...area, areaDm2: 2 * area.areaDm2 };
    expect(depositOfRun(doubled, deep, 544)).toEqual(depositOfRun(doubled, null, 544));
  });

  it('is not there where no charge has flowed', () => {
    expect(depositOfRun(recipe, null, 0)).toBeUndefined();
  });
});
