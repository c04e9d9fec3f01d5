/*
 * The demonstration part: a fluted bell lampshade, made by code. Its profile is that of the bell in the drawing of the tank, one
 * unit of it taken as a millimetre. Called by the model worker; pure. A closed surface, open at neck and mouth like a shade.
 */
import { MeshBuilder, type Mesh } from '@bathkeeper/shared-core/part';
import { bellProfile, type Point } from '../tank/bell.js';

const HEIGHT_MM = 150;
const WALL_MM = 2.4;
const FLUTES = 24;
/** Half of how deep the flutes are at the lip; they fade towards the neck. */
const FLUTE_MM = 1.6;
const AROUND = 360;
const ALONG = 72;

/** About 105,000 triangles, 150 mm high and 135 mm wide, mouth downwards (z is up). */
export function flutedBell(): Mesh {
  // Down the outside from neck to lip, and up again within: one closed outline, turned around the axis.
  const outline = [...bellProfile(0, ALONG), ...bellProfile(-WALL_MM, ALONG).reverse()];
  const builder = new MeshBuilder(outline.length * AROUND * 2);
  const ring = (turn: number): number[] => {
    const angle = (2 * Math.PI * turn) / AROUND;
    return outline.map((point) => {
      const radius = point.x + flute(point, angle);
      return builder.weld.place(radius * Math.cos(angle), radius * Math.sin(angle), HEIGHT_MM - point.y);
    });
  };
  const first = ring(0);
  let here = first;
  for (let turn = 1; turn <= AROUND; turn++) {
    const next = turn === AROUND ? first : ring(turn);
    for (let k = 0; k < outline.length; k++) {
      const down = (k + 1) % outline.length;
      builder.add(here[k]!, here[down]!, next[down]!);
      builder.add(here[k]!, next[down]!, next[k]!);
    }
    here = next;
  }
  return builder.finish();
}

function flute(point: Point, angle: number): number {
  const down = Math.min(1, Math.max(0, point.y / HEIGHT_MM));
  return FLUTE_MM * down * Math.cos(FLUTES * angle);
}
