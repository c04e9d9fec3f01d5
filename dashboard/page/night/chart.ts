/*
 * Draws the night band with the chart library: three lanes over one linear time axis, the measured past solid, the planned
 * future dashed, the present as a line. Called by the band; owns the canvas, decides nothing.
 */
import { Chart, type Plugin } from 'chart.js';
import type { RecipeView } from '@bathkeeper/shared-core/messages';
import { inUnits, unitName, type UnitSystem } from '@bathkeeper/shared-core/trade';
import { clockTime } from '../words/times.js';
import type { BandAxis, BandLines, BandPoint } from './band-model.js';
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
} from './lanes.js';

export interface BandDrawing {
  readonly axis: BandAxis;
  readonly ticks: readonly number[];
  readonly lines: BandLines;
  readonly recipe: RecipeView;
  /** Of the lines. */
  readonly units: UnitSystem;
  /** null: the run is over, there is no present on this band. */
  readonly nowMs: number | null;
}

type Lane = 'current' | 'thickness' | 'temperature';

function names(units: UnitSystem): Readonly<Record<Lane, string>> {
  return {
    current: 'current, A',
    thickness: `average thickness, ${unitName('µm', units)}`,
    temperature: `bath, ${unitName('°C', units)}`,
  };
}

export class BandChart {
  private readonly chart: Chart<'line', BandPoint[]>;
  private readonly colours: Colours;

  constructor(
    canvas: HTMLCanvasElement,
    private drawing: BandDrawing,
  ) {
    this.colours = coloursOf(canvas);
    this.chart = new Chart(canvas, {
      type: 'line',
      data: { datasets: this.datasets() },
      options: bandOptions(this.scales()),
      plugins: [laneNames(() => names(this.drawing.units), this.colours), this.warmth(), this.present()],
    });
  }

  draw(drawing: BandDrawing): void {
    this.drawing = drawing;
    this.chart.data.datasets = this.datasets();
    this.chart.options.scales = this.scales();
    this.chart.update('none');
  }

  /** The moment under a point of the canvas, in server milliseconds; null: outside the lanes. */
  momentAt(offsetX: number): number | null {
    return momentUnder(this.chart, offsetX);
  }

  remove(): void {
    this.chart.destroy();
  }

  private datasets(): LaneLine[] {
    const { lines } = this.drawing;
    const c = this.colours;
    const line = (lane: Lane, points: readonly BandPoint[], more: Partial<LaneLine>): LaneLine =>
      laneLine(c, lane, points, more);
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

  private scales(): BandScales {
    const { axis, ticks, recipe, lines, units } = this.drawing;
    const c = this.colours;
    const bath = lines.temperature.map((p) => p.y).filter((y) => !Number.isNaN(y));
    const celsius = (value: number): number => inUnits(value, '°C', units).value;
    const kelvin = (value: number): number => inUnits(value, 'K', units).value;
    const coldest = bath.reduce((a, b) => Math.min(a, b), celsius(recipe.bathWarnCelsius - 8)) - kelvin(1);
    const warmest = bath.reduce((a, b) => Math.max(a, b), celsius(recipe.bathWarnCelsius + 1)) + kelvin(3);
    // A third of headroom: the lane's name stands above its line.
    const most = 1.3 * lines.currentMax.reduce((a, p) => (p.y > a ? p.y : a), recipe.plateAmps);
    const thickest = inUnits(recipe.averageThicknessMicrometres, 'µm', units).value * 1.25;
    return {
      x: timeScale(c, axis, ticks, clockTime),
      // Stacked from the bottom up.
      temperature: laneScale(c, { weight: 1.2, min: coldest, max: warmest, ticks: 2 }),
      thickness: laneScale(c, { weight: 2, min: 0, max: thickest, ticks: 4 }),
      current: laneScale(c, { weight: 2.4, min: 0, max: most, ticks: 4 }),
    };
  }

  /** The bath's warning as a fine line. */
  private warmth(): Plugin<'line'> {
    return {
      id: 'warmth',
      afterDatasetsDraw: ({ ctx, chartArea, scales }) => {
        const bath = scales.temperature;
        const { recipe, units } = this.drawing;
        const y = bath?.getPixelForValue(inUnits(recipe.bathWarnCelsius, '°C', units).value);
        if (!bath || y === undefined || y <= bath.top || y >= bath.bottom) return;
        ctx.save();
        ctx.strokeStyle = this.colours.faint;
        ctx.lineWidth = 0.8;
        ctx.setLineDash([1.5, 3]);
        ctx.beginPath();
        ctx.moveTo(chartArea.left, y);
        ctx.lineTo(chartArea.right, y);
        ctx.stroke();
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
