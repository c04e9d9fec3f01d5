/* The cost of a run through the page's routes: from the ledger that was under its controller, the stock, and what was added between its start and its end. */
import { expect, it } from 'vitest';
import type { LedgerBath, RunRecord } from '@bathkeeper/shared-core/trade';
import { CONTROLLER } from '../dashboard-on-trial.js';
import { aNight, RUN } from './a-night.js';

it('is read from the ledger that was under its controller when it began, and from no other', async () => {
  const { page, session } = await aNight();
  const ask = (method: string, path: string, body?: unknown) => page.ask(method, path, body, session);
  const run = async (): Promise<RunRecord> => (await ask('GET', RUN)).body as never;
  const { startedAtMs, lastedUntilMs } = await run();
  const bath = async (name: string, controllerId: string | null): Promise<string> => {
    const { bathId } = (await ask('POST', '/api/baths', { name, profile: 'bright-copper', who: 'Kim' })).body as unknown as LedgerBath; // prettier-ignore
    const path = `/api/baths/${String(bathId)}/entries`;
    if (controllerId !== null)
      await ask('POST', path, { who: 'Kim', atMs: startedAtMs - 60_000, body: { kind: 'put-on', controllerId } });
    return path;
  };
  const bought = { kind: 'bought', of: 'brightener', amount: 5000, price: 100 };
  await ask('POST', '/api/stock/entries', { who: 'Kim', atMs: startedAtMs - 60_000, body: bought });
  const dose = (path: string, atMs: number, amount: number) =>
    ask('POST', path, { who: 'Kim', atMs, body: { kind: 'addition', of: 'brightener', amount } });
  await dose(await bath('Another 20 L', null), startedAtMs + 60_000, 500);
  expect((await run()).cost).toMatchObject({ added: [], brightenerMillilitres: null, total: null });

  const path = await bath('Copper 60 L', CONTROLLER);
  for (const [atMs, amount] of [[startedAtMs - 1000, 7], [startedAtMs + 60_000, 30], [lastedUntilMs + 1000, 9]] as const) await dose(path, atMs, amount); // prettier-ignore
  // 30 mL at 100 for 5 L.
  expect((await run()).cost).toMatchObject({ added: [{ of: 'brightener', amount: 30, cost: 0.6 }], total: { value: 0.6 } }); // prettier-ignore
  const rate = { kind: 'brightener-rate', litresPerKiloampereHour: 0.3, doseMillilitres: 80, source: 'its sheet' };
  await ask('POST', path, { who: 'Kim', atMs: startedAtMs - 60_000, body: rate });
  const { cost, measures } = await run();
  expect(cost.brightenerCost!.value).toBeCloseTo(measures.chargeAmpereHours * 0.3 * 0.02, 9);
  expect(cost.metalGrams!.value).toBeCloseTo(measures.chargeAmpereHours * 1.1855, 2);
  expect(cost.metalCost).toBeNull();
  expect(cost.total!.value).toBeCloseTo(cost.brightenerCost!.value, 9);
});
