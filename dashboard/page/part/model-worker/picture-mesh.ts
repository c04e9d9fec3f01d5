/*
 * From a mesh to what a picture is drawn from: corners laid out triangle by triangle, a normal for each, in pieces small enough to be
 * handed on without a stutter. Called by the model desk; pure. Models too fine for any screen are drawn with fewer triangles, each of
 * them still one of the model's own, so that what is masked shows where it is; figures never come from here.
 */
import { boxOf, type Mesh, unitNormals } from '@bathkeeper/shared-core/part';
import type { Extent } from './asked.js';

/** Triangles of a picture at most: more than a phone's screen has room for, few enough for its memory (48 bytes each). */
export const MOST_PICTURE_TRIANGLES = 600_000;
const TRIANGLES_IN_PIECE = 50_000;
/** Corners whose faces bend more than this against their mean keep their own normals: an edge looks like an edge. */
const ROUNDED_COSINE = Math.cos((35 * Math.PI) / 180);

export interface PicturePiece {
  /** Nine numbers a triangle. */
  readonly positions: Float32Array;
  /** Four a corner, the last for alignment only: x, y, z times 127. */
  readonly normals: Int8Array;
}

export interface PictureMesh {
  readonly pieces: readonly PicturePiece[];
  /** For each triangle of the picture, through all pieces, the number of the model's triangle. */
  readonly triangleOf: Uint32Array;
}

export function pictureMesh(mesh: Mesh, isInverted: Uint8Array, most = MOST_PICTURE_TRIANGLES): PictureMesh {
  const { corners, triangleOf } = drawnTriangles(mesh, most);
  const faces = unitNormals(mesh);
  const atCorners = cornerNormals(mesh, faces, isInverted);
  const pieces: PicturePiece[] = [];
  for (let from = 0; from < triangleOf.length; from += TRIANGLES_IN_PIECE) {
    const count = Math.min(TRIANGLES_IN_PIECE, triangleOf.length - from);
    const piece = { positions: new Float32Array(count * 9), normals: new Int8Array(count * 12) };
    for (let k = 0; k < count * 3; k++) {
      const corner = corners[from * 3 + k]!;
      const triangle = triangleOf[from + Math.floor(k / 3)]!;
      for (let axis = 0; axis < 3; axis++) piece.positions[k * 3 + axis] = mesh.positionsMm[corner * 3 + axis]!;
      writeNormal(
        piece.normals,
        k * 4,
        faces,
        triangle * 3,
        isInverted[triangle] === 1 ? -1 : 1,
        atCorners,
        corner * 3,
      );
    }
    pieces.push(piece);
  }
  return { pieces, triangleOf };
}

/** The ball around the middle of the box that holds all corners. */
export function extentOf(mesh: Mesh): Extent {
  const { min, max } = boxOf(mesh);
  const [x, y, z] = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, (min[2] + max[2]) / 2];
  const at = mesh.positionsMm;
  let square = 0;
  for (let k = 0; k < at.length; k += 3)
    square = Math.max(square, (at[k]! - x) ** 2 + (at[k + 1]! - y) ** 2 + (at[k + 2]! - z) ** 2);
  return { middleMm: [x, y, z], radiusMm: Math.sqrt(square) };
}

/** For each corner of the picture what is to be seen there: bit 0 masked, bit 1 pointed at. One byte a corner, in the order of the pieces. */
export function pictureStates(
  triangleOf: Uint32Array,
  mask: Uint8Array,
  pointedAt: Uint8Array | undefined,
): Uint8Array {
  const states = new Uint8Array(triangleOf.length * 3);
  for (let t = 0; t < triangleOf.length; t++) {
    const triangle = triangleOf[t]!;
    const state = mask[triangle]! + 2 * (pointedAt?.[triangle] ?? 0);
    if (state !== 0) states.fill(state, t * 3, t * 3 + 3);
  }
  return states;
}

interface Drawn {
  readonly corners: Uint32Array;
  readonly triangleOf: Uint32Array;
}

function drawnTriangles(mesh: Mesh, most: number): Drawn {
  const triangles = mesh.corners.length / 3;
  if (triangles <= most)
    return { corners: mesh.corners, triangleOf: Uint32Array.from({ length: triangles }, (_, t) => t) };
  // A closed surface of m triangles passes through about half as many cells; what is wrinkled through more, and is tried again.
  let cells = Math.ceil(Math.sqrt(most / 5)) * 2;
  for (;;) {
    const drawn = clustered(mesh, cells);
    if (drawn.triangleOf.length <= most || cells <= 8) return drawn;
    cells = Math.floor(cells * Math.min(0.9, Math.sqrt(most / drawn.triangleOf.length)));
  }
}

/** All corners in one cell of a grid become the first of them; triangles whose corners fall together are left out (vertex clustering, Rossignac and Borrel 1993, from memory). */
function clustered(mesh: Mesh, cells: number): Drawn {
  const standsFor = firstInCell(mesh, cells);
  const drawn = (corner: number) => standsFor[mesh.corners[corner]!]!;
  let count = 0;
  const triangleOf = new Uint32Array(mesh.corners.length / 3);
  for (let t = 0; t < triangleOf.length; t++) {
    const [a, b, c] = [drawn(3 * t), drawn(3 * t + 1), drawn(3 * t + 2)];
    if (a !== b && b !== c && c !== a) triangleOf[count++] = t;
  }
  const corners = new Uint32Array(count * 3);
  for (let k = 0; k < corners.length; k++) corners[k] = drawn(triangleOf[Math.floor(k / 3)]! * 3 + (k % 3));
  return { corners, triangleOf: triangleOf.slice(0, count) };
}

/** For each corner of the mesh the first one in the same cell. */
function firstInCell({ positionsMm: at, corners }: Mesh, cells: number): Uint32Array {
  const { min, max } = boxOf({ positionsMm: at, corners });
  const longest = Math.max(max[0] - min[0], max[1] - min[1], max[2] - min[2]);
  const across = longest === 0 ? 0 : (cells * 0.9999) / longest;
  const count = at.length / 3;
  let slots = 1024;
  while (slots < count * 2) slots *= 2;
  const known = new Int32Array(slots).fill(-1);
  const cellOf = (corner: number) =>
    (Math.floor((at[corner * 3]! - min[0]) * across) * cells + Math.floor((at[corner * 3 + 1]! - min[1]) * across)) *
      cells +
    Math.floor((at[corner * 3 + 2]! - min[2]) * across);
  const standsFor = new Uint32Array(count);
  for (let corner = 0; corner < count; corner++) {
    const cell = cellOf(corner);
    let slot = Math.imul(cell ^ (cell >>> 15), 0x9e3779b1) & (slots - 1);
    while (known[slot]! >= 0 && cellOf(known[slot]!) !== cell) slot = (slot + 1) & (slots - 1);
    if (known[slot]! < 0) known[slot] = corner;
    standsFor[corner] = known[slot]!;
  }
  return standsFor;
}

/** The mean of the faces around each corner, weighted alike; not of unit length. */
function cornerNormals(mesh: Mesh, faces: Float32Array, isInverted: Uint8Array): Float32Array {
  const sums = new Float32Array(mesh.positionsMm.length);
  for (let side = 0; side < mesh.corners.length; side++) {
    const triangle = Math.floor(side / 3);
    const sign = isInverted[triangle] === 1 ? -1 : 1;
    const corner = mesh.corners[side]! * 3;
    for (let axis = 0; axis < 3; axis++) sums[corner + axis]! += sign * faces[triangle * 3 + axis]!;
  }
  return sums;
}

function writeNormal(
  into: Int8Array,
  at: number,
  faces: Float32Array,
  face: number,
  sign: number,
  atCorners: Float32Array,
  corner: number,
): void {
  const [cx, cy, cz] = [atCorners[corner]!, atCorners[corner + 1]!, atCorners[corner + 2]!];
  const [fx, fy, fz] = [sign * faces[face]!, sign * faces[face + 1]!, sign * faces[face + 2]!];
  const length = Math.sqrt(cx * cx + cy * cy + cz * cz);
  const isRounded = length > 0 && cx * fx + cy * fy + cz * fz > ROUNDED_COSINE * length;
  into[at] = 127 * (isRounded ? cx / length : fx);
  into[at + 1] = 127 * (isRounded ? cy / length : fy);
  into[at + 2] = 127 * (isRounded ? cz / length : fz);
}
