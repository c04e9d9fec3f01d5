/*
 * What every band shares that the chart library draws: lanes stacked over one linear time axis, their ticks and names, the page's colours. Used by the night
 * band and the night ahead of a plan; knows nothing of what they show.
 */
import {
  Chart,
  type ChartConfiguration,
  type ChartDataset,
  Filler,
  LinearScale,
  LineController,
  LineElement,
  type Plugin,
  PointElement,
  type Scale,
} from 'chart.js';
import { type BandAxis, type BandPoint, laneTickValues } from './band-model.js';

Chart.register(LineController, LineElement, PointElement, LinearScale, Filler);

/** Left of the lanes, for their numbers; the phase strip and the marks keep the same distance (see look/night.css). */
export const GUTTER_PIXELS = 40;
export const RIGHT_PIXELS = 8;

export type LaneLine = ChartDataset<'line', BandPoint[]>;
export type BandScales = NonNullable<NonNullable<ChartConfiguration<'line'>['options']>['scales']>;

export interface Colours {
  readonly ink: string;
  readonly faint: string;
  readonly rule: string;
  readonly copper: string;
  readonly copperWash: string;
  readonly wash: string;
  readonly paper: string;
  readonly bath: string;
  readonly pencil: string;
  readonly font: string;
}

export function coloursOf(canvas: HTMLCanvasElement): Colours {
  const style = getComputedStyle(canvas);
  const read = (name: string): string => style.getPropertyValue(name).trim();
  return {
    ink: read('--ink'),
    faint: read('--faint'),
    rule: read('--rule'),
    copper: read('--copper'),
    copperWash: read('--copper-wash'),
    wash: read('--wash'),
    paper: read('--paper'),
    bath: read('--bath-ink'),
    pencil: read('--pencil'),
    font: style.fontFamily,
  };
}

/** A solid line of ink without points, unless `more` says otherwise. */
export function laneLine(
  colours: Colours,
  lane: string,
  points: readonly BandPoint[],
  more: Partial<LaneLine> = {},
): LaneLine {
  return {
    data: points as BandPoint[],
    yAxisID: lane,
    pointRadius: 0,
    borderWidth: 1.5,
    borderColor: colours.ink,
    borderJoinStyle: 'round',
    ...more,
  };
}

/** `weight`: its share of the height; `ticks`: about how many. */
export function laneScale(
  colours: Colours,
  lane: { readonly weight: number; readonly min: number; readonly max: number; readonly ticks: number },
) {
  const { weight, min, max, ticks } = lane;
  return {
    type: 'linear' as const,
    // The library takes a name that begins with r for the axis of a radar.
    axis: 'y' as const,
    stack: 'night',
    stackWeight: weight,
    offset: false,
    min,
    max,
    border: { color: colours.rule },
    grid: { color: colours.rule, lineWidth: 0.6, drawTicks: false },
    ticks: { color: colours.faint, font: { family: colours.font, size: 11 }, padding: 5, autoSkip: false },
    afterFit: (scale: Scale) => {
      scale.width = GUTTER_PIXELS;
    },
    afterBuildTicks: (scale: Scale) => {
      scale.ticks = laneTickValues(min, max, ticks).map((value) => ({ value }));
    },
  };
}

export function timeScale(colours: Colours, axis: BandAxis, ticks: readonly number[], words: (atMs: number) => string) {
  return {
    type: 'linear' as const,
    min: axis.fromMs,
    max: axis.toMs,
    border: { color: colours.rule },
    grid: { color: colours.rule, lineWidth: 0.6, tickLength: 4 },
    afterBuildTicks: (scale: Scale) => {
      scale.ticks = ticks.map((value) => ({ value }));
    },
    ticks: {
      color: colours.faint,
      font: { family: colours.font, size: 11 },
      autoSkip: false,
      maxRotation: 0,
      callback: (value: string | number) => words(Number(value)),
    },
  };
}

export function bandOptions(scales: BandScales): NonNullable<ChartConfiguration<'line', BandPoint[]>['options']> {
  return {
    animation: false,
    parsing: false,
    normalized: true,
    responsive: true,
    maintainAspectRatio: false,
    events: [],
    layout: { padding: { right: RIGHT_PIXELS, top: 2 } },
    scales,
  };
}

/** Under a point of the canvas, in the axis's own milliseconds; null: outside the lanes. */
export function momentUnder(chart: Chart<'line', BandPoint[]>, offsetX: number): number | null {
  const { left, right } = chart.chartArea;
  if (offsetX < left || offsetX > right) return null;
  return chart.scales.x?.getValueForPixel(offsetX) ?? null;
}

/** The name of each lane in its corner. */
export function laneNames(names: () => Readonly<Record<string, string>>, colours: Colours): Plugin<'line'> {
  return {
    id: 'lanes',
    afterDatasetsDraw: ({ ctx, scales }) => {
      ctx.save();
      ctx.font = `12px ${colours.font}`;
      ctx.lineJoin = 'round';
      ctx.strokeStyle = colours.paper;
      ctx.lineWidth = 4;
      ctx.fillStyle = colours.faint;
      for (const [lane, name] of Object.entries(names())) {
        const scale = scales[lane];
        if (!scale) continue;
        ctx.strokeText(name, scale.right + 6, scale.top + 14);
        ctx.fillText(name, scale.right + 6, scale.top + 14);
      }
      ctx.restore();
    },
  };
}
