/*
 * Two runs laid over each other, by the time since each began or by the charge that had flowed: the first in ink, the second in copper behind it. Shown in the room
 * that compares two runs; each run is asked for what is seen of it.
 */
import { useCallback, useMemo, useRef, useState } from 'preact/hooks';
import type { Series } from '@bathkeeper/shared-core/messages';
import type { UnitSystem } from '@bathkeeper/shared-core/trade';
import { useLaneWidth } from '../night/lane-width.js';
import type { Colours } from '../night/lanes.js';
import { RefusalWords } from '../screens/refusal.js';
import { units } from '../state/units.js';
import { AxisChart } from './axis-chart.js';
import { chartContent } from './lane-content.js';
import { type ChartLines, chartLines } from './lines.js';
import { readingLines } from './reading.js';
import {
  type Alignment,
  bucketAtPlace,
  type LaidRun,
  placedBy,
  placeTicks,
  placeWords,
  wholeAxis,
  windowOf,
} from './two-runs.js';
import { NO_SERIES, useSeries } from './use-series.js';
import { LEAST_MS, lengthOf, type View } from './view.js';

/** Enough to find by charge when it was. */
const WHOLE_POINTS = 2000;
/** A closer view by charge than this share of all of it is nobody's. */
const CLOSEST_SHARE = 1 / 2000;

export type Pair<T> = readonly [T, T];

export function CompareChart({ runs, names, alignment }: { runs: Pair<LaidRun>; names: Pair<string>; alignment: Alignment }) {
  const { frame, width } = useLaneWidth();
  const canvas = useRef<HTMLCanvasElement>(null);
  const whole = wholeAxis(alignment, runs);
  const [view, setView] = useState<View>(whole);
  const [readAt, setReadAt] = useState<number | null>(null);
  const limits = { whole, least: alignment === 'start' ? Math.min(LEAST_MS, whole.to) : whole.to * CLOSEST_SHARE };
  const system = units.value;
  const seen: Pair<Seen> = [
    useLaidRun(alignment, view, runs[0], width, system),
    useLaidRun(alignment, view, runs[1], width, system),
  ];
  const [first, second] = seen;
  const content = useCallback(
    (colours: Colours) =>
      chartContent(
        { view, ticks: placeTicks(alignment, view, width), lines: first.lines, laidOver: second.lines, units: system },
        colours,
      ),
    [view.from, view.to, width, first.lines, second.lines],
  );
  const readPlace = readAt !== null && readAt >= view.from && readAt <= view.to ? readAt : null;
  return (
    <section class="time-chart">
      <AxisChart
        frame={frame}
        canvas={canvas}
        view={view}
        limits={limits}
        moved={setView}
        content={content}
        label={`${names[0]} in ink and ${names[1]} in copper, from ${placeWords(alignment, view.from)} to ${placeWords(alignment, view.to)} ${sinceWords[alignment]}.`}
        cursor={readPlace}
        pointed={setReadAt}
        takesEveryWheel={false}
        laneCount={6}
      >
        <input
          type="range"
          class="moment-slider"
          aria-label="Place to read"
          min={view.from}
          max={view.to}
          step={lengthOf(view) / 500}
          value={readPlace ?? view.to}
          aria-valuetext={readPlace === null ? 'none chosen' : placeWords(alignment, readPlace)}
          onInput={(event) => setReadAt(event.currentTarget.valueAsNumber)}
        />
      </AxisChart>
      {seen.map(({ refusal }, index) => (
        <RefusalWords key={index} refusal={refusal} />
      ))}
      {readPlace === null ? (
        <p class="hint">
          Drag to move, wheel or two fingers to look closer. Touch the lanes, or use the slider, to read both runs.
        </p>
      ) : (
        <BothRead {...{ runs, names, alignment, system }} series={[first.series, second.series]} place={readPlace} within={lengthOf(view) / 60} />
      )}
    </section>
  );
} // prettier-ignore

const sinceWords: Readonly<Record<Alignment, string>> = { start: 'after the start', charge: 'of charge' };

interface Seen {
  readonly series: Series;
  readonly lines: ChartLines;
  readonly refusal: ReturnType<typeof useSeries>['refusal'];
}

function useLaidRun(alignment: Alignment, view: View, run: LaidRun, width: number, system: UnitSystem): Seen {
  const all = alignment === 'charge' ? { from: run.startedAtMs, to: Math.max(run.startedAtMs + 1000, run.lastedUntilMs) } : null;
  const { series: whole } = useSeries(run.controllerId, all, WHOLE_POINTS);
  const asked = windowOf(alignment, view, run, whole);
  const { series, refusal } = useSeries(run.controllerId, asked, width);
  const known = series ?? NO_SERIES;
  const lines = useMemo(() => chartLines(known, system, placedBy(alignment, known, run)), [known, system, alignment]);
  return { series: known, lines, refusal };
} // prettier-ignore

/** What both runs had at one place of the axis, side by side. */
function BothRead(props: {
  runs: Pair<LaidRun>;
  names: Pair<string>;
  series: Pair<Series>;
  alignment: Alignment;
  system: UnitSystem;
  place: number;
  within: number;
}) {
  const { runs, names, series, alignment, system, place, within } = props;
  const read = ([0, 1] as const).map((one) => {
    const index = bucketAtPlace(alignment, series[one], runs[one], place, within);
    return index === null ? null : new Map(readingLines(series[one], index, system).map(({ label, words }) => [label, words]));
  });
  const labels = [...new Set(read.flatMap((lines) => [...(lines?.keys() ?? [])]))];
  return (
    <div class="table-frame" aria-live="polite">
      <table class="both-read">
        <caption>
          {placeWords(alignment, place)} {sinceWords[alignment]}
        </caption>
        <thead>
          <tr>
            <td />
            {names.map((name, index) => (
              <th scope="col" key={index}>
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {labels.map((label) => (
            <tr key={label}>
              <th scope="row">{label}</th>
              {read.map((lines, index) => (
                <td key={index}>{lines?.get(label) ?? 'not logged'}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      {labels.length === 0 && <p class="hint">Nothing was logged of either here.</p>}
    </div>
  );
} // prettier-ignore
