/*
 * A night as a band of lanes with its phases over it, read by touching it. Used where a night is planned or played; the night band of a run, which grows and has
 * alarms, is band.tsx's. What the lanes draw, and what a moment says, is whoever shows it.
 */
import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { timeTicks } from '../charts/time-ticks.js';
import { isNight } from '../state/look.js';
import type { BandAxis, PhaseSpan } from './band-model.js';
import { LaneChart, type LaneContent } from './lane-chart.js';
import { useLaneWidth } from './lane-width.js';
import type { Colours } from './lanes.js';
import { PhaseStrip } from './phase-strip.js';

export interface LaneBandProps {
  /** In milliseconds since the start. */
  readonly axis: BandAxis;
  readonly spans: readonly PhaseSpan[];
  /** A new one whenever something else is to be drawn, and only then. */
  readonly content: (colours: Colours, ticks: readonly number[]) => LaneContent;
  /** How many lanes it has. */
  readonly lanes: number;
  /** The whole band in words. */
  readonly label: string;
  /** A moment of the axis in words; undefined: nothing is known there. */
  readonly moment: (atMs: number) => string | undefined;
  readonly timeWords: (atMs: number) => string;
  /** What stands under it before anybody touched it. */
  readonly hint: string;
}

export function LaneBand(props: LaneBandProps) {
  const { axis, content } = props;
  const { frame, width } = useLaneWidth();
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<LaneChart | null>(null);
  const said = useSignal<string | null>(null);
  const inColours = (colours: Colours): LaneContent => content(colours, hoursOf(axis, width));
  const dark = isNight.value;
  useEffect(() => {
    chart.current = new LaneChart(canvas.current!, inColours);
    return () => chart.current?.remove();
    // Drawn anew only when the colours or the lanes change; the next effect follows everything else.
  }, [dark, props.lanes]);
  useEffect(() => {
    said.value = null;
    chart.current?.draw(inColours);
  }, [content, width]);
  const tell = (event: PointerEvent): void => {
    const at = chart.current?.momentAt(event.offsetX) ?? null;
    if (at !== null) said.value = props.moment(at) ?? null;
  };
  return (
    <>
      <div class="band-frame" ref={frame}>
        <PhaseStrip spans={props.spans} axis={axis} width={width} timeWords={props.timeWords} />
        <div class="band-canvas">
          <canvas ref={canvas} role="img" aria-label={props.label} onPointerMove={tell} onPointerDown={tell} />
        </div>
      </div>
      <p class="band-said">{said.value ?? props.hint}</p>
    </>
  );
}

/** Whole hours since the start: an axis that begins at 0 is told as a clock of UTC tells it. */
function hoursOf({ fromMs, toMs }: BandAxis, width: number): number[] {
  return timeTicks({ from: fromMs, to: toMs }, width, 'UTC').map(({ atMs }) => atMs);
}
