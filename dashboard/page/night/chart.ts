/*
 * Draws the night band with the chart library: three lanes over one linear time axis, the measured past solid, the planned
 * future dashed, the present as a line. Called by the band; owns the canvas, decides nothing.
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
import type { RecipeView } from '@bathkeeper/shared-core/messages';
import { clockTime } from '../words/times.js';
import { type BandAxis, type BandLines, type BandPoint, laneTickValues } from './band-model.js';

Chart.register(LineController, LineElement, PointElement, LinearScale, Filler);

/** Left of the lanes, for their numbers; the phase strip and the marks keep the same distance (see look/night.css). */
export const GUTTER_PIXELS = 40;
export const RIGHT_PIXELS = 8;

export interface BandDrawing {
  readonly axis: BandAxis;
  readonly ticks: readonly number[];
  readonly lines: BandLines;
  readonly recipe: RecipeView;
  /** null: the run is over, there is no present on this band. */
  readonly nowMs: number | null;
}

interface Colours {
  readonly ink: string;
  readonly faint: string;
  readonly rule: string;
  readonly copper: string;
  readonly copperWash: string;
  readonly wash: string;
  readonly paper: string;
  readonly bath: string;
  readonly font: string;
}

function coloursOf(canvas: HTMLCanvasElement): Colours {
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
    font: style.fontFamily,
  };
}

type Lane = 'current' | 'thickness' | 'temperature';

const laneTitle: Readonly<Record<Lane, string>> = {
  current: 'current, A',
  thickness: 'average thickness, µm',
  temperature: 'bath, °C',
};

export class BandChart {
  private readonly chart: Chart<'line', BandPoint[]>;
  private readonly colours: Colours;

  constructor(
    canvas: HTMLCanvasElement,
    private drawing: BandDrawing,
  ) {
    this.colours = coloursOf(canvas);
    this.chart = new Chart(canvas, this.configuration());
  }

  draw(drawing: BandDrawing): void {
    this.drawing = drawing;
    this.chart.data.datasets = this.datasets();
    this.chart.options.scales = this.scales();
    this.chart.update('none');
  }

  /** The moment under a point of the canvas, in server milliseconds; null: outside the lanes. */
  momentAt(offsetX: number): number | null {
    const { left, right } = this.chart.chartArea;
    if (offsetX < left || offsetX > right) return null;
    return this.chart.scales.x?.getValueForPixel(offsetX) ?? null;
  }

  remove(): void {
    this.chart.destroy();
  }

  private datasets(): ChartDataset<'line', BandPoint[]>[] {
    const { lines } = this.drawing;
    const c = this.colours;
    const line = (
      lane: Lane,
      points: readonly BandPoint[],
      more: Partial<ChartDataset<'line', BandPoint[]>>,
    ): ChartDataset<'line', BandPoint[]> => ({
      data: points as BandPoint[],
      yAxisID: lane,
      pointRadius: 0,
      borderWidth: 1.5,
      borderColor: c.ink,
      borderJoinStyle: 'round',
      ...more,
    });
    const dashed = { borderDash: [5, 4], borderWidth: 1.3 };
    return [
      line('current', lines.currentMin, { borderWidth: 0, fill: '+1', backgroundColor: c.wash }),
      line('current', lines.currentMax, { borderWidth: 0 }),
      line('current', lines.permitted, {
        borderColor: c.faint,
        borderWidth: 1,
        borderDash: [1.5, 2.5],
        stepped: false,
      }),
      line('current', lines.current, {}),
      line('current', lines.plannedCurrent, { borderColor: c.faint, ...dashed }),
      line('thickness', lines.thickness, {
        borderColor: c.copper,
        borderWidth: 2,
        fill: 'start',
        backgroundColor: c.copperWash,
      }),
      line('thickness', lines.plannedThickness, { borderColor: c.copper, ...dashed }),
      line('temperature', lines.temperature, { borderColor: c.bath }),
    ];
  }

  private scales(): NonNullable<NonNullable<ChartConfiguration<'line'>['options']>['scales']> {
    const { axis, ticks, recipe, lines } = this.drawing;
    const c = this.colours;
    const font = { family: c.font, size: 11 };
    const lane = (weight: number, more: object) => ({
      type: 'linear' as const,
      stack: 'night',
      stackWeight: weight,
      offset: false,
      border: { color: c.rule },
      grid: { color: c.rule, lineWidth: 0.6, drawTicks: false },
      afterFit: (scale: Scale) => {
        scale.width = GUTTER_PIXELS;
      },
      ...more,
    });
    const laneTicks = { color: c.faint, font, padding: 5, autoSkip: false };
    const bath = lines.temperature.map((p) => p.y).filter((y) => !Number.isNaN(y));
    const coldest = bath.reduce((a, b) => Math.min(a, b), recipe.bathWarnCelsius - 8) - 1;
    const warmest = bath.reduce((a, b) => Math.max(a, b), recipe.bathWarnCelsius + 1) + 3;
    // A third of headroom: the lane's name stands above its line.
    const most = 1.3 * lines.currentMax.reduce((a, p) => (p.y > a ? p.y : a), recipe.plateAmps);
    const thickest = recipe.averageThicknessMicrometres * 1.25;
    const ticked = (from: number, to: number, count: number) => ({
      afterBuildTicks: (scale: Scale) => {
        scale.ticks = laneTickValues(from, to, count).map((value) => ({ value }));
      },
    });
    return {
      x: {
        type: 'linear',
        min: axis.fromMs,
        max: axis.toMs,
        border: { color: c.rule },
        grid: { color: c.rule, lineWidth: 0.6, tickLength: 4 },
        afterBuildTicks: (scale: Scale) => {
          scale.ticks = ticks.map((value) => ({ value }));
        },
        ticks: {
          color: c.faint,
          font,
          autoSkip: false,
          maxRotation: 0,
          callback: (value: string | number) => clockTime(Number(value)),
        },
      },
      // Stacked from the bottom up.
      temperature: lane(1.2, { min: coldest, max: warmest, ticks: laneTicks, ...ticked(coldest, warmest, 2) }),
      thickness: lane(2, { min: 0, max: thickest, ticks: laneTicks, ...ticked(0, thickest, 4) }),
      current: lane(2.4, { min: 0, max: most, ticks: laneTicks, ...ticked(0, most, 4) }),
    };
  }

  private configuration(): ChartConfiguration<'line', BandPoint[]> {
    return {
      type: 'line',
      data: { datasets: this.datasets() },
      options: {
        animation: false,
        parsing: false,
        normalized: true,
        responsive: true,
        maintainAspectRatio: false,
        events: [],
        layout: { padding: { right: RIGHT_PIXELS, top: 2 } },
        scales: this.scales(),
      },
      plugins: [this.lanes(), this.present()],
    };
  }

  /** The name of each lane in its corner, and the bath's warning as a fine line. */
  private lanes(): Plugin<'line'> {
    return {
      id: 'lanes',
      afterDatasetsDraw: (chart) => {
        const { ctx } = chart;
        const c = this.colours;
        ctx.save();
        ctx.font = `12px ${c.font}`;
        ctx.lineJoin = 'round';
        for (const lane of ['current', 'thickness', 'temperature'] as const) {
          const scale = chart.scales[lane];
          if (!scale) continue;
          ctx.strokeStyle = c.paper;
          ctx.lineWidth = 4;
          ctx.fillStyle = c.faint;
          ctx.strokeText(laneTitle[lane], scale.right + 6, scale.top + 14);
          ctx.fillText(laneTitle[lane], scale.right + 6, scale.top + 14);
        }
        const bath = chart.scales.temperature;
        if (bath) {
          const y = bath.getPixelForValue(this.drawing.recipe.bathWarnCelsius);
          if (y > bath.top && y < bath.bottom) {
            ctx.strokeStyle = c.faint;
            ctx.lineWidth = 0.8;
            ctx.setLineDash([1.5, 3]);
            ctx.beginPath();
            ctx.moveTo(chart.chartArea.left, y);
            ctx.lineTo(chart.chartArea.right, y);
            ctx.stroke();
          }
        }
        ctx.restore();
      },
    };
  }

  private present(): Plugin<'line'> {
    return {
      id: 'present',
      afterDatasetsDraw: (chart) => {
        const { nowMs } = this.drawing;
        const x = nowMs === null ? undefined : chart.scales.x?.getPixelForValue(nowMs);
        if (x === undefined) return;
        const { ctx, chartArea } = chart;
        ctx.save();
        ctx.strokeStyle = this.colours.ink;
        ctx.lineWidth = 1.2;
        ctx.beginPath();
        ctx.moveTo(x, chartArea.top);
        ctx.lineTo(x, chartArea.bottom);
        ctx.stroke();
        const isAtRight = x > chartArea.right - 40;
        ctx.font = `12px ${this.colours.font}`;
        ctx.fillStyle = this.colours.ink;
        ctx.textAlign = isAtRight ? 'right' : 'left';
        ctx.fillText('now', x + (isAtRight ? -5 : 5), chartArea.bottom - 6);
        ctx.restore();
      },
    };
  }
}
