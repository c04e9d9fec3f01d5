/*
 * Paints a drawing as a PNG, and writes it as SVG. Called by icon-files.mjs when the page is built. Knows areas and strokes, no more:
 * a library for two shapes would be the larger thing to trust.
 */
import { crc32, deflateSync } from 'node:zlib';

const UNITS = 32;
/** Samples along each side of a pixel. */
const FINE = 4;

const CAP_CORNERS = 24;

/** A stroke as areas: a slab for each piece of the line, a round at each of its points. */
function strokeAreas(points, width) {
  const rounds = points.map(([x, y]) =>
    Array.from({ length: CAP_CORNERS }, (_, corner) => {
      const angle = (2 * Math.PI * corner) / CAP_CORNERS;
      return [x + (width / 2) * Math.cos(angle), y + (width / 2) * Math.sin(angle)];
    }),
  );
  const slabs = points.slice(1).map(([bx, by], at) => {
    const [ax, ay] = points[at];
    const share = width / 2 / Math.hypot(bx - ax, by - ay);
    const [nx, ny] = [(by - ay) * share, (ax - bx) * share];
    return [[ax + nx, ay + ny], [bx + nx, by + ny], [bx - nx, by - ny], [ax - nx, ay - ny]]; // prettier-ignore
  });
  return [...rounds, ...slabs];
}

/** Where a level line enters and leaves an area, in order. */
function crossings(points, y) {
  const found = [];
  for (let at = 0, before = points.length - 1; at < points.length; before = at++) {
    const [ax, ay] = points[at];
    const [bx, by] = points[before];
    if (ay > y !== by > y) found.push(((bx - ax) * (y - ay)) / (by - ay) + ax);
  }
  return found.sort((a, b) => a - b);
}

const rgb = (colour) => [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16));

/** Red, green, blue, alpha of each pixel. `scale` below 1 leaves air around the drawing. */
function painted(drawing, pixels, scale) {
  const colours = [drawing.ground ?? '#000000', ...drawing.shapes.map((shape) => shape.colour)].map(rgb);
  const areas = drawing.shapes.flatMap((shape, at) =>
    (shape.kind === 'area' ? [shape.points] : strokeAreas(shape.points, shape.width)).map((points) => ({
      ink: at + 1,
      points: points.map((point) => point.map((along) => UNITS / 2 + (along - UNITS / 2) * scale)),
    })),
  );
  const samples = pixels * FINE;
  const bytes = Buffer.alloc(pixels * pixels * 4);
  const sums = new Float64Array(pixels * 4);
  const line = new Int8Array(samples);
  for (let row = 0; row < samples; row++) {
    const y = ((row + 0.5) * UNITS) / samples;
    line.fill(drawing.ground === null ? -1 : 0);
    for (const { ink, points } of areas) {
      const xs = crossings(points, y).map((x) => Math.min(samples, Math.max(0, Math.round((x * samples) / UNITS))));
      for (let pair = 0; pair + 1 < xs.length; pair += 2) line.fill(ink, xs[pair], xs[pair + 1]);
    }
    for (let sample = 0; sample < samples; sample++) {
      if (line[sample] < 0) continue;
      const at = Math.floor(sample / FINE) * 4;
      for (let k = 0; k < 3; k++) sums[at + k] += colours[line[sample]][k];
      sums[at + 3]++;
    }
    if (row % FINE !== FINE - 1) continue;
    const from = Math.floor(row / FINE) * pixels * 4;
    for (let at = 0; at < pixels * 4; at += 4) {
      const seen = sums[at + 3];
      for (let k = 0; k < 3; k++) bytes[from + at + k] = seen === 0 ? 0 : Math.round(sums[at + k] / seen);
      bytes[from + at + 3] = Math.round((255 * seen) / (FINE * FINE));
    }
    sums.fill(0);
  }
  return bytes;
}

function chunk(type, content) {
  const named = Buffer.concat([Buffer.from(type, 'latin1'), content]);
  const length = Buffer.alloc(4);
  length.writeUInt32BE(content.length);
  const check = Buffer.alloc(4);
  check.writeUInt32BE(crc32(named));
  return Buffer.concat([length, named, check]);
}

/** PNG (W3C, third edition): 8 bits, with alpha, no filter. */
export function pngOf(drawing, pixels, scale = 1) {
  const head = Buffer.alloc(13);
  head.writeUInt32BE(pixels, 0);
  head.writeUInt32BE(pixels, 4);
  head.set([8, 6, 0, 0, 0], 8);
  const paint = painted(drawing, pixels, scale);
  const rows = Array.from({ length: pixels }, (_, row) =>
    Buffer.concat([Buffer.from([0]), paint.subarray(row * pixels * 4, (row + 1) * pixels * 4)]),
  );
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk('IHDR', head),
    chunk('IDAT', deflateSync(Buffer.concat(rows), { level: 9 })),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

export function svgOf(drawing) {
  const d = (points) => points.map(([x, y], at) => `${at === 0 ? 'M' : 'L'}${+x.toFixed(2)} ${+y.toFixed(2)}`).join('');
  const shapes = drawing.shapes.map((shape) =>
    shape.kind === 'area'
      ? `<path d="${d(shape.points)}Z" fill="${shape.colour}"/>`
      : `<path d="${d(shape.points)}" fill="none" stroke="${shape.colour}" stroke-width="${shape.width}" stroke-linecap="round" stroke-linejoin="round"/>`,
  );
  const ground = drawing.ground === null ? '' : `<rect width="32" height="32" rx="5" fill="${drawing.ground}"/>`;
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32">${ground}${shapes.join('')}</svg>\n`;
}
