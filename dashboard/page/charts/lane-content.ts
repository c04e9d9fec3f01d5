/* What the charts draw: six lanes over one axis, with the names and the scales that suit what is in them. Handed to lane-chart.ts; pure. */
import { type UnitSystem, unitName } from '@bathkeeper/shared-core/trade';
import type { BandPoint } from '../night/band-model.js';
import { LANE_HEADROOM, type LaneContent } from '../night/lane-chart.js';
import { type Colours, type LaneLine, laneLine, laneScale, timeScale } from '../night/lanes.js';
import type { ChartLines } from './lines.js';
import type { TimeTick } from './time-ticks.js';
import type { View } from './view.js';

export interface ChartDrawing {
  readonly view: View;
  readonly ticks: readonly TimeTick[];
  readonly lines: ChartLines;
  /** A second run, drawn behind the first. */
  readonly laidOver?: ChartLines;
  readonly units: UnitSystem;
  /** Places on the axis at which a line goes through all lanes. */
  readonly marks?: readonly number[];
}

/** Least and most of what is known; `null` of nothing. */
function extent(lines: readonly (readonly BandPoint[])[]): { min: number; max: number } | null {
  let [min, max] = [Infinity, -Infinity];
  for (const line of lines)
    for (const { y } of line) {
      if (Number.isNaN(y)) continue;
      if (y < min) min = y;
      if (y > max) max = y;
    }
  return min > max ? null : { min, max };
}

/** With room for the lane's name over its lines; never closer than `least`, in which the meter's own noise would look like news. */
export function laneSpan(
  lines: readonly (readonly BandPoint[])[],
  least: number,
  isFromZero = false,
): { min: number; max: number } {
  const known = extent(lines) ?? { min: 0, max: least };
  const min = isFromZero ? Math.min(0, known.min) : known.min;
  const span = Math.max(least, known.max - min);
  const low = isFromZero ? min : Math.min(min, (known.min + known.max - span) / 2) - span * 0.1;
  return { min: low, max: low + span * (isFromZero ? LANE_HEADROOM : LANE_HEADROOM + 0.1) };
}

export function chartContent(
  { view, ticks, lines, laidOver, units, marks = [] }: ChartDrawing,
  c: Colours,
): LaneContent {
  const both = laidOver === undefined ? [lines] : [lines, laidOver];
  const of = (...names: readonly (keyof ChartLines)[]) => both.flatMap((one) => names.map((name) => one[name]));
  const words = new Map(ticks.map((tick) => [tick.atMs, tick.words]));
  const axis = { fromMs: view.from, toMs: view.to };
  return {
    marks,
    names: {
      current: 'current, A   - - set-point   ··· permitted',
      voltage: 'cell voltage, V',
      resistance: 'resistance, mΩ',
      temperature: `bath, ${unitName('°C', units)}`,
      rotation: 'rotation, pulses a minute',
      charge: 'charge of the run, Ah',
    },
    datasets: [
      // Beside a second run in copper, the charge of the first is in ink like all of it.
      ...drawnLines(lines, laidOver === undefined ? c : { ...c, copper: c.ink }, c.ink),
      ...(laidOver === undefined ? [] : drawnLines(laidOver, { ...c, wash: c.copperWash, bath: c.copper }, c.copper)),
    ],
    scales: {
      x: timeScale(c, axis, [...words.keys()], (at) => words.get(at) ?? ''),
      // Stacked from the bottom up.
      charge: laneScale(c, { weight: 1.2, ticks: 2, ...laneSpan(of('charge'), 1) }),
      rotation: laneScale(c, { weight: 1, ticks: 2, ...laneSpan(of('rotation'), 10, true) }),
      temperature: laneScale(c, { weight: 1.2, ticks: 2, ...laneSpan(of('temperature', 'temperatureMin', 'temperatureMax'), 4) }),
      resistance: laneScale(c, { weight: 1.2, ticks: 2, ...laneSpan(of('resistance', 'resistanceMin', 'resistanceMax'), 20) }),
      voltage: laneScale(c, { weight: 1.2, ticks: 2, ...laneSpan(of('voltage', 'voltageMin', 'voltageMax'), 0.5) }),
      current: laneScale(c, { weight: 2.4, ticks: 4, ...laneSpan(of('current', 'currentMin', 'currentMax', 'permitted', 'setPoint'), 1, true) }),
    },
  }; // prettier-ignore
}

/** The library compares each unbroken part of one edge with each of the other: a year of nights, without resistance by day, would stand still for seconds. */
const FILLED_BREAKS_MAX = 40;
const isFilled = (edge: readonly BandPoint[]): boolean =>
  edge.filter(({ y }, index) => Number.isNaN(y) && !Number.isNaN(edge[index + 1]?.y ?? NaN)).length <=
  FILLED_BREAKS_MAX;

function drawnLines(lines: ChartLines, c: Colours, ink: string): LaneLine[] {
  const inked = { borderColor: ink };
  // The band between least and most has edges: a second's spike is a line of a pixel there, and a wash of that width would not be seen.
  const edge = { borderColor: ink, borderWidth: 1 };
  const band = (
    lane: string,
    least: readonly BandPoint[],
    most: readonly BandPoint[],
    drawn: typeof edge,
  ): LaneLine[] => [
    laneLine(c, lane, least, { ...drawn, fill: isFilled(least) && '+1', backgroundColor: c.wash }),
    laneLine(c, lane, most, drawn),
  ];
  return [
    ...band('current', lines.currentMin, lines.currentMax, edge),
    laneLine(c, 'current', lines.setPoint, { borderColor: c.faint, borderWidth: 1, borderDash: [7, 4] }),
    laneLine(c, 'current', lines.permitted, { borderColor: c.faint, borderWidth: 1, borderDash: [1.5, 2.5] }),
    laneLine(c, 'current', lines.current, inked),
    ...band('voltage', lines.voltageMin, lines.voltageMax, edge),
    laneLine(c, 'voltage', lines.voltage, inked),
    ...band('resistance', lines.resistanceMin, lines.resistanceMax, edge),
    laneLine(c, 'resistance', lines.resistance, inked),
    ...band('temperature', lines.temperatureMin, lines.temperatureMax, { ...edge, borderColor: c.bath }),
    laneLine(c, 'temperature', lines.temperature, { borderColor: c.bath }),
    laneLine(c, 'rotation', lines.rotation, inked),
    laneLine(c, 'charge', lines.charge, { borderColor: c.copper }),
  ];
}
