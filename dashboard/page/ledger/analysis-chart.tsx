/* A small drawing of findings or levels over time, the usual range, where there is one, as a band behind them. Beside the words, which say the same. */
import {
  inUnits,
  shownWith,
  significant,
  type TrendPoint,
  type Unit,
  type UsualRange,
} from '@bathkeeper/shared-core/trade';
import { units } from '../state/units.js';
import { serverNowMs } from '../state/state.js';
import { datedDay } from '../words/times.js';

const WIDTH = 320;
const HEIGHT = 88;
const LEFT = 44;
const EDGE = 8;

export function AnalysisChart(props: {
  name: string;
  unit: Unit;
  findings: readonly TrendPoint[];
  usual?: UsualRange;
}) {
  const { findings, usual, unit } = props;
  const first = findings[0]!;
  const last = findings.at(-1)!;
  const values = findings.map(({ value }) => value);
  const low = Math.min(usual?.min ?? Infinity, ...values);
  const high = Math.max(usual?.max ?? -Infinity, ...values);
  const marks = usual === undefined ? [low, high] : [usual.min, usual.max];
  const x = (atMs: number): number =>
    LEFT + ((atMs - first.atMs) / Math.max(1, last.atMs - first.atMs)) * (WIDTH - LEFT - EDGE);
  const y = (value: number): number =>
    HEIGHT - EDGE - ((value - low) / Math.max(1e-9, high - low)) * (HEIGHT - 2 * EDGE);
  const nowMs = serverNowMs.value;
  const label = (value: number): string => significant(inUnits(value, unit, units.value).value, 3);
  return (
    <figure class="analysis-chart">
      <svg
        viewBox={`0 0 ${String(WIDTH)} ${String(HEIGHT)}`}
        role="img"
        aria-label={`${props.name}: ${String(findings.length)} findings, from ${label(first.value)} to ${shownWith(last.value, unit, units.value, 3)}`}
      >
        {usual !== undefined && (
          <rect
            class="usual-band"
            x={LEFT}
            y={y(usual.max)}
            width={WIDTH - LEFT - EDGE}
            height={Math.max(1, y(usual.min) - y(usual.max))}
          />
        )}
        {[...new Set(marks)].map((mark) => (
          <text key={mark} x={LEFT - 6} y={y(mark) + 4}>
            {label(mark)}
          </text>
        ))}
        <polyline
          points={findings.map(({ atMs, value }) => `${x(atMs).toFixed(1)},${y(value).toFixed(1)}`).join(' ')}
        />
        {findings.map(({ atMs, value }) => (
          <circle key={atMs} cx={x(atMs)} cy={y(value)} r={3} />
        ))}
      </svg>
      <figcaption>
        <span>{datedDay(first.atMs, nowMs)}</span>
        <span>{datedDay(last.atMs, nowMs)}</span>
      </figcaption>
    </figure>
  );
}
