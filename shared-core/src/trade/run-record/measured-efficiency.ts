/*
 * The cathode efficiency that the balance has shown for each bath, over all of its weighed runs. Computed for the next plan, which offers it beside the table's value.
 * A run is the bath's under whose ledger its controller stood when it began, else its controller's; a simulated run is never a real bath's.
 */
import { accumulatedEfficiency, type AccumulatedEfficiency, type WeighedDeposit } from './weighed-deposit.js';

/** A weighed run, and where it ran. */
export interface WeighedInBath {
  readonly controllerId: string;
  readonly startedAtMs: number;
  readonly bathName: string;
  readonly isSimulated: boolean;
  /** Key of its bath's profile. */
  readonly profile: string;
  readonly chargeAmpereHours: number;
  readonly weighed: WeighedDeposit;
}

/** A bath of the ledger under a controller, from when to when; `toMs` null: it still is. */
export interface BathUnderController {
  readonly bathName: string;
  readonly isSimulated: boolean;
  readonly controllerId: string;
  readonly fromMs: number;
  readonly toMs: number | null;
}

/** One row of GET /api/measured-efficiency. */
export interface MeasuredEfficiency extends AccumulatedEfficiency {
  readonly bathName: string;
  readonly isSimulated: boolean;
  readonly profile: string;
}

/** Most runs first. A bath of which Faraday's law allows no weighing is left out. */
export function measuredEfficiencies(
  runs: readonly WeighedInBath[],
  ledgers: readonly BathUnderController[],
): MeasuredEfficiency[] {
  const baths = new Map<string, { of: Pick<MeasuredEfficiency, 'bathName' | 'isSimulated' | 'profile'>; runs: WeighedInBath[] }>();
  for (const run of runs) {
    const { bathName, isSimulated } = ledgerOf(run, ledgers) ?? run;
    const key = JSON.stringify([bathName, isSimulated, run.profile]);
    const bath = baths.get(key) ?? { of: { bathName, isSimulated, profile: run.profile }, runs: [] };
    bath.runs.push(run);
    baths.set(key, bath);
  }
  return [...baths.values()]
    .flatMap(({ of, runs: weighed }) => {
      const sum = accumulatedEfficiency(weighed.map(({ weighed: one, chargeAmpereHours }) => ({ ...one, chargeAmpereHours })));
      return sum === undefined ? [] : [{ ...of, ...sum }];
    })
    .sort((one, other) => other.runCount - one.runCount);
} // prettier-ignore

function ledgerOf(run: WeighedInBath, ledgers: readonly BathUnderController[]): BathUnderController | undefined {
  return ledgers.find(
    ({ controllerId, isSimulated, fromMs, toMs }) =>
      controllerId === run.controllerId &&
      isSimulated === run.isSimulated &&
      run.startedAtMs >= fromMs &&
      (toMs === null || run.startedAtMs < toMs),
  );
}
