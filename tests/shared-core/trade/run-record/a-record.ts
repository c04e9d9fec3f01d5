/* The record of one whole night of the demonstration's lampshade, with a stop of its rotation and an interruption. Used by the tests of sheet and page. */
import { Phase } from '@bathkeeper/shared-core/control';
import { BringUpStep } from '@bathkeeper/shared-core/messages';
import { depositOfRun, type RunCost, type RunRecord } from '@bathkeeper/shared-core/trade';
import { earlierWarm, NIGHT_MS, recipe, stalled } from '../../../browser/canned-night.js';

const HOUR = 3_600_000;
/** 22:04 to 06:40 UTC. */
export const STARTED_MS = NIGHT_MS - 4 * HOUR;
export const ENDED_MS = STARTED_MS + 8.6 * HOUR;

/** No ledger, no stock, no price. */
export const uncosted: RunCost = {
  metalGrams: null,
  metalCost: null,
  brightenerMillilitres: null,
  brightenerCost: null,
  electricityCost: null,
  added: [],
  total: null,
};

export function aRecord(change: Partial<RunRecord> = {}): RunRecord {
  return {
    controllerId: 'north-bench',
    incarnation: 7,
    run: 3,
    bathName: 'Copper 60 L',
    isSimulated: false,
    recipe: { ...recipe, bath: 'bright-copper', chargeAmpereHours: 154.2, averageThicknessMicrometres: 170 },
    plan: null,
    startedAtMs: STARTED_MS,
    endedAtMs: ENDED_MS,
    endedBecause: 'the charge was reached',
    lastedUntilMs: ENDED_MS,
    goesOn: false,
    phases: [
      { phase: Phase.strike, fromMs: STARTED_MS, seconds: 600 },
      { phase: Phase.ramp, fromMs: STARTED_MS + 600_000, seconds: 1800 },
      { phase: Phase.plate, fromMs: STARTED_MS + 2_400_000, seconds: 24_960 },
      { phase: Phase.finish, fromMs: ENDED_MS - HOUR, seconds: 3600 },
    ],
    interruptions: [
      {
        fromMs: STARTED_MS + 3 * HOUR,
        untilMs: STARTED_MS + 3 * HOUR + 80_000,
        seconds: 80,
        adhesion:
          'Long enough that new copper may not adhere to what stood without current: take the part out, dip it in 5 to 10 % sulphuric acid, rinse, go on at low current, and mark the piece.',
      },
    ],
    happened: [{ atMs: STARTED_MS + 5 * HOUR, words: 'The current was lowered from afar to 12 A.' }],
    measures: {
      recordedSeconds: 30_960,
      chargeAmpereHours: 154.2,
      energyWattHours: 301.4,
      currentMeanAmps: 17.9,
      currentMinAmps: 0.1,
      currentMaxAmps: 21.2,
      bathMeanCelsius: 24.1,
      bathMinCelsius: 21.6,
      bathMaxCelsius: 25.3,
    },
    deposit: depositOfRun({ ...recipe, bath: 'bright-copper' }, null, 154.2) ?? null,
    calibration: [{ step: BringUpStep.currentCalibrated, atMs: STARTED_MS - 40 * 24 * HOUR, a: 28_310 }],
    alarms: [
      { alarm: { ...earlierWarm, acknowledgedBy: 'Robin', raisedAtMs: STARTED_MS + HOUR }, journal: [] },
      {
        alarm: {
          ...stalled,
          acknowledgedAtMs: NIGHT_MS + 60_000,
          acknowledgedBy: 'page',
          returnedAtMs: NIGHT_MS + 90_000,
        },
        journal: [],
      },
    ],
    entries: [],
    weighed: null,
    cost: uncosted,
    bathAge: {
      bathId: 4,
      bathName: 'Copper 60 L',
      madeUpAtMs: null,
      litres: 58.5,
      beforeAmpereHours: 2210,
      afterAmpereHours: 2364.2,
    },
    ...change,
  };
}
