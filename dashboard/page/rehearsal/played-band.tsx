/* The played night as a band with its phases, read by touching it; faults go through all its lanes. Shown in the outcome of a rehearsal. */
import { useSignal } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { RehearsalResult } from '@bathkeeper/shared-core/trade';
import { timeTicks } from '../night/band-model.js';
import { LaneChart, type LaneContent } from '../night/lane-chart.js';
import { useLaneWidth } from '../night/lane-width.js';
import type { Colours } from '../night/lanes.js';
import { PhaseStrip } from '../night/phase-strip.js';
import { afterWords } from '../plan/ahead-lines.js';
import { isNight } from '../state/look.js';
import { units } from '../state/units.js';
import { playedContent } from './played-chart.js';
import { playedLines, playedMoment, playedSpans } from './played-lines.js';

export function PlayedBand(props: { result: RehearsalResult; label: string }) {
  const { result } = props;
  const { frame, width } = useLaneWidth();
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<LaneChart | null>(null);
  const said = useSignal<string | null>(null);
  const system = units.value;
  const lines = useMemo(() => playedLines(result, system), [result, system]);
  const content = (colours: Colours): LaneContent =>
    playedContent({ lines, ticks: timeTicks(lines.axis, width, 0), units: system }, colours);
  const dark = isNight.value;
  useEffect(() => {
    chart.current = new LaneChart(canvas.current!, content);
    return () => chart.current?.remove();
    // Drawn anew only when the colours change; the next effect follows everything else.
  }, [dark]);
  useEffect(() => {
    said.value = null;
    chart.current?.draw(content);
  }, [lines, width]);
  const tell = (event: PointerEvent): void => {
    const at = chart.current?.momentAt(event.offsetX) ?? null;
    if (at !== null) said.value = playedMoment(result, at, system) ?? null;
  };
  return (
    <>
      <div class="band-frame" ref={frame}>
        <PhaseStrip spans={playedSpans(result)} axis={lines.axis} width={width} timeWords={afterWords} />
        <div class="band-canvas">
          <canvas ref={canvas} role="img" aria-label={props.label} onPointerMove={tell} onPointerDown={tell} />
        </div>
      </div>
      <p class="band-said">{said.value ?? 'Touch the band to read it. An upright line: something goes wrong there.'}</p>
    </>
  );
}
