/*
 * Draws the night ahead with the chart library, as the night band draws the night: current, average thickness, and what supply and bath may come to, each as
 * the likely line within its bounds. Called by the band; owns the canvas, decides nothing.
 */
import { Chart } from 'chart.js';
import { type UnitSystem, unitName } from '@bathkeeper/shared-core/trade';
import type { BandPoint } from '../night/band-model.js';
import {
  bandOptions,
  type BandScales,
  type Colours,
  coloursOf,
  type LaneLine,
  laneLine,
  laneNames,
  laneScale,
  momentUnder,
  timeScale,
} from '../night/lanes.js';
import { type AheadLines, afterWords, type BandLines } from './ahead-lines.js';

export interface AheadDrawing {
  readonly lines: AheadLines;
  readonly ticks: readonly number[];
  readonly units: UnitSystem;
}

/** Over a lane's lines, where its name stands. */
const HEADROOM = 1.35;

export class AheadChart {
  private readonly chart: Chart<'line', BandPoint[]>;
  private readonly colours: Colours;

  constructor(
    canvas: HTMLCanvasElement,
    private drawing: AheadDrawing,
  ) {
    this.colours = coloursOf(canvas);
    this.chart = new Chart(canvas, {
      type: 'line',
      data: { datasets: this.datasets() },
      options: bandOptions(this.scales()),
      plugins: [laneNames(() => this.names(), this.colours)],
    });
  }

  draw(drawing: AheadDrawing): void {
    this.drawing = drawing;
    this.chart.data.datasets = this.datasets();
    this.chart.options = bandOptions(this.scales());
    this.chart.update('none');
  }

  /** In milliseconds from the start; null: outside the lanes. */
  momentAt(offsetX: number): number | null {
    return momentUnder(this.chart, offsetX);
  }

  remove(): void {
    this.chart.destroy();
  }

  private names(): Record<string, string> {
    const { lines, units } = this.drawing;
    return {
      current: 'current, A',
      thickness: `average thickness, ${unitName('µm', units)}`,
      volts: 'supply, V, an estimate',
      ...(lines.bath === undefined ? {} : { bath: `bath, ${unitName('°C', units)}, an estimate` }),
    };
  }

  private datasets(): LaneLine[] {
    const { lines } = this.drawing;
    const c = this.colours;
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

  private scales(): BandScales {
    const { lines, ticks } = this.drawing;
    const c = this.colours;
    const fromNothing = (weight: number, points: readonly BandPoint[]) =>
      laneScale(c, { weight, min: 0, max: HEADROOM * Math.max(most(points), 1e-9), ticks: 5 });
    return {
      x: timeScale(c, lines.axis, ticks, afterWords),
      // Stacked from the bottom up.
      ...(lines.bath === undefined ? {} : { bath: laneScale(c, { weight: 1.3, ticks: 2, ...around(lines.bath) }) }),
      volts: fromNothing(1.6, lines.volts.high),
      thickness: fromNothing(2, lines.thickness),
      current: fromNothing(2, lines.current),
    };
  }
}

function most(points: readonly BandPoint[]): number {
  return points.reduce((highest, { y }) => Math.max(highest, y), -Infinity);
}

/** A bath that hardly warms is shown hardly warming: some degrees in all at least. */
function around({ low, high }: BandLines): { min: number; max: number } {
  const coldest = low.reduce((least, { y }) => Math.min(least, y), Infinity);
  const span = Math.max(6, most(high) - coldest);
  return { min: coldest - span * 0.3, max: coldest + span * 1.6 };
}
