/*
 * The night that a plan makes, from the press at the bath to the open contactor: as a band with its phases, read by touching it, and as a table. Part of the
 * plan's room; asks nobody for anything.
 */
import { useSignal } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import { nightTable, type Plan, type UnitSystem } from '@bathkeeper/shared-core/trade';
import { timeTicks } from '../night/band-model.js';
import { LaneChart, type LaneContent } from '../night/lane-chart.js';
import { useLaneWidth } from '../night/lane-width.js';
import type { Colours } from '../night/lanes.js';
import { PhaseStrip } from '../night/phase-strip.js';
import { isNight } from '../state/look.js';
import { aheadContent } from './ahead-chart.js';
import { aheadLines, aheadSpans, aheadSummary, afterWords, momentWords } from './ahead-lines.js';

export function NightAhead(props: { plan: Plan; units: UnitSystem }) {
  const { units } = props;
  const { night } = props.plan;
  const { frame, width } = useLaneWidth();
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<LaneChart | null>(null);
  const said = useSignal<string | null>(null);
  const lines = useMemo(() => aheadLines(night, units), [night, units]);
  const content = (colours: Colours): LaneContent =>
    aheadContent({ lines, ticks: timeTicks(lines.axis, width, 0), units }, colours);
  const dark = isNight.value;
  useEffect(() => {
    chart.current = new LaneChart(canvas.current!, content);
    return () => chart.current?.remove();
    // Drawn anew only when the colours or the lanes change; the next effect follows everything else.
  }, [dark, lines.bath === undefined]);
  useEffect(() => {
    said.value = null;
    chart.current?.draw(content);
  }, [lines, width]);
  const tell = (event: PointerEvent): void => {
    const at = chart.current?.momentAt(event.offsetX) ?? null;
    if (at !== null) said.value = momentWords(night, at, units) ?? null;
  };
  return (
    <section class="night-ahead" aria-labelledby="night-ahead-title">
      <h2 id="night-ahead-title">The night ahead</h2>
      <div class="band-frame" ref={frame}>
        <PhaseStrip spans={aheadSpans(night)} axis={lines.axis} width={width} timeWords={afterWords} />
        <div class="band-canvas">
          <canvas
            ref={canvas}
            role="img"
            aria-label={aheadSummary(night, units)}
            onPointerMove={tell}
            onPointerDown={tell}
          />
        </div>
      </div>
      <p class="band-said">
        {said.value ??
          'Touch the band to read it. Dashed with a band around it: an estimate and its bounds; the paint’s own resistance at the start is not in it.'}
      </p>
      {lines.bath === undefined && (
        <p class="hint">Give the volume of the bath, and its warming stands here as well.</p>
      )}
      <NightTable plan={props.plan} units={units} />
    </section>
  );
}

function NightTable(props: { plan: Plan; units: UnitSystem }) {
  const { head, rows } = nightTable(props.plan.night, props.units);
  return (
    <details class="fold band-table">
      <summary>The night ahead as a table</summary>
      <div class="table-frame">
        <table>
          <thead>
            <tr>
              {head.map((words) => (
                <th key={words} scope="col">
                  {words}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(([after, ...cells], row) => (
              <tr key={row}>
                <th scope="row">{after}</th>
                {cells.map((words, column) => (
                  <td key={column}>{words}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
