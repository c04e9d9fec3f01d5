/*
 * A band on its canvas, drawn by the chart library: whatever lanes it is given, lines through all of them at marked moments, and the moment under a finger. Used by
 * the night ahead of a plan and by a rehearsed night; owns the canvas, decides nothing.
 */
import { Chart, type Plugin } from 'chart.js';
import type { BandPoint } from './band-model.js';
import {
  bandOptions,
  type BandScales,
  type Colours,
  coloursOf,
  type LaneLine,
  laneNames,
  momentUnder,
} from './lanes.js';

export interface LaneContent {
  readonly datasets: LaneLine[];
  /** The lanes stacked from the bottom up, and `x`. */
  readonly scales: BandScales;
  /** By lane. */
  readonly names: Readonly<Record<string, string>>;
  /** Moments of the axis at which something happened. */
  readonly marks?: readonly number[];
}

export class LaneChart {
  private readonly chart: Chart<'line', BandPoint[]>;
  private readonly colours: Colours;
  private content: LaneContent;

  constructor(canvas: HTMLCanvasElement, contentIn: (colours: Colours) => LaneContent) {
    this.colours = coloursOf(canvas);
    this.content = contentIn(this.colours);
    this.chart = new Chart(canvas, {
      type: 'line',
      data: { datasets: this.content.datasets },
      options: bandOptions(this.content.scales),
      plugins: [this.marks(), laneNames(() => this.content.names, this.colours)],
    });
  }

  draw(contentIn: (colours: Colours) => LaneContent): void {
    this.content = contentIn(this.colours);
    this.chart.data.datasets = this.content.datasets;
    this.chart.options = bandOptions(this.content.scales);
    this.chart.update('none');
  }

  /** In milliseconds of the axis; null: outside the lanes. */
  momentAt(offsetX: number): number | null {
    return momentUnder(this.chart, offsetX);
  }

  remove(): void {
    this.chart.destroy();
  }

  private marks(): Plugin<'line'> {
    return {
      id: 'marks',
      afterDatasetsDraw: ({ ctx, chartArea, scales }) => {
        ctx.save();
        ctx.strokeStyle = this.colours.pencil;
        ctx.lineWidth = 2;
        for (const moment of this.content.marks ?? []) {
          const x = scales.x?.getPixelForValue(moment) ?? NaN;
          ctx.beginPath();
          ctx.moveTo(x, chartArea.top);
          ctx.lineTo(x, chartArea.bottom);
          ctx.stroke();
        }
        ctx.restore();
      },
    };
  }
}

/** Over a lane's lines, where its name stands. */
export const LANE_HEADROOM = 1.35;

/** The highest of a line; `-Infinity` of none. */
export function highest(points: readonly BandPoint[]): number {
  return points.reduce((most, { y }) => Math.max(most, y), -Infinity);
}

export function lowest(points: readonly BandPoint[]): number {
  return points.reduce((least, { y }) => Math.min(least, y), Infinity);
}

/** The span of a lane of temperatures: a bath that hardly warms is shown hardly warming, some degrees in all at least. */
export function bathSpan(low: readonly BandPoint[], high: readonly BandPoint[]): { min: number; max: number } {
  const coldest = lowest(low);
  const span = Math.max(6, highest(high) - coldest);
  return { min: coldest - span * 0.3, max: coldest + span * 1.6 };
}
