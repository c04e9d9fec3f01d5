/*
 * Draws a night from a seed: how long, which supply, which memory, which part, what breaks and when, and when somebody comes to the bath.
 * Called by the campaign for each of its nights; the same seed and hours give the same night for ever. It plays nothing.
 */
import {
  BATH_PROBE_ROM,
  type BenchSupplyKind,
  type BoardSettings,
  CLIP_ROMS,
  faultKinds,
  type FaultName,
  type ScheduledFault,
  SeededNoise,
  simulatedBoardSettings,
  type TankOptions,
} from '@bathkeeper/firmware/bench';

export interface PlannedNight {
  readonly seed: number;
  readonly hours: number;
  readonly supplyKind: BenchSupplyKind;
  readonly memory: 'FRAM' | 'flash';
  readonly settings: BoardSettings;
  readonly tank: Partial<TankOptions>;
  /** In the order of RecipeColumn. */
  readonly recipeRow: readonly number[];
  readonly plateAmps: number;
  readonly rotationPulsesPerMinute: number;
  readonly faults: readonly ScheduledFault[];
  /** When somebody comes and puts the run in order: reset, latch, start. */
  readonly visitsAtSeconds: readonly number[];
}

/** Faults that need something of the night; all others may strike any. */
const needs: Partial<Record<FaultName, (night: { supplyKind: BenchSupplyKind; memory: string }) => boolean>> = {
  'converter-silent': (night) => night.supplyKind === 'analogue',
  'scpi-silent': (night) => night.supplyKind === 'scpi',
  'scpi-restarts': (night) => night.supplyKind === 'scpi',
  'serial-data-lost': (night) => night.supplyKind === 'scpi',
  'display-silent': (night) => night.supplyKind === 'by-hand',
  'person-away': (night) => night.supplyKind === 'by-hand',
  'memory-silent': (night) => night.memory === 'FRAM',
};

/** Evening before the start: link, recipe, latch test, first turns. */
const EVENING_SECONDS = 60;

export function plannedNight(seed: number, hoursMin: number, hoursMax: number): PlannedNight {
  const noise = new SeededNoise(seed, 'campaign');
  const between = (least: number, most: number): number => least + (most - least) * noise.uniform();
  const oneOf = <T>(choices: readonly T[]): T => choices[noise.uint32() % choices.length]!;

  const hours = Math.round(between(hoursMin, hoursMax) * 100) / 100;
  const nightSeconds = hours * 3600;
  const supplyKind = oneOf<BenchSupplyKind>(['analogue', 'analogue', 'analogue', 'scpi', 'by-hand']);
  const memory = oneOf<'FRAM' | 'flash'>(['FRAM', 'FRAM', 'FRAM', 'flash']);
  const settings = simulatedBoardSettings();
  const { fitted } = settings;
  for (const contact of ['leak', 'smoke', 'agitation', 'filter', 'level'] as const) fitted[contact] = 1;
  if (noise.uniform() < 0.5) {
    fitted.clips = [...CLIP_ROMS];
    settings.probe.rom = BATH_PROBE_ROM;
  }

  const areaDm2 = Math.round(between(4, 14) * 10) / 10;
  const plateAmps = Math.round(areaDm2 * 1.6 * 10) / 10;
  const rotationPulsesPerMinute = oneOf([0, 6, 6, 6, 6, 10, 12]);
  const strikeSeconds = Math.round(between(60, 600));
  const rampSeconds = Math.round(between(120, 1800));
  const plateSeconds = nightSeconds * between(0.4, 1.3);
  const longestSeconds = Math.round(Math.min(50_400, nightSeconds * between(0.7, 2)));
  const recipeRow = [
    ...[1 + (seed % 1000), areaDm2, Math.round(areaDm2 * 3) / 10, strikeSeconds, rampSeconds, plateAmps],
    ...[Math.round(plateAmps * plateSeconds * 1000), Math.round(areaDm2 * 1.5) / 10, Math.round(between(120, 1800))],
    ...[Math.round(areaDm2 * 3) / 10, longestSeconds, rotationPulsesPerMinute, 18, 28, 32],
  ];
  const tank: Partial<TankOptions> = {
    areaDm2,
    paintOhmsPerSquare: between(0.3, 6),
    pulsesPerMinute: rotationPulsesPerMinute === 0 ? 6 : rotationPulsesPerMinute,
    startCelsius: between(20, 25),
    roomCelsius: between(18, 23),
    supplyGainErrorFraction: between(-0.01, 0.01),
    stuckHeaterWatts: between(800, 2500),
  };

  const candidates = (Object.keys(faultKinds) as FaultName[]).filter(
    (name) => faultKinds[name].scope === 'bath' && (needs[name]?.({ supplyKind, memory }) ?? true),
  );
  const drawFault = (aroundSeconds?: number): ScheduledFault => {
    const name = oneOf(candidates);
    // One in four strikes the evening and the start, where the order of things matters most.
    const anywhere =
      noise.uniform() < 0.25 ? between(5, EVENING_SECONDS + strikeSeconds + rampSeconds) : between(5, nightSeconds);
    const near = aroundSeconds === undefined ? anywhere : aroundSeconds + between(-30, 120);
    const atSeconds = Math.max(1, Math.round(Math.min(near, nightSeconds - 5) * 1000) / 1000);
    const lasts = noise.uniform() < 0.4 ? undefined : Math.round(10 * 360 ** noise.uniform());
    const usual = faultKinds[name].usualSeconds;
    const durationSeconds = usual === 0 || name === 'contactor-drop' ? undefined : lasts;
    return { name, scope: 'bath', atSeconds, ...(durationSeconds === undefined ? {} : { durationSeconds }) };
  };
  const roll = noise.uniform();
  const first = drawFault();
  const second = drawFault(noise.uniform() < 0.5 ? first.atSeconds : undefined);
  const faults = roll < 0.05 ? [] : roll < 0.45 ? [first] : first.name === second.name ? [first] : [first, second];
  const visits = oneOf([0, 1, 1, 2, 3]);
  const visitsAtSeconds = Array.from({ length: visits }, (_, index) =>
    index === 0 ? (faults[0]?.atSeconds ?? 0) + between(30, 3000) : between(600, nightSeconds),
  ).sort((one, other) => one - other);
  return {
    ...{ seed, hours, supplyKind, memory, settings, tank, recipeRow, plateAmps, rotationPulsesPerMinute },
    ...{ faults, visitsAtSeconds },
  };
}
