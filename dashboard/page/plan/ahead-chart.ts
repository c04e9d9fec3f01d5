/*
 * What the night ahead draws, as the night band draws the night: current, average thickness, and what supply and bath may come to, each as the likely line within
 * its bounds. Handed to lane-chart.ts by the band; pure.
 */
import { type UnitSystem, unitName } from '@bathkeeper/shared-core/trade';
import type { BandPoint } from '../night/band-model.js';
import { bathSpan, highest, LANE_HEADROOM, type LaneContent } from '../night/lane-chart.js';
import { type BandScales, type Colours, type LaneLine, laneLine, laneScale, timeScale } from '../night/lanes.js';
import { type AheadLines, afterWords, type BandLines } from './ahead-lines.js';

export interface AheadDrawing {
  readonly lines: AheadLines;
  readonly ticks: readonly number[];
  readonly units: UnitSystem;
}

export function aheadContent(drawing: AheadDrawing, colours: Colours): LaneContent {
  return { names: names(drawing), datasets: datasets(drawing.lines, colours), scales: scales(drawing, colours) };
}

function names({ lines, units }: AheadDrawing): Record<string, string> {
  return {
    current: 'current, A',
    thickness: `average thickness, ${unitName('µm', units)}`,
    volts: 'supply, V, an estimate',
    ...(lines.bath === undefined ? {} : { bath: `bath, ${unitName('°C', units)}, an estimate` }),
  };
}

function datasets(lines: AheadLines, c: Colours): LaneLine[] {
  const within = (lane: string, { low, value, high }: BandLines, colour: string): LaneLine[] => [
    laneLine(c, lane, low, { borderWidth: 0, fill: '+1', backgroundColor: c.wash }),
    laneLine(c, lane, high, { borderWidth: 0 }),
    laneLine(c, lane, value, { borderColor: colour, borderDash: [5, 4], borderWidth: 1.3 }),
  ];
  return [
    laneLine(c, 'current', lines.current),
    laneLine(c, 'thickness', lines.thickness, {
      borderColor: c.copper,
      borderWidth: 2,
      fill: 'start',
      backgroundColor: c.copperWash,
    }),
    ...within('volts', lines.volts, c.ink),
    ...(lines.bath === undefined ? [] : within('bath', lines.bath, c.bath)),
  ];
}

function scales({ lines, ticks }: AheadDrawing, c: Colours): BandScales {
  const fromNothing = (weight: number, points: readonly BandPoint[]) =>
    laneScale(c, { weight, min: 0, max: LANE_HEADROOM * Math.max(highest(points), 1e-9), ticks: 5 });
  const { bath } = lines;
  return {
    x: timeScale(c, lines.axis, ticks, afterWords),
    // Stacked from the bottom up.
    ...(bath === undefined ? {} : { bath: laneScale(c, { weight: 1.3, ticks: 2, ...bathSpan(bath.low, bath.high) }) }),
    volts: fromNothing(1.6, lines.volts.high),
    thickness: fromNothing(2, lines.thickness),
    current: fromNothing(2, lines.current),
  };
}
