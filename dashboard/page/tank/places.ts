/*
 * Where in the section each place is ringed, and where its word stands. Laid out so that no word meets another or a reading, were
 * everything marked at once (a browser test measures it). Read by the drawing only; units are those of its view box.
 */
import type { Place } from '../words/conditions.js';

export interface Ring {
  readonly cx: number;
  readonly cy: number;
  readonly rx: number;
  readonly ry: number;
  /** Where the word stands. */
  readonly wx: number;
  readonly wy: number;
  readonly anchor: 'start' | 'middle' | 'end';
}

/** The view box: room above the supply for its mains, and below the tank for its tray. */
export const SECTION_BOX = { left: 0, top: -42, width: 360, height: 492 } as const;

export const rings: Readonly<Record<Place, Ring>> = {
  'second-means': { cx: 48, cy: -16, rx: 15, ry: 15, wx: 67, wy: -22, anchor: 'start' },
  terminals: { cx: 48, cy: 46, rx: 45, ry: 31, wx: 62, wy: 11, anchor: 'start' },
  contactor: { cx: 30, cy: 98, rx: 15, ry: 18, wx: 36, wy: 134, anchor: 'start' },
  'emergency-stop': { cx: 78, cy: 98, rx: 14, ry: 14, wx: 97, wy: 118, anchor: 'start' },
  shunt: { cx: 128, cy: 52, rx: 36, ry: 34, wx: 128, wy: 101, anchor: 'middle' },
  shaft: { cx: 180, cy: 30, rx: 24, ry: 26, wx: 212, wy: 62, anchor: 'start' },
  clip: { cx: 180, cy: 186, rx: 18, ry: 13, wx: 156, wy: 192, anchor: 'end' },
  part: { cx: 180, cy: 292, rx: 90, ry: 88, wx: 180, wy: 377, anchor: 'middle' },
  anodes: { cx: 56, cy: 256, rx: 17, ry: 102, wx: 31, wy: 374, anchor: 'start' },
  probe: { cx: 284, cy: 92, rx: 52, ry: 20, wx: 354, wy: 131, anchor: 'end' },
  level: { cx: 232, cy: 177, rx: 22, ry: 9, wx: 232, wy: 164, anchor: 'middle' },
  floor: { cx: 176, cy: 408, rx: 22, ry: 11, wx: 203, wy: 413, anchor: 'start' },
  room: { cx: 334, cy: 50, rx: 16, ry: 12, wx: 357, wy: 77, anchor: 'end' },
  agitation: { cx: 330, cy: 408, rx: 18, ry: 11, wx: 308, wy: 413, anchor: 'end' },
  filter: { cx: 30, cy: 408, rx: 18, ry: 11, wx: 53, wy: 413, anchor: 'start' },
  controller: { cx: 332, cy: -18, rx: 24, ry: 16, wx: 302, wy: -13, anchor: 'end' },
};
