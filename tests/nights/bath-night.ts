/*
 * Plays a night of firmware and bath alone (`rehearse --only-bath`): the stand-in dashboard acknowledges and keeps the books.
 * Much faster than the whole path, for campaigns of many nights. No alarms: nobody watches.
 */
import {
  bundleText,
  type ScheduledFault,
  simulatedBoardSettings,
  StandInDashboard,
  startNight,
  type TankOptions,
  VirtualBath,
} from '@bathkeeper/firmware/bench';
import { recipeRow } from '@bathkeeper/dashboard';
import { EventColumn } from '@bathkeeper/shared-core/messages';
import { EventKind, Phase } from '@bathkeeper/shared-core/control';
import { conditionName, phaseName } from './code-names.js';
import { nightRecipe } from './night-recipe.js';
import type { NightSummary } from './night-summary.js';
import { openingNear } from './opening-near.js';

export function playBathNight(options: {
  readonly hours: number;
  readonly seed: number;
  readonly faults?: readonly ScheduledFault[];
  readonly bundle?: string;
  readonly tank?: Partial<TankOptions>;
}): { summary: NightSummary; bath: VirtualBath; standIn: StandInDashboard } {
  const startedMs = performance.now();
  const settings = simulatedBoardSettings();
  const standIn = new StandInDashboard(settings);
  const bath = new VirtualBath({
    bundle: options.bundle ?? bundleText(),
    seed: options.seed,
    settings,
    tank: options.tank ?? {},
    faults: options.faults ?? [],
    network: standIn,
  });
  const { recipe } = nightRecipe(options.hours, 1, 0);
  const problem = startNight(bath, standIn, recipeRow(recipe));
  const problems = problem === undefined ? [] : [problem];
  standIn.play(bath, options.hours * 3600 - bath.nightSeconds);
  const trueCharge = bath.truth.chargeMilliCoulombs;
  standIn.playUntil(bath, () => (standIn.live?.recordsWaiting ?? 99) < 10, 900);
  problems.push(...standIn.complaints);
  if (bath.exceptionCount > 0) problems.push(`The program threw ${String(bath.exceptionCount)} exceptions.`);
  const { ledger } = standIn;
  const count = ledger?.records;
  const trips: NightSummary['trips'][number][] = [];
  let lastCause = 0;
  for (const row of ledger?.events ?? []) {
    if (row[EventColumn.kind] === EventKind.conditionRaised) lastCause = row[EventColumn.code]!;
    if (row[EventColumn.kind] !== EventKind.phaseEntered || row[EventColumn.code] !== Phase.trip) continue;
    const boot = bath.bootLog[row[EventColumn.boot]! - 1]?.atSeconds ?? 0;
    const atSeconds = boot + row[EventColumn.uptime]! / 10;
    const opened = openingNear(bath.contactorLog, atSeconds);
    trips.push({
      name: conditionName(lastCause),
      atSeconds,
      contactorOpenAtSeconds: opened?.atSeconds ?? null,
    });
  }
  return {
    summary: {
      seed: options.seed,
      hours: options.hours,
      wallSeconds: (performance.now() - startedMs) / 1000,
      trueChargeAmpereHours: trueCharge / 3.6e6,
      accountedChargeAmpereHours: Math.max(0, ...(ledger?.chargeOfRun.values() ?? [])) / 3.6e6,
      largestCurrentAmps: bath.truth.largestCurrentAmps,
      records: {
        sent: (count?.delivered ?? 0) + (count?.missing ?? 0),
        stored: count?.delivered ?? 0,
        lost: count?.missing ?? 0,
        doubled: count?.overlapped ?? 0,
      },
      faults: bath.faultLog.map(({ name, atSeconds }) => ({ name, atSeconds })),
      alarms: [],
      trips,
      ended: `It ended in phase ${phaseName(standIn.live?.phase)}.`,
      problems,
    },
    bath,
    standIn,
  };
}
