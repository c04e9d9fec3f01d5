/*
 * The page's own mark: a tank, its liquid, a bell on its shaft. One drawing for every size, in a square of 32 units.
 * Read by icon-files.mjs when the page is built; says what is where, and draws nothing.
 */

/** A point of a cubic Bézier curve at t. */
const along = ([a, b, c, d], t) => {
  const u = 1 - t;
  return [0, 1].map((k) => u ** 3 * a[k] + 3 * u * u * t * b[k] + 3 * u * t * t * c[k] + t ** 3 * d[k]);
};

const STEPS = 12;
const curve = (...points) => Array.from({ length: STEPS }, (_, step) => along(points, (step + 1) / STEPS));

/** Right half of the bell, from its crown down to its rim. */
const flank = [
  [16, 10],
  ...curve([16, 10], [19.2, 10], [20.8, 11.6], [21.2, 14.6]),
  ...curve([21.2, 14.6], [21.6, 18], [22.4, 20.4], [24.6, 22.6]),
];
const bell = [...flank, ...flank.toReversed().map(([x, y]) => [32 - x, y])];

/** Colours of the paper look; the mark is the same by day and by night. */
const PAPER = '#f5eedf';
const INK = '#2a241b';
const LIQUID = '#cfd9d2';
const COPPER = '#b0602a';

/**
 * `line`: an open stroke of a width; `area`: filled. Later ones lie over earlier ones. `fits`: within the circle that a launcher may cut
 * out (W3C Web App Manifest, "maskable": 40 % of the width around the middle), so that the ground alone is cut.
 */
export const icon = {
  ground: PAPER,
  shapes: [
    { kind: 'area', points: [[6, 14], [26, 14], [26, 26], [6, 26]], colour: LIQUID }, // prettier-ignore
    { kind: 'line', points: [[5, 9.5], [5, 27], [27, 27], [27, 9.5]], width: 2, colour: INK }, // prettier-ignore
    { kind: 'line', points: [[6, 14], [26, 14]], width: 0.9, colour: INK }, // prettier-ignore
    { kind: 'line', points: [[16, 3.5], [16, 10.5]], width: 2, colour: INK }, // prettier-ignore
    { kind: 'area', points: bell, colour: COPPER },
  ],
};

/** One colour on nothing, for the status bar of a phone, which shows only what is opaque. */
export const badge = {
  ground: null,
  shapes: [
    { kind: 'line', points: [[4, 8], [4, 28], [28, 28], [28, 8]], width: 3, colour: '#ffffff' }, // prettier-ignore
    { kind: 'line', points: [[16, 2.5], [16, 10.5]], width: 3, colour: '#ffffff' }, // prettier-ignore
    { kind: 'area', points: bell, colour: '#ffffff' },
  ],
};
