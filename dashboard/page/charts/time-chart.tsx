/*
 * What was logged of one bath between two moments that a hand can move: lanes, the values at the moment that is read, and the same as a table. Shown in the charts' own
 * room and in the room of a run. It asks the dashboard for what is seen, about a point for each pixel, and keeps what is shown until the next has come.
 */
import { useCallback, useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { ownZone } from '../words/zone.js';
import { useLaneWidth } from '../night/lane-width.js';
import type { Colours } from '../night/lanes.js';
import { RefusalWords } from '../screens/refusal.js';
import { serverNowMs, snapshot } from '../state/state.js';
import { units } from '../state/units.js';
import { AxisChart } from './axis-chart.js';
import { chartContent } from './lane-content.js';
import { chartLines, middleOf } from './lines.js';
import { alarmMoments, MarksRow, useMarks } from './marks.js';
import { bucketAt, bucketWhen, chartSummary, type Reader, viewWhen } from './reading.js';
import { ChartTable, MomentSlider, Reading } from './reading-parts.js';
import { timeTicks } from './time-ticks.js';
import { NO_SERIES, useSeries } from './use-series.js';
import { LEAST_MS, lengthOf, type View, within } from './view.js';

export interface TimeChartProps {
  readonly controllerId: string;
  /** Milliseconds. What can be looked at; `to` null: until now. */
  readonly from: number;
  readonly to: number | null;
  readonly view: View;
  readonly moved: (view: View) => void;
  readonly takesEveryWheel: boolean;
  /** Changes when somebody wrote something that is marked on the axis. */
  readonly written?: unknown;
}

/** In seconds of the bath. */
const FOLLOW_SECONDS = 20;
const FOLLOW_LEAST_MS = 2000;

export function TimeChart(props: TimeChartProps) {
  const { controllerId, view } = props;
  const { frame, width } = useLaneWidth();
  const canvas = useRef<HTMLCanvasElement>(null);
  const [readAt, setReadAt] = useState<number | null>(null);
  const limits = { whole: { from: props.from, to: props.to ?? serverNowMs.peek() }, least: LEAST_MS };
  const { series, refusal } = useSeries(controllerId, view, width, frame);
  const marks = useMarks(controllerId, view, props.written);
  useFollowing(props);
  const system = units.value;
  const zone = ownZone();
  const reader: Reader = { nowMs: serverNowMs.peek(), zone };
  const known = series ?? NO_SERIES;
  const lines = useMemo(() => chartLines(known, system), [known, system]);
  const content = useCallback(
    (colours: Colours) =>
      chartContent(
        { view, ticks: timeTicks(view, width, zone), lines, units: system, marks: alarmMoments(marks, view) },
        colours,
      ),
    [view.from, view.to, width, lines, marks],
  );
  const read = readAt === null ? null : bucketAt(known, readAt, lengthOf(view) / 60);
  return (
    <section class="time-chart">
      <p class="chart-seen">{viewWhen(view, reader)}</p>
      <AxisChart
        frame={frame}
        canvas={canvas}
        view={view}
        limits={limits}
        moved={(next) => props.moved(within(next, limits))}
        content={content}
        label={chartSummary(series, view, system, reader)}
        cursor={read === null ? null : middleOf(known, read)}
        pointed={setReadAt}
        takesEveryWheel={props.takesEveryWheel}
        laneCount={6}
        above={<MarksRow known={marks} view={view} width={width} controllerId={controllerId} zone={zone} />}
      >
        <MomentSlider
          series={known}
          read={read}
          words={(index) => bucketWhen(known, index, reader)}
          moved={(index) => setReadAt(middleOf(known, index))}
        />
      </AxisChart>
      <RefusalWords refusal={refusal} />
      <Reading series={known} read={read} isAsked={series !== null} reader={reader} units={system} />
      <ChartTable series={known} reader={reader} units={system} />
    </section>
  );
}

/** A view that ends at the present goes on with it. */
function useFollowing({ to, view, moved }: TimeChartProps): void {
  const shownMs = lengthOf(view);
  const isAtPresent = to === null && view.to > serverNowMs.peek() - Math.max(shownMs / 100, FOLLOW_LEAST_MS);
  const speed = snapshot.value?.clockSpeed ?? 1;
  useEffect(() => {
    if (!isAtPresent) return undefined;
    // Of a year a new point comes every few hours.
    const everyMs = Math.max(FOLLOW_LEAST_MS, (1000 * FOLLOW_SECONDS) / speed, shownMs / 1000 / speed);
    const timer = setInterval(() => moved({ from: serverNowMs.peek() - shownMs, to: serverNowMs.peek() }), everyMs);
    return () => clearInterval(timer);
  }, [isAtPresent, shownMs, speed, moved]);
}
