/*
 * A canned bath for the browser tests: the controller, its night, its alarms, as the dashboard would tell them.
 * Used by the fixture server; every test takes a fresh one and changes what it is about.
 */
import { Condition, Phase, SupplyKind } from '@bathkeeper/shared-core/control';
import type {
  AlarmView,
  ControllerView,
  LiveView,
  NightSeries,
  RecipeView,
  RunView,
  Snapshot,
} from '@bathkeeper/shared-core/messages';

const HOUR = 3_600_000;
/** Any moment will do; a fixed one makes pictures that compare. 2026-02-10 02:04:00 UTC. */
export const NIGHT_MS = Date.UTC(2026, 1, 10, 2, 4);
const STARTED_MS = NIGHT_MS - 3 * HOUR - 40 * 60_000;

export const recipe: RecipeView = {
  recipeId: 7,
  partName: 'Fluted bell lampshade',
  areaDm2: 12,
  currentDensityAmpsPerDm2: 1.6,
  plateAmps: 19.2,
  strikeAmps: 3.6,
  strikeSeconds: 600,
  rampSeconds: 1800,
  finishAmps: 1.8,
  finishSeconds: 3600,
  holdAmps: 3.6,
  chargeAmpereHours: 271.8,
  averageThicknessMicrometres: 300,
  depositMassGrams: 322.3,
  bath: null,
  metal: 'copper',
  cathodeEfficiency: 1,
  bathWarnCelsius: 28,
  bathHoldCelsius: 32,
  rotationPulsesPerMinute: 12,
  plannedSeconds: 53_000,
};

export function cannedLive(change: Partial<LiveView> = {}): LiveView {
  return {
    takenAtMs: NIGHT_MS - 800,
    phase: Phase.plate,
    phaseSeconds: 10_800,
    liveSeconds: 13_200,
    cathodeCurrentAmps: 19.14,
    terminalVolts: 1.93,
    bathTemperatureCelsius: 24.3,
    permittedAmps: 19.2,
    chargeAmpereHours: 64.1,
    rotationPulsesPerMinute: 12,
    secondsSinceRotationPulse: 3,
    derateFraction: 1,
    isContactorClosed: true,
    conditions: [],
    supplyKind: SupplyKind.analogue,
    rampState: 0,
    loweredToAmps: null,
    permissivesMissing: [],
    ...change,
  };
}

export function cannedRun(change: Partial<RunView> = {}): RunView {
  return {
    runNumber: 3,
    recipe,
    startedAtMs: STARTED_MS,
    endedAtMs: null,
    plannedFinishAtMs: NIGHT_MS + 10 * HOUR + 50 * 60_000,
    chargeAmpereHours: 64.1,
    averageThicknessMicrometres: 70.8,
    depositMassGrams: 76,
    endedBecause: null,
    ...change,
  };
}

export function cannedController(change: Partial<ControllerView> = {}): ControllerView {
  return {
    controllerId: 'north-bench',
    bathName: 'Copper 60 L',
    isSimulated: false,
    isOnline: true,
    lastHeardAtMs: NIGHT_MS - 800,
    live: cannedLive(),
    run: cannedRun(),
    waitingRecipe: null,
    commands: [],
    recordsWaitingAtController: 2,
    mustBePairedAgain: false,
    ...change,
  };
}

export function cannedSnapshot(change: Partial<Snapshot> = {}): Snapshot {
  return {
    nowMs: NIGHT_MS,
    clockSpeed: 1,
    controllers: [cannedController()],
    alarms: [],
    notices: [],
    ...change,
  };
}

export const stalled: AlarmView = {
  alarmId: 12,
  controllerId: 'north-bench',
  name: 'rotation-stalled',
  priority: 'high',
  state: 'unacknowledged',
  title: 'Rotation stopped',
  detail: 'No pulse for 23 s, expected one every 5 s.',
  checkFirst:
    'Look whether the part still turns. Stop the motor before hands go into the tank. Then coupling, motor supply, and whether the part touches an anode.',
  causeAtMs: NIGHT_MS - 25_000,
  raisedAtMs: NIGHT_MS - 3_000,
  notifiedAtMs: NIGHT_MS - 2_000,
  acknowledgedAtMs: null,
  acknowledgedBy: null,
  returnedAtMs: null,
  notification: 'delivered',
};

export const earlierWarm: AlarmView = {
  ...stalled,
  alarmId: 9,
  name: 'current-off-permitted',
  priority: 'medium',
  state: 'normal',
  title: 'Current is not what it should be',
  detail: '17.9 A measured, 19.2 A permitted, for 11 s.',
  checkFirst: "Compare the supply's own ammeter.",
  causeAtMs: NIGHT_MS - 2 * HOUR,
  raisedAtMs: NIGHT_MS - 2 * HOUR + 10_000,
  notifiedAtMs: NIGHT_MS - 2 * HOUR + 11_000,
  acknowledgedAtMs: NIGHT_MS - 2 * HOUR + 200_000,
  acknowledgedBy: 'page',
  returnedAtMs: NIGHT_MS - 2 * HOUR + 60_000,
};

/** The bath whose shaft stands still. */
export function stalledSnapshot(): Snapshot {
  return cannedSnapshot({
    controllers: [
      cannedController({
        live: cannedLive({
          conditions: [Condition.rotationStopped],
          secondsSinceRotationPulse: 25,
        }),
      }),
    ],
    alarms: [stalled, earlierWarm],
  });
}

/** Strike, ramp, plate until now, and the plan to the end; no randomness, so that pictures compare. */
export function cannedNight(alarms: readonly AlarmView[] = []): NightSeries {
  const measured: NightSeries['measured'][number][] = [];
  let charge = 0;
  for (let seconds = 0; seconds <= 13_200; seconds += 20) {
    const asked = seconds < 600 ? 3.6 : seconds < 2400 ? 3.6 + ((seconds - 600) / 1800) * 15.6 : 19.2;
    const wave = 0.06 * Math.sin(seconds / 130) + 0.04 * Math.sin(seconds / 37);
    const dip = seconds > 6000 && seconds < 6060 ? -1.3 : 0;
    const amps = asked + wave + dip;
    charge += (amps * 20) / 3600;
    measured.push({
      atMs: STARTED_MS + seconds * 1000,
      currentAmps: amps,
      currentAmpsMin: amps - 0.12,
      currentAmpsMax: amps + 0.12,
      permittedAmps: asked,
      terminalVolts: 0.6 + asked * 0.07,
      bathTemperatureCelsius: 21.6 + 2.7 * (1 - Math.exp(-seconds / 9000)) + 0.05 * Math.sin(seconds / 900),
      rotationPulsesPerMinute: 12,
      chargeAmpereHours: charge,
    });
  }
  const toCharge = recipe.chargeAmpereHours;
  const plateEnd = NIGHT_MS + ((toCharge - charge) / 19.2) * HOUR;
  const micrometres = (ah: number): number => (300 * ah) / toCharge;
  return {
    controllerId: 'north-bench',
    runNumber: 3,
    startedAtMs: STARTED_MS,
    fromMs: STARTED_MS,
    toMs: plateEnd + HOUR,
    measured,
    planned: [
      { atMs: NIGHT_MS, currentAmps: 19.2, averageThicknessMicrometres: micrometres(charge) },
      { atMs: plateEnd, currentAmps: 19.2, averageThicknessMicrometres: 300 },
      { atMs: plateEnd, currentAmps: 1.8, averageThicknessMicrometres: 300 },
      { atMs: plateEnd + HOUR, currentAmps: 1.8, averageThicknessMicrometres: 302 },
    ],
    alarms: alarms.map((a) => ({ alarmId: a.alarmId, name: a.name, atMs: a.causeAtMs, untilMs: a.returnedAtMs })),
    phases: [
      { phase: Phase.strike, fromMs: STARTED_MS },
      { phase: Phase.ramp, fromMs: STARTED_MS + 600_000 },
      { phase: Phase.plate, fromMs: STARTED_MS + 2_400_000 },
    ],
  };
}
