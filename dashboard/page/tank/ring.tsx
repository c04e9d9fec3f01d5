/*
 * A mark in the section: a pencil ring around the place and its word beside it. Where nothing is drawn in a good night (a watcher that may
 * not even be fitted), the mark brings its own little picture.
 */
import type { JSX } from 'preact';
import type { Place } from '../words/conditions.js';
import type { Mark } from './marks.js';
import { rings } from './places.js';

/** Drops, smoke, bubbles, a pump: seen only when they are meant. */
const pictures: Partial<Record<Place, JSX.Element>> = {
  floor: <path d="M170 402q-5 7 0 9q5 -2 0 -9M181 405q-4 6 0 8q4 -2 0 -8" />,
  room: <path d="M330 58q-5 -4 0 -8t0 -8M339 58q-5 -4 0 -8t0 -8" />,
  agitation: (
    <g>
      <circle cx="324" cy="411" r="2.4" />
      <circle cx="331" cy="406" r="3.2" />
      <circle cx="337" cy="412" r="2" />
    </g>
  ),
  filter: <path d="M30 400a8 8 0 1 1 -.1 0M24 404h12M24 408h12M24 412h12" />,
  controller: <path d="M318 -28h28v20h-28zM324 -28v-4M332 -28v-4M340 -28v-4M324 -8v4M332 -8v4M340 -8v4" />,
};

/** Drawn as with a pencil: once around and a little over. */
export function Ring(props: { mark: Mark }) {
  const { place, kind, mark } = props.mark;
  const { cx, cy, rx, ry, wx, wy, anchor } = rings[place];
  const path =
    `M${cx - rx * 0.3} ${cy - ry * 0.98}C${cx - rx * 1.15} ${cy - ry * 0.8} ${cx - rx * 1.2} ${cy + ry * 0.75} ${cx} ${cy + ry}` +
    `C${cx + rx * 1.2} ${cy + ry * 1.02} ${cx + rx * 1.2} ${cy - ry * 0.85} ${cx + rx * 0.1} ${cy - ry * 1.02}` +
    `C${cx - rx * 0.3} ${cy - ry * 1.05} ${cx - rx * 0.7} ${cy - ry * 0.9} ${cx - rx * 0.85} ${cy - ry * 0.6}`;
  return (
    <g class={kind === 'wrong' ? 'ring wrong' : 'ring wants'} data-place={place}>
      {pictures[place] && <g class="picture">{pictures[place]}</g>}
      <path class="around" d={path} />
      <text x={wx} y={wy} text-anchor={anchor}>
        {mark}
      </text>
    </g>
  );
}
