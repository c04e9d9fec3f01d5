/*
 * The night band: from the start to the planned finish, what was measured and what is still to come on one axis, phases as a
 * thin strip, alarms as marks that open their story, and the same as a table. Shown on the bath page; asks for its own series.
 */
import { signal, useSignal } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { ControllerView, NightMark, NightSeries, RunView } from '@bathkeeper/shared-core/messages';
import { toldOfMarks } from '../alarms/of-mark.js';
import { StoryDialog } from '../alarms/story.js';
import { timeTicks } from '../charts/time-ticks.js';
import { askNight } from '../state/api.js';
import { isNight } from '../state/look.js';
import { serverNowMs, snapshot } from '../state/state.js';
import { units } from '../state/units.js';
import { alarmTitle } from '../words/alarm-titles.js';
import { micrometresWords } from '../words/numbers.js';
import { clockTime, timeWords } from '../words/times.js';
import { ownZone } from '../words/zone.js';
import { bandAxis, bandLines, groupedMarks, phaseSpans } from './band-model.js';
import { BandChart } from './chart.js';
import { useLaneWidth } from './lane-width.js';
import { PhaseStrip } from './phase-strip.js';
import { nightRows, nightSummary, pointNear, pointWords } from './night-words.js';

/** Asked again this often, in seconds of the bath, but never more than once in two seconds of the reader. */
const ASK_EVERY_SECONDS = 20;

const series = signal<NightSeries | null>(null);

function useSeries(controllerId: string, run: RunView | null): NightSeries | null {
  const speed = snapshot.value?.clockSpeed ?? 1;
  const runNumber = run?.runNumber ?? null;
  const alarmsSeen = snapshot.value?.alarms.reduce((sum, alarm) => sum + alarm.alarmId, 0) ?? 0;
  const isOver = run !== null && run.endedAtMs !== null;
  useEffect(() => {
    if (runNumber === null) {
      series.value = null;
      return;
    }
    let isCurrent = true;
    const points = Math.round(Math.min(1600, Math.max(400, innerWidth * 1.2)));
    const refresh = async (): Promise<void> => {
      const answer = await askNight(controllerId, runNumber, points);
      if (isCurrent && answer.ok) series.value = answer.value;
    };
    void refresh();
    if (isOver) return () => (isCurrent = false);
    const timer = setInterval(() => void refresh(), Math.max(2, ASK_EVERY_SECONDS / speed) * 1000);
    return () => {
      isCurrent = false;
      clearInterval(timer);
    };
  }, [controllerId, runNumber, speed, isOver, alarmsSeen]);
  const known = series.value;
  return known && known.controllerId === controllerId && known.runNumber === runNumber ? known : null;
}

export function NightBand(props: { controller: ControllerView }) {
  const { controller } = props;
  const known = useSeries(controller.controllerId, controller.run);
  if (controller.run === null) {
    return (
      <section class="night" aria-labelledby="night-title">
        <h2 id="night-title">The night</h2>
        <p class="hint">No run yet. The band begins with the first press at the bath.</p>
      </section>
    );
  }
  const { run } = controller;
  const nowMs = serverNowMs.value;
  return (
    <section class="night" aria-labelledby="night-title">
      <h2 id="night-title">
        {run.recipe.partName || 'The night'}{' '}
        <span class="night-span">
          {run.endedAtMs === null
            ? `since ${timeWords(run.startedAtMs, nowMs)}`
            : `${timeWords(run.startedAtMs, nowMs)} to ${timeWords(run.endedAtMs, nowMs)}`}
        </span>
      </h2>
      {known === null ? <p class="hint">Fetching the night…</p> : <Band series={known} run={run} nowMs={nowMs} />}
    </section>
  );
}

function Band(props: { series: NightSeries; run: RunView; nowMs: number }) {
  const { series: night, run } = props;
  const isRunning = run.endedAtMs === null;
  // The present moves in steps of a thousandth of the band: finer would be drawn for nobody.
  const grain = Math.max(1000, (bandAxis(night, props.nowMs, isRunning).toMs - night.startedAtMs) / 1000);
  const nowMs = Math.floor(props.nowMs / grain) * grain;
  const { frame, width } = useLaneWidth();
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<BandChart | null>(null);
  const said = useSignal<string | null>(null);
  const opened = useSignal<readonly NightMark[] | null>(null);
  const axis = bandAxis(night, nowMs, isRunning);
  const lines = useMemo(() => bandLines(night, run.recipe, units.value), [night, run.recipe.recipeId, units.value]);
  const drawing = {
    axis,
    lines,
    ticks: timeTicks({ from: axis.fromMs, to: axis.toMs }, width, ownZone()).map(({ atMs }) => atMs),
    recipe: run.recipe,
    units: units.value,
    nowMs: isRunning ? nowMs : null,
  };
  const dark = isNight.value;
  useEffect(() => {
    chart.current = new BandChart(canvas.current!, drawing);
    return () => chart.current?.remove();
    // Drawn anew only when the colours change; the next effect follows everything else.
  }, [dark]);
  useEffect(() => {
    chart.current?.draw(drawing);
  }, [night, nowMs, width, units.value]);

  const tell = (event: PointerEvent): void => {
    const at = chart.current?.momentAt(event.offsetX) ?? null;
    const point = at === null ? null : pointNear(night, at, (axis.toMs - axis.fromMs) / 60);
    if (point) said.value = pointWords(point, run.recipe, { units: units.value });
    else if (at !== null) said.value = plannedWords(night, at);
  };
  return (
    <>
      <div class="band-frame" ref={frame}>
        <div class="band-marks" role="group" aria-label="Alarms on the band">
          {groupedMarks(night.alarms, axis, width).map((group) => (
            <button
              key={group.marks[0]!.alarmId}
              type="button"
              class="band-mark"
              ref={(button) => button?.style.setProperty('left', `${String(Math.round(group.leftPixels))}px`)}
              aria-label={markWords(group.marks)}
              data-open={group.marks.some((m) => m.untilMs === null) ? 'true' : undefined}
              onClick={() => (opened.value = group.marks)}
            >
              <span aria-hidden="true">{group.marks.length > 1 ? group.marks.length : '!'}</span>
            </button>
          ))}
        </div>
        <PhaseStrip
          spans={phaseSpans(night, isRunning ? nowMs : (run.endedAtMs ?? nowMs))}
          axis={axis}
          width={width}
          timeWords={clockTime}
        />
        <div class="band-canvas">
          <canvas
            ref={canvas}
            role="img"
            aria-label={nightSummary(night, run.recipe, props.nowMs, { units: units.value })}
            onPointerMove={tell}
            onPointerDown={tell}
          />
        </div>
      </div>
      <p class="band-said">
        {said.value ??
          'Solid: measured, with the extremes behind it. Dashed: still to come. Touch the band to read it.'}
      </p>
      <details class="fold band-table">
        <summary>The night as a table</summary>
        <div class="table-frame">
          <table>
            <thead>
              <tr>
                <th scope="col">Time</th>
                <th scope="col">Current</th>
                <th scope="col">Bath</th>
                <th scope="col">Shaft</th>
                <th scope="col">Thickness</th>
              </tr>
            </thead>
            <tbody>
              {nightRows(night, run.recipe, { units: units.value }).map((row) => (
                <tr key={row.atMs}>
                  <th scope="row">{row.time}</th>
                  <td>{row.current}</td>
                  <td>{row.temperature}</td>
                  <td>{row.rotation}</td>
                  <td>{row.thickness}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
      {opened.value && <StoryDialog alarms={toldOfMarks(opened.value)} onClose={() => (opened.value = null)} />}
    </>
  );
}

function markWords(marks: readonly NightMark[]): string {
  const [first] = marks;
  return marks.length === 1 && first
    ? `Alarm at ${clockTime(first.atMs)}: ${alarmTitle[first.name]}`
    : `${String(marks.length)} alarms from ${clockTime(marks[0]!.atMs)}: ${[...new Set(marks.map((m) => alarmTitle[m.name]))].join(', ')}`;
}

function plannedWords(night: NightSeries, atMs: number): string | null {
  const after = night.planned.findIndex((point) => point.atMs >= atMs);
  const [a, b] = [night.planned[after - 1], night.planned[after]];
  if (!a || !b) return null;
  const share = (atMs - a.atMs) / Math.max(1, b.atMs - a.atMs);
  const between = (from: number, to: number): number => from + share * (to - from);
  const thickness = between(a.averageThicknessMicrometres, b.averageThicknessMicrometres);
  return `${clockTime(atMs)}, planned: ${micrometresWords(thickness, units.value)}`;
}
