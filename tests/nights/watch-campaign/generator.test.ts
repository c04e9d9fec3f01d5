/*
 * The fast generator of live messages against nights of the real bundle in the virtual bath, same part, recipe and noise: how often it speaks, how much its
 * readings mutter from second to second, and how half-minute blocks depend on each other. Both are played anew here; nothing is compared with kept numbers.
 */
import {
  bundleText,
  defaultTankOptions,
  simulatedBoardSettings,
  StandInDashboard,
  startNight,
  VirtualBath,
} from '@bathkeeper/firmware/bench';
import { recipeRow } from '@bathkeeper/dashboard';
import { Phase, SupplyKind } from '@bathkeeper/shared-core/control';
import { LiveKey } from '@bathkeeper/shared-core/messages';
import { leastSquaresSlope } from '@bathkeeper/shared-core/watch';
import { describe, expect, it } from 'vitest';
import { nightRecipe } from '../night-recipe.js';
import { LiveNight } from './live-night.js';
import { SMOOTH } from './random-watch-night.js';

const HOURS = 2;
const SEEDS = [1, 2, 3];
/** Of plating, once the paint has closed. */
const SECONDS = 3600;
const BLOCK_SECONDS = 30;

interface Heard {
  readonly atSeconds: number;
  readonly amps: number;
  readonly volts: number;
  readonly celsius: number;
  readonly turnSeconds: number;
}

class ListeningDashboard extends StandInDashboard {
  readonly heard: Heard[] = [];

  override take(topic: string, payload: string): void {
    super.take(topic, payload);
    if (!topic.endsWith('/live')) return;
    const message = JSON.parse(payload) as Record<string, number>;
    if (message[LiveKey.phase] !== Phase.plate) return;
    this.heard.push({
      atSeconds: message.u! / 10,
      amps: message[LiveKey.current]! / 100,
      volts: message[LiveKey.voltage]! / 1000,
      celsius: message[LiveKey.temperature]! / 100,
      turnSeconds: message[LiveKey.pulsePeriod]! / 1000,
    });
  }
}

function realNight(seed: number): Heard[] {
  const settings = simulatedBoardSettings();
  const listening = new ListeningDashboard(settings);
  const bath = new VirtualBath({ bundle: bundleText(), seed, settings, tank: {}, network: listening });
  expect(startNight(bath, listening, recipeRow(nightRecipe(HOURS, 1, 0).recipe))).toBeUndefined();
  listening.play(bath, HOURS * 3600 - bath.nightSeconds);
  return listening.heard.slice(-SECONDS);
}

function fastNight(seed: number): Heard[] {
  const { recipe } = nightRecipe(HOURS, 1, 0);
  const night = new LiveNight({
    ...{ seed, recipe, supplyKind: SupplyKind.analogue, tank: {}, rough: SMOOTH, doings: [] },
    ...{ hottestCelsius: defaultTankOptions.startCelsius, seconds: HOURS * 3600 },
  });
  const heard: Heard[] = [];
  while (night.seconds < HOURS * 3600) {
    const live = night.second();
    if (live.phase !== Phase.plate) continue;
    heard.push({
      atSeconds: night.seconds,
      amps: live.cathodeCurrentAmps!,
      volts: live.terminalVolts!,
      celsius: live.bathTemperatureCelsius!,
      turnSeconds: 60 / live.rotationPulsesPerMinute!,
    });
  }
  return heard.slice(-SECONDS);
}

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
const rootMeanSquare = (values: readonly number[]): number => Math.sqrt(mean(values.map((value) => value * value)));

/** Standard deviation of one reading, by the differences from second to second. */
function muttering(values: readonly number[]): number {
  return rootMeanSquare(values.slice(1).map((value, index) => value - values[index]!)) / Math.SQRT2;
}

/** Means of half a minute, what is left of them about their own straight line. */
function blocks(heard: readonly Heard[], quantity: (one: Heard) => number): number[] {
  const means: number[] = [];
  for (let from = 0; from + BLOCK_SECONDS <= heard.length; from += BLOCK_SECONDS)
    means.push(mean(heard.slice(from, from + BLOCK_SECONDS).map(quantity)));
  const places = means.map((_, index) => index);
  const { slope } = leastSquaresSlope(places, means);
  const middle = mean(means);
  return means.map((value, index) => value - middle - slope * (index - mean(places)));
}

function correlation(values: readonly number[]): number {
  return mean(values.slice(1).map((value, index) => value * values[index]!)) / mean(values.map((value) => value ** 2));
}

/** One number for all the seeds. */
function over(nights: readonly Heard[][], figure: (heard: readonly Heard[]) => number): number {
  return mean(nights.map((heard) => figure(heard)));
}

describe('the fast generator of live nights', () => {
  const real = SEEDS.map(realNight);
  const fast = SEEDS.map(fastNight);
  const ohms = ({ volts, amps }: Heard): number => volts / amps;
  const ratio = (figure: (heard: readonly Heard[]) => number): number => over(fast, figure) / over(real, figure);

  it('speaks once a second, as the bundle does', () => {
    for (const heard of real) {
      const gaps = heard.slice(1).map((one, index) => one.atSeconds - heard[index]!.atSeconds);
      expect(mean(gaps)).toBeCloseTo(1, 2);
      expect(Math.max(...gaps)).toBeLessThan(1.5);
    }
    for (const heard of fast) expect(heard.at(-1)!.atSeconds - heard[0]!.atSeconds).toBe(SECONDS - 1);
  });

  it.each([
    ['current', (one: Heard) => one.amps],
    ['voltage', (one: Heard) => one.volts],
    ['bath temperature', (one: Heard) => one.celsius],
    ['time of a turn', (one: Heard) => one.turnSeconds],
  ] as const)('mutters in its %s from second to second within a third of what the bundle tells', (_, quantity) => {
    const found = ratio((heard) => muttering(heard.map(quantity)));
    expect(found).toBeGreaterThan(0.75);
    expect(found).toBeLessThan(1.34);
  });

  // The supply's wandering has a memory of ten minutes: an hour holds six of them, so that three hours tell its size to a third at best.
  it.each([
    ['current', (one: Heard) => one.amps, 0.6, 1.7],
    ['resistance', ohms, 0.6, 1.7],
  ] as const)('has half-minute blocks of %s that spread as those of the bundle', (_, quantity, least, most) => {
    const found = ratio((heard) => rootMeanSquare(blocks(heard, quantity)));
    expect(found).toBeGreaterThan(least);
    expect(found).toBeLessThan(most);
  });

  it.each([
    ['current', (one: Heard) => one.amps],
    ['resistance', ohms],
  ] as const)('has blocks of %s that depend on their neighbours as those of the bundle do', (_, quantity) => {
    const difference =
      over(fast, (heard) => correlation(blocks(heard, quantity))) -
      over(real, (heard) => correlation(blocks(heard, quantity)));
    expect(Math.abs(difference)).toBeLessThan(0.25);
  });

  it('stands at the same current, voltage and temperature', () => {
    expect(ratio((heard) => mean(heard.map(({ amps }) => amps)))).toBeCloseTo(1, 2);
    expect(ratio((heard) => mean(heard.map(({ volts }) => volts)))).toBeCloseTo(1, 2);
    expect(Math.abs(over(fast, (heard) => mean(heard.map(({ celsius }) => celsius))) - over(real, (heard) => mean(heard.map(({ celsius }) => celsius))))).toBeLessThan(0.1); // prettier-ignore
  });
});
