/*
 * Draws a clean night for the watch from a seed: which recipe, supply, part, room, and how much its readings mutter. The same seed gives the
 * same night for ever. Used by the campaign; a fault is put on top by `watch-faults.ts`. It plays nothing.
 */
import { defaultTankOptions, SeededNoise, type TankOptions } from '@bathkeeper/firmware/bench';
import { type Recipe, SupplyKind } from '@bathkeeper/shared-core/control';

export interface Roughness {
  /** Amplitude of the voltage's swing with each turn of the part, as a fraction. */
  readonly turnVoltageFraction: number;
  /** Standard deviation of the slip ring's resistance, and its memory. */
  readonly slipRingOhms: number;
  readonly slipRingMemorySeconds: number;
  /** Evaporation and drag-out, anode wear. */
  readonly conductivityFractionPerHour: number;
  readonly gapFractionPerHour: number;
}

export type Doing =
  | { readonly what: 'lower'; readonly atSeconds: number; readonly fraction: number }
  | { readonly what: 'hold'; readonly atSeconds: number; readonly seconds: number }
  /** No message comes for so long. */
  | { readonly what: 'unheard'; readonly atSeconds: number; readonly seconds: number }
  | { readonly what: 'dashboard-restart'; readonly atSeconds: number; readonly seconds: number };

export interface WatchNight {
  readonly seed: number;
  readonly recipe: Recipe;
  readonly supplyKind: SupplyKind;
  readonly tank: Partial<TankOptions>;
  readonly rough: Roughness;
  readonly doings: readonly Doing[];
  /** What its own heat and the room make of the bath at most, about. */
  readonly hottestCelsius: number;
  /** Planned length from power-up. */
  readonly seconds: number;
}

/** `smooth`: as the virtual bath is. `usual`: a rig in order. `rough`: slip rings that mutter for minutes, a supply that wanders. */
export type NightKind = 'smooth' | 'usual' | 'rough';

/** As the virtual bath is: nothing mutters but what its own parts do. */
export const SMOOTH: Roughness = {
  turnVoltageFraction: 0,
  slipRingOhms: 0,
  slipRingMemorySeconds: 60,
  conductivityFractionPerHour: 0,
  gapFractionPerHour: 0,
};

/** Of leads, clips and slip ring at full current: 4 m of 10 to 16 mm2 at 31 A drop 0.15 to 0.24 V (IEC 60228 class 5), clips a little more. */
const LEAD_VOLTS_MIN = 0.1;
const LEAD_VOLTS_MAX = 0.3;

/** The electrodes' own part of the voltage, about. */
const KINETIC_VOLTS = 0.3;
/** A clean bath stays so far below its limit. */
const LIMIT_KELVIN = 1;

type Between = (least: number, most: number) => number;

/** Of the virtual bath's own parts. All common practice, no source. */
function noiseOf(kind: NightKind, between: Between): Partial<TankOptions> {
  if (kind === 'smooth') return {};
  const isRough = kind === 'rough';
  return {
    supplyWanderFraction: between(0.0003, isRough ? 0.003 : 0.0012),
    supplyRippleFraction: between(0.01, 0.06),
    turnJitterFraction: between(0.005, 0.03),
    probeNoiseCelsius: between(0.03, 0.09),
  };
}

function roughnessOf(kind: NightKind, plateAmps: number, between: Between): Roughness {
  if (kind === 'smooth') return SMOOTH;
  const isRough = kind === 'rough';
  return {
    turnVoltageFraction: between(0, 0.02),
    slipRingOhms: between(0, isRough ? 0.006 : 0.0015) / plateAmps,
    slipRingMemorySeconds: between(5, isRough ? 300 : 60),
    conductivityFractionPerHour: between(-0.004, 0.004),
    gapFractionPerHour: between(0, 0.004),
  };
}

export function randomWatchNight(seed: number, kind: NightKind): WatchNight {
  const noise = new SeededNoise(seed, 'watch night');
  const between = (least: number, most: number): number => least + (most - least) * noise.uniform();
  const oneOf = <T>(choices: readonly T[]): T => choices[noise.uint32() % choices.length]!;

  const hours = between(2, 12);
  const supplyKind = oneOf([
    ...[SupplyKind.analogue, SupplyKind.analogue, SupplyKind.scpi, SupplyKind.scpi],
    SupplyKind.byHand,
  ]);
  const areaDm2 = Math.round(between(3, 16) * 10) / 10;
  const density = between(0.8, 2.2);
  const plateAmps = Math.min(34, Math.round(areaDm2 * density * 10) / 10);
  const strikeSeconds = Math.round(between(60, 900));
  const rampSeconds = Math.round(between(300, 3600));
  const rotationPulsesPerMinute = oneOf([0, 6, 6, 6, 8, 10, 12]);
  const finishSeconds = oneOf([0, 600, 3600]);
  const plateSeconds = hours * 3600;
  const recipe: Recipe = {
    recipeId: 1 + (seed % 1000),
    areaDm2,
    strikeAmps: Math.round(areaDm2 * between(0.2, 0.5) * 100) / 100,
    strikeSeconds,
    rampSeconds,
    plateAmps,
    chargeMilliCoulombs: Math.round(plateAmps * plateSeconds * 1000),
    finishAmps: Math.round(areaDm2 * 0.15 * 100) / 100,
    finishSeconds,
    holdAmps: Math.round(areaDm2 * 0.3 * 100) / 100,
    longestSeconds: 50_400,
    rotationPulsesPerMinute,
    startCelsiusMin: 18,
    bathWarnCelsius: oneOf([28, 28, 30]),
    bathHoldCelsius: 33,
  };
  const leadVolts = between(LEAD_VOLTS_MIN, LEAD_VOLTS_MAX);
  const roomSwingCelsius = between(0.5, 2);
  const roomCelsius = between(18.7 + roomSwingCelsius, 23.5);
  const conductivitySiemensPerMetre = between(17, 40);
  const volumeLitres = between(40, 120);
  // Somebody who leaves a bath alone has seen to it that its own heat does not carry it over its limit: a fan, a larger tank.
  const cellVolts =
    (density * 100 * defaultTankOptions.anodeCathodeGapMetres) / conductivitySiemensPerMetre +
    leadVolts +
    KINETIC_VOLTS;
  const kelvinLeft = recipe.bathWarnCelsius - LIMIT_KELVIN - roomCelsius - roomSwingCelsius;
  const lossWattsPerKelvin = Math.max(
    defaultTankOptions.lossWattsPerKelvin * (volumeLitres / defaultTankOptions.volumeLitres) ** (2 / 3),
    (plateAmps * cellVolts) / kelvinLeft,
  );
  const tank: Partial<TankOptions> = {
    areaDm2,
    paintOhmsPerSquare: between(0.3, 6),
    conductivitySiemensPerMetre,
    conductivityFractionPerKelvin: between(0.01, 0.02),
    leadOhms: leadVolts / plateAmps,
    pulsesPerMinute: rotationPulsesPerMinute === 0 ? 6 : rotationPulsesPerMinute,
    startCelsius: Math.max(19.5, roomCelsius + between(-1, 3)),
    roomCelsius,
    roomSwingCelsius,
    volumeLitres,
    lossWattsPerKelvin,
    startHour: between(17, 24),
    supplyGainErrorFraction: between(-0.01, 0.01),
    ...noiseOf(kind, between),
  };
  const rough = roughnessOf(kind, plateAmps, between);
  const startSeconds = strikeSeconds + rampSeconds + 60;
  const within = (): number => Math.round(between(60, startSeconds + plateSeconds));
  const doings: Doing[] = [];
  if (noise.uniform() < 0.3) doings.push({ what: 'lower', atSeconds: within(), fraction: between(0.4, 0.95) });
  if (noise.uniform() < 0.1) doings.push({ what: 'hold', atSeconds: within(), seconds: Math.round(between(60, 2400)) });
  if (noise.uniform() < 0.2)
    doings.push({ what: 'unheard', atSeconds: within(), seconds: Math.round(between(5, 3000)) });
  if (noise.uniform() < 0.3)
    doings.push({ what: 'dashboard-restart', atSeconds: within(), seconds: Math.round(between(5, 1800)) });
  const seconds = startSeconds + plateSeconds + finishSeconds + 600;
  const ownKelvin = (plateAmps * cellVolts) / lossWattsPerKelvin;
  const hottestCelsius = Math.max(tank.startCelsius!, roomCelsius + roomSwingCelsius + ownKelvin);
  return { seed, recipe, supplyKind, tank, rough, doings, hottestCelsius, seconds };
}
