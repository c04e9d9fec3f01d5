/*
 * Lanes over one axis, moved by fingers, mouse, wheel, keys and buttons, with an upright line at the moment that is read. Used by the chart of a bath and by two runs laid
 * over each other; it knows what it draws only as lanes, and its axis only as numbers.
 */
import type { ComponentChildren, RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { LaneChart, type LaneContent } from '../night/lane-chart.js';
import { type Colours, GUTTER_PIXELS, RIGHT_PIXELS } from '../night/lanes.js';
import { isNight } from '../state/look.js';
import { listenToHands } from './gestures.js';
import { isSame, lengthOf, panned, pinched, type View, type ViewLimits, zoomed } from './view.js';

export interface AxisChartProps {
  readonly frame: RefObject<HTMLDivElement | null>;
  readonly canvas: RefObject<HTMLCanvasElement | null>;
  readonly view: View;
  readonly limits: ViewLimits;
  readonly moved: (view: View) => void;
  /** Changes whenever something else is to be drawn. */
  readonly content: (colours: Colours) => LaneContent;
  /** What is seen, in words. */
  readonly label: string;
  /** The place on the axis that is read; null: none. */
  readonly cursor: number | null;
  readonly pointed: (at: number) => void;
  /** The wheel zooms without being asked to by a click first: where the chart is most of the page. */
  readonly takesEveryWheel: boolean;
  readonly laneCount: number;
  /** Shown above the lanes, at the same width. */
  readonly above?: ComponentChildren;
  /** Below them, likewise. */
  readonly children?: ComponentChildren;
}

const STEP_ZOOM = 2;
const STEP_PAN = 0.5;

export function AxisChart(props: AxisChartProps) {
  const { canvas, view, content } = props;
  const chart = useRef<LaneChart | null>(null);
  // What hands find: always the newest view, also when several of their moves come between two drawings.
  const latest = useRef(props);
  latest.current = props;
  const move = (next: View): boolean => {
    if (isSame(next, latest.current.view)) return false;
    latest.current = { ...latest.current, view: next };
    latest.current.moved(next);
    return true;
  };
  const dark = isNight.value;
  useEffect(() => {
    chart.current = new LaneChart(canvas.current!, latest.current.content);
    return () => chart.current?.remove();
    // Drawn anew only when the colours change; the next effect follows everything else.
  }, [dark]);
  useEffect(() => {
    chart.current?.draw(content);
  }, [content]);
  useEffect(() => {
    const element = canvas.current!;
    let atPinch = latest.current.view;
    return listenToHands(element, {
      shareAt: (x) => (x - GUTTER_PIXELS) / Math.max(1, element.clientWidth - GUTTER_PIXELS - RIGHT_PIXELS),
      zoom: (factor, share) => move(zoomed(latest.current.view, factor, share, latest.current.limits)),
      pan: (share) => move(panned(latest.current.view, share, latest.current.limits)),
      pinchBegins: () => (atPinch = latest.current.view),
      pinch: (began, now) => move(pinched(atPinch, began, now, latest.current.limits)),
      point: (share) => {
        const at = latest.current.view;
        if (share >= 0 && share <= 1) latest.current.pointed(at.from + share * lengthOf(at));
      },
      takesWheel: (event) =>
        event.ctrlKey ||
        latest.current.takesEveryWheel ||
        element.closest('.axis-chart')!.contains(document.activeElement),
    });
  }, []);
  const step = (change: (from: View, limits: ViewLimits) => View) => (): boolean =>
    move(change(latest.current.view, latest.current.limits));
  const cursorShare = (from: View): number => {
    const { cursor } = latest.current;
    const share = cursor === null ? 0.5 : (cursor - from.from) / lengthOf(from);
    return share >= 0 && share <= 1 ? share : 0.5;
  };
  const steps = {
    closer: step((from, limits) => zoomed(from, STEP_ZOOM, cursorShare(from), limits)),
    wider: step((from, limits) => zoomed(from, 1 / STEP_ZOOM, cursorShare(from), limits)),
    earlier: step((from, limits) => panned(from, -STEP_PAN, limits)),
    later: step((from, limits) => panned(from, STEP_PAN, limits)),
  };
  const share = props.cursor === null ? NaN : (props.cursor - view.from) / lengthOf(view);
  return (
    <div class="axis-chart" role="group" aria-label="Chart" onKeyDown={(event) => keyed(event, steps)}>
      <div class="band-frame" ref={props.frame}>
        {props.above}
        <div class="chart-canvas" data-lanes={props.laneCount} onPointerDown={(event) => takeUp(event.currentTarget)}>
          <canvas ref={canvas} role="img" aria-label={props.label} />
          <CursorLine share={share >= 0 && share <= 1 ? share : null} />
        </div>
        {props.children}
      </div>
      <div class="chart-steps">
        {stepNames.map(([name, words]) => (
          <button key={name} type="button" class="quiet" onClick={steps[name]}>
            {words}
          </button>
        ))}
      </div>
    </div>
  );
}

const stepNames = [
  ['earlier', 'Earlier'],
  ['later', 'Later'],
  ['closer', 'Closer'],
  ['wider', 'Wider'],
] as const;
type Steps = Readonly<Record<(typeof stepNames)[number][0], () => boolean>>;

/** A hand on the lanes takes up the slider below them: then the wheel is the chart's, and keys move the moment that is read. */
function takeUp(lanes: HTMLElement): void {
  lanes.closest('.axis-chart')!.querySelector<HTMLElement>('.moment-slider')?.focus({ preventScroll: true });
}

/** + and − look closer and wider, Shift with an arrow earlier and later; a plain arrow belongs to the moment that is read. */
function keyed(event: KeyboardEvent, steps: Steps): void {
  const isMeant = !event.ctrlKey && !event.metaKey && !event.altKey;
  const name =
    event.key === '+' || event.key === '='
      ? 'closer'
      : event.key === '-'
        ? 'wider'
        : event.shiftKey && event.key === 'ArrowLeft'
          ? 'earlier'
          : event.shiftKey && event.key === 'ArrowRight'
            ? 'later'
            : undefined;
  if (name === undefined || !isMeant) return;
  steps[name]();
  event.preventDefault();
}

/** Upright through all lanes, at the moment that is read. */
function CursorLine({ share }: { share: number | null }) {
  if (share === null) return null;
  const percent = `${(share * 100).toFixed(3)}%`;
  return (
    <div class="chart-cursor" aria-hidden="true">
      <div ref={(line) => line?.style.setProperty('left', percent)} />
    </div>
  );
}
