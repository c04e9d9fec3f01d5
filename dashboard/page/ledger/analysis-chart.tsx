/* A small drawing of findings or levels over time, the usual range, where there is one, as a band behind them. Beside the words, which say the same. */
import { shownWith, type TrendPoint, type Unit, type UsualRange } from '@bathkeeper/shared-core/trade';
import { units } from '../state/units.js';
import { serverNowMs } from '../state/state.js';
import { datedDay } from '../words/times.js';

const WIDTH = 320;
const HEIGHT = 88;
const EDGE = 8;
/** Of a letter of the numbers beside it. */
const LETTER = 6.4;

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
  const marked = [...new Set(marks)].map((mark) => ({ mark, words: shownWith(mark, unit, units.value, 3) }));
  const left = 10 + LETTER * Math.max(...marked.map(({ words }) => words.length));
  const x = (atMs: number): number =>
    left + ((atMs - first.atMs) / Math.max(1, last.atMs - first.atMs)) * (WIDTH - left - EDGE);
  const y = (value: number): number =>
    HEIGHT - EDGE - ((value - low) / Math.max(1e-9, high - low)) * (HEIGHT - 2 * EDGE);
  const nowMs = serverNowMs.value;
  return (
    <figure class="analysis-chart">
      <svg
        viewBox={`0 0 ${String(WIDTH)} ${String(HEIGHT)}`}
        role="img"
        aria-label={`${props.name}: ${String(findings.length)} findings, from ${shownWith(first.value, unit, units.value, 3)} to ${shownWith(last.value, unit, units.value, 3)}`}
      >
        {usual !== undefined && (
          <rect
            class="usual-band"
            x={left}
            y={y(usual.max)}
            width={WIDTH - left - EDGE}
            height={Math.max(1, y(usual.min) - y(usual.max))}
          />
        )}
        {marked.map(({ mark, words }) => (
          <text key={mark} x={left - 6} y={y(mark) + 4}>
            {words}
          </text>
        ))}
        <polyline
          points={findings.map(({ atMs, value }) => `${x(atMs).toFixed(1)},${y(value).toFixed(1)}`).join(' ')}
        />
        {findings.map(({ atMs, value }) => (
          <circle key={atMs} cx={x(atMs)} cy={y(value)} r={3} />
        ))}
      </svg>
      <figcaption style={{ paddingLeft: `${String((100 * left) / WIDTH)}%` }}>
        <span>{datedDay(first.atMs, nowMs)}</span>
        <span>{datedDay(last.atMs, nowMs)}</span>
      </figcaption>
    </figure>
  );
}
