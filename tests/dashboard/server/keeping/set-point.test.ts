/*
 * The set-point in a series against the supervisor's own: a night at the virtual bath's tank, cold at first, lowered by a person, held and let go on, in which what
 * the control step took as set-point is noted in each second and then looked for in what the dashboard stored.
 */
import { describe, expect, it } from 'vitest';
import { recipeRow } from '@bathkeeper/dashboard';
import { Command, EventKind, Phase, type Recipe, setPointAmps, SupplyKind } from '@bathkeeper/shared-core/control';
import type { Series } from '@bathkeeper/shared-core/messages';
import { meanSetPointAmps, setPointCourse } from '@bathkeeper/shared-core/trade';
import { seriesOf } from '../../../../dashboard/server/keeping/series.js';
import { openStore, type Store } from '../../../../dashboard/server/store/store.js';
import { LiveNight } from '../../../nights/watch-campaign/live-night.js';
import { SMOOTH } from '../../../nights/watch-campaign/random-watch-night.js';
import { CONTROLLER } from '../dashboard-on-trial.js';
import { eventRow, INCARNATION, recordRow } from '../quiet-bath.js';

const recipe: Recipe = {
  ...{ recipeId: 41, areaDm2: 12, strikeAmps: 4, strikeSeconds: 120, rampSeconds: 1200, plateAmps: 20 },
  ...{ chargeMilliCoulombs: 140_000_000, finishAmps: 2, finishSeconds: 300, holdAmps: 3, longestSeconds: 36_000 },
  ...{ rotationPulsesPerMinute: 6, startCelsiusMin: 18, bathWarnCelsius: 28, bathHoldCelsius: 32 },
};
/** A whole hour, so that the buckets of every length begin with it. */
const BEGIN_MS = Date.UTC(2026, 1, 9, 22);

interface Second {
  readonly phase: Phase;
  /** While it passed, as are the others. */
  readonly setPointAmps: number;
  readonly permittedAmps: number;
  readonly phaseMeanwhile: Phase;
  readonly isEased: boolean;
}

interface Played {
  readonly store: Store;
  readonly seconds: readonly Second[];
}

/** Started in a bath at its least temperature, in a cold room that somebody heats later. */
function played(supplyKind: SupplyKind, isEased: boolean): Played {
  const night = new LiveNight({
    ...{ seed: 3, recipe, supplyKind, rough: SMOOTH, doings: [], hottestCelsius: 25, seconds: 20_000 },
    tank: isEased ? { startCelsius: 18.2, roomCelsius: 8, lossWattsPerKelvin: 60, roomSwingCelsius: 0 } : {},
  });
  const seconds: Second[] = [];
  const records: number[][] = [];
  const events: number[][] = [];
  let inPhase = 0;
  let [lowered, held, wentOn, lifted] = [false, false, false, false];
  while (night.state.phase !== Phase.done && night.seconds < 20_000) {
    const { state } = night;
    const meanwhile = {
      phaseMeanwhile: state.phase,
      setPointAmps: setPointAmps(recipe, state.phase, state.ramp.doneMs / 1000, state.rampFromAmps),
      permittedAmps: state.outputs.permittedAmps,
      isEased: state.commandedAmps < setPointAmps(recipe, state.phase, state.ramp.doneMs / 1000, state.rampFromAmps),
    };
    if (isEased) {
      if (night.seconds === 1500) Object.assign(night.parts.tank.options, { roomCelsius: 26 });
      if (inPhase === 600 && state.phase === Phase.plate && !lowered) {
        [night.command, night.lowerToAmps, lowered] = [Command.lower, 12, true];
      } else if (inPhase === 1200 && state.phase === Phase.plate && lowered && !held) {
        [night.command, held] = [Command.hold, true];
      } else if (inPhase === 200 && state.phase === Phase.hold) {
        [night.isStartPressed, wentOn] = [true, true];
      } else if (inPhase === 300 && state.phase === Phase.plate && wentOn && !lifted) {
        [night.isStartPressed, lifted] = [true, true];
      }
    }
    const { phase } = state;
    const live = night.second();
    inPhase = live.phase === phase ? inPhase + 1 : 0;
    const first = night.seconds;
    const permittedSum = Math.round(100 * meanwhile.permittedAmps);
    records.push(recordRow({ first, uptime: 10 * first, run: state.runNumber, phase: live.phase, permittedSum, charge: state.chargeMilliCoulombs })); // prettier-ignore
    for (const { kind, code, a, b } of night.events)
      events.push(
        eventRow({ sequence: events.length + 1, uptime: 10 * first, run: state.runNumber, kind, code, a, b }),
      );
    seconds.push({ ...meanwhile, phase: live.phase });
  }
  if (isEased) expect([lowered, held, wentOn, lifted], 'all was done').toEqual([true, true, true, true]);
  expect(night.state.phase).toBe(Phase.done);
  return { store: stored(records, events), seconds };
}

function stored(records: number[][], events: number[][]): Store {
  const store = openStore(':memory:');
  const uptimeTenths = 10 * records.length;
  const startTenths = events.find((row) => row[4] === EventKind.runStarted)![2]!;
  store.database.prepare('INSERT INTO recipes VALUES (41, ?, 0, ?, ?)').run(CONTROLLER, '{}', JSON.stringify(recipeRow(recipe)));
  store.database
    .prepare(`INSERT INTO runs VALUES (?, 1, ${String(INCARNATION)}, 41, CAST(? AS INTEGER), NULL, NULL, 0)`)
    .run(CONTROLLER, BEGIN_MS + 100 * startTenths);
  store.takeOutbox({ controllerId: CONTROLLER, incarnation: INCARNATION, boot: 1, uptimeTenths, receivedAtMs: BEGIN_MS + 100 * uptimeTenths, records, events });
  return store;
} // prettier-ignore

/** Mean over the records of each bucket, which begin where they were taken. */
function expectedOf(
  { seconds }: Played,
  series: Series,
  index: number,
): { setPoint: number; within: readonly Second[] } {
  const from = (series.startMs[index]! - BEGIN_MS) / 1000;
  const within = seconds.slice(Math.max(0, from - 1), from - 1 + series.bucketMs / 1000);
  return { setPoint: within.reduce((sum, one) => sum + one.setPointAmps, 0) / within.length, within };
}

const asked = (night: Played, seconds: number, points: number): Series =>
  seriesOf(night.store.database, {
    controllerId: CONTROLLER,
    fromMs: BEGIN_MS,
    toMs: BEGIN_MS + seconds * 1000,
    points,
  });

describe('the set-point in a series', () => {
  const eased = played(SupplyKind.analogue, true);

  it('is in each second what the control step asked for, and unknown only where a ramp was eased', () => {
    let known = 0;
    for (let from = 0; from < eased.seconds.length; from += 3000) {
      const series = seriesOf(eased.store.database, { controllerId: CONTROLLER, fromMs: BEGIN_MS + from * 1000, toMs: BEGIN_MS + (from + 3000) * 1000, points: 3600 }); // prettier-ignore
      expect(series).toMatchObject({ source: 'records', bucketMs: 1000 });
      series.setPointAmps.forEach((setPoint, index) => {
        const { within } = expectedOf(eased, series, index);
        const second = within[0]!;
        const at = `second ${String((series.startMs[index]! - BEGIN_MS) / 1000)}: ${JSON.stringify(second)}`;
        if (setPoint === null) expect(second.phaseMeanwhile, at).toBe(Phase.ramp);
        // The wire carries hundredths.
        else expect(Math.abs(setPoint - second.setPointAmps), at).toBeLessThanOrEqual(0.0051);
        if (setPoint !== null) known++;
      });
    }
    // What was eased was not taken for what was asked: the night has such seconds of every sort.
    const easedIn = (phase: Phase) => eased.seconds.filter((one) => one.isEased && one.phaseMeanwhile === phase).length;
    expect(easedIn(Phase.plate)).toBeGreaterThan(800);
    expect(easedIn(Phase.ramp)).toBeGreaterThan(200);
    const easedRamp = eased.seconds.filter((one) => one.phaseMeanwhile === Phase.ramp).length;
    expect(known).toBeGreaterThan(eased.seconds.length - easedRamp);
  });

  it.each([
    ['minutes', 60, 200],
    ['ten-minutes', 600, 30],
  ] as const)('is the mean of it from sums of %s, and says nothing where a ramp was eased among others', (source, seconds, points) => {
    const series = asked(eased, seconds * (points - 1), points);
    expect(series).toMatchObject({ source, bucketMs: seconds * 1000 });
    let known = 0;
    series.setPointAmps.forEach((setPoint, index) => {
      const { setPoint: expected, within } = expectedOf(eased, series, index);
      if (setPoint === null) {
        expect(within.some((one) => one.phaseMeanwhile === Phase.ramp)).toBe(true);
        return;
      }
      known++;
      // Its records were taken a second before the bucket's end at most, and the last is not over.
      expect(Math.abs(setPoint - expected), `bucket ${String(index)}`).toBeLessThanOrEqual((2 * recipe.plateAmps) / within.length);
    });
    expect(known).toBeGreaterThan(series.startMs.length / 2);
    expect(series.setPointAmps.some((setPoint, index) => setPoint === 20 && series.permittedAmps[index]! < 12.1)).toBe(true);
  }); // prettier-ignore

  it('is everywhere what was permitted in a night in which nothing was eased', () => {
    const night = played(SupplyKind.analogue, false);
    const series = asked(night, 3000, 3600);
    series.setPointAmps.forEach((setPoint, index) => {
      expect(setPoint, `second ${String(index)}`).toBeCloseTo(series.permittedAmps[index]!, 2);
    });
    expect(Math.max(...series.setPointAmps.map((one) => one ?? 0))).toBeCloseTo(20, 6);
  });

  it('is not known of a recipe that this store does not know, but where nothing eased it', () => {
    const { store, seconds } = played(SupplyKind.analogue, true);
    store.database.exec('DELETE FROM recipes');
    const series = seriesOf(store.database, { controllerId: CONTROLLER, fromMs: BEGIN_MS, toMs: BEGIN_MS + 12_000_000, points: 30 }); // prettier-ignore
    const lowered = series.permittedAmps.findIndex((amps) => Math.abs(amps - 12) < 0.01);
    expect(series.setPointAmps[lowered]).toBeNull();
    expect(seconds.length).toBeGreaterThan(3000);
  });
});

describe('the course of a set-point', () => {
  const told = (atMs: number, kind: EventKind, code: number, incarnation = 1) => ({ atMs, kind, code, a: 0, b: 0, incarnation, recipe });
  const within = (phase: Phase, permittedMeanAmps: number, fromMs = 10_000, untilMs = 20_000) => ({ fromMs, untilMs, phase, permittedMeanAmps, isWhole: true });
  const plating = setPointCourse([told(0, EventKind.phaseEntered, Phase.plate)]);

  it('believes no event that the records contradict', () => {
    expect(meanSetPointAmps(plating, within(Phase.plate, 12))).toBe(20);
    // The end was never told.
    expect(meanSetPointAmps(plating, within(Phase.done, 0))).toBeNull();
  });

  it('is nothing where no run was told of, unless current was permitted', () => {
    expect(meanSetPointAmps([], within(Phase.idle, 0))).toBe(0);
    expect(meanSetPointAmps([], within(Phase.plate, 12))).toBeNull();
  });

  it('takes a lowering to the next start, and a derating to a restart or another memory', () => {
    const ramp = (...before: ReturnType<typeof told>[]) => setPointCourse([...before, told(5000, EventKind.phaseEntered, Phase.ramp)]).at(-1)!.isEased;
    const BATH_COLD = 27;
    expect(ramp(told(1, EventKind.lowered, 0))).toBe(true);
    expect(ramp(told(1, EventKind.lowered, 0), told(2, EventKind.phaseEntered, Phase.polarity))).toBe(false);
    expect(ramp(told(1, EventKind.lowered, 0), told(2, EventKind.rampTold, 5))).toBe(false);
    expect(ramp(told(1, EventKind.conditionRaised, BATH_COLD), told(2, EventKind.phaseEntered, Phase.polarity))).toBe(true);
    expect(ramp(told(1, EventKind.conditionRaised, BATH_COLD), told(2, EventKind.booted, 0))).toBe(false);
    expect(ramp(told(1, EventKind.conditionRaised, BATH_COLD), told(2, EventKind.phaseEntered, Phase.polarity, 2))).toBe(false);
  });
}); // prettier-ignore
