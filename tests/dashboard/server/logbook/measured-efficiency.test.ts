/* What the weighed runs say of their bath, over HTTP: from the weighings of a real store, and gone with the run or its weighing. */
import { expect, it } from 'vitest';
import type { MeasuredEfficiency, RunEntry } from '@bathkeeper/shared-core/trade';
import { aNight, RUN } from './a-night.js';

it('is told of each bath that was weighed before and after, without runs that were deleted and weighings that were undone', async () => {
  const { page, session } = await aNight();
  const measured = async (): Promise<MeasuredEfficiency[]> =>
    (await page.ask('GET', '/api/measured-efficiency', undefined, session)).body as never;
  const weigh = async (when: string, grams: number): Promise<RunEntry> =>
    (await page.ask('POST', `${RUN}/entries`, { who: 'Robin', body: { kind: 'weighing', when, grams, uncertaintyGrams: 0.1 } }, session)).body as never; // prettier-ignore
  expect((await page.ask('GET', '/api/measured-efficiency')).status).toBe(401);
  await weigh('before', 812);
  expect(await measured()).toEqual([]);
  const after = await weigh('after', 815.7);
  const [bath, ...others] = await measured();
  expect(others).toEqual([]);
  expect(bath).toMatchObject({ bathName: 'Copper 60 L', profile: 'bright-copper', runCount: 1 });
  // 11,400 C are 3.754 g of copper at most (computed from the SI); 3.7 g of them are 98.6 %.
  expect(bath!.cathodeEfficiency).toBeCloseTo(0.9856, 3);
  await page.ask('POST', `${RUN}/delete`, { who: 'Robin' }, session);
  expect(await measured()).toEqual([]);
  await page.ask('POST', `${RUN}/bring-back`, {}, session);
  expect(await measured()).toHaveLength(1);
  await page.ask('POST', `${RUN}/entries/${String(after.entryId)}/undo`, { who: 'R', reason: 'wet' }, session);
  expect(await measured()).toEqual([]);
});
