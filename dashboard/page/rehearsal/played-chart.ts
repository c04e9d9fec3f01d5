/* What the band of a played night draws: the current beside the planned one, the growing metal, voltage and bath, and the faults. Handed to lane-chart.ts; pure. */
import { type UnitSystem, unitName } from '@bathkeeper/shared-core/trade';
import type { BandPoint } from '../night/band-model.js';
import { bathSpan, highest, LANE_HEADROOM, type LaneContent } from '../night/lane-chart.js';
import { type Colours, laneLine, laneScale, timeScale } from '../night/lanes.js';
import { afterWords } from '../plan/ahead-lines.js';
import type { PlayedLines } from './played-lines.js';

export function playedContent(
  drawing: { readonly lines: PlayedLines; readonly ticks: readonly number[]; readonly units: UnitSystem },
  c: Colours,
): LaneContent {
  const { lines, ticks, units } = drawing;
  const fromNothing = (weight: number, ...of: readonly (readonly BandPoint[])[]) =>
    laneScale(c, { weight, min: 0, max: LANE_HEADROOM * Math.max(...of.map(highest), 1e-9), ticks: 5 });
  return {
    marks: lines.faults,
    names: {
      current: 'current, A; dashed: planned',
      thickness: `average thickness, ${unitName('µm', units)}`,
      volts: 'voltage, V',
      bath: `bath, ${unitName('°C', units)}`,
    },
    datasets: [
      laneLine(c, 'current', lines.planned, { borderColor: c.faint, borderDash: [5, 4], borderWidth: 1.3 }),
      laneLine(c, 'current', lines.current),
      laneLine(c, 'thickness', lines.thickness, {
        borderColor: c.copper,
        borderWidth: 2,
        fill: 'start',
        backgroundColor: c.copperWash,
      }),
      laneLine(c, 'volts', lines.volts),
      laneLine(c, 'bath', lines.bath, { borderColor: c.bath }),
    ],
    scales: {
      x: timeScale(c, lines.axis, ticks, afterWords),
      // Stacked from the bottom up.
      bath: laneScale(c, { weight: 1.3, ticks: 2, ...bathSpan(lines.bath, lines.bath) }),
      volts: fromNothing(1.6, lines.volts),
      thickness: fromNothing(2, lines.thickness),
      current: fromNothing(2, lines.current, lines.planned),
    },
  };
}
