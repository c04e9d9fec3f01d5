/*
 * Binary STL: 80 bytes of anything, the number of triangles (32 bits, lowest byte first), then 50 bytes a triangle: normal, three
 * corners (12 floating-point numbers of 32 bits), two bytes of anything. After the format's common description; it has no standard.
 * Normals are left alone: the order of the corners says the same.
 */
import { MeshBuilder } from '@bathkeeper/shared-core/part';
import type { RawModel, ReadOptions } from './model-file.js';
import type { ModelSource } from './model-source.js';
import { exportAgain, UnreadableModel } from './unreadable-model.js';

const headBytes = 84;
const triangleBytes = 50;
const cornersAt = 12;
/** Read in one piece, of a megabyte at most; between two of them progress is told. */
const trianglesAtOnce = 20_000;

/** Whether the length fits the number of triangles that it claims; text never does, its four bytes there make a number far too large. */
export function isWholeBinaryStl(head: Uint8Array, size: number): boolean {
  return head.length >= headBytes && size === headBytes + claimedTriangles(head) * triangleBytes;
}

function claimedTriangles(bytes: Uint8Array): number {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(80, true);
}

export function readBinaryStl(source: ModelSource, options: ReadOptions = {}): RawModel {
  const { size } = source;
  if (size < headBytes)
    throw new UnreadableModel(
      'The STL file is cut short',
      `at least ${String(headBytes)} bytes`,
      String(size),
      exportAgain,
    );
  const triangles = claimedTriangles(source.read(0, headBytes));
  const expectedBytes = headBytes + triangles * triangleBytes;
  if (size !== expectedBytes)
    throw new UnreadableModel(
      size < expectedBytes
        ? 'The STL file is cut short, or its number of triangles is wrong'
        : 'The STL file is longer than its number of triangles says',
      `${String(expectedBytes)} bytes for ${String(triangles)} triangles`,
      `${String(size)} bytes`,
      exportAgain,
    );

  const builder = new MeshBuilder(triangles);
  for (let from = 0; from < triangles; from += trianglesAtOnce) {
    const count = Math.min(triangles - from, trianglesAtOnce);
    const piece = source.read(headBytes + from * triangleBytes, count * triangleBytes);
    if (piece.length < count * triangleBytes)
      throw cutMeanwhile(from + Math.floor(piece.length / triangleBytes), triangles);
    addTriangles(builder, piece, from);
    options.onProgress?.(from / triangles);
  }
  return { format: 'binary STL', mesh: builder.finish(), notes: [] };
}

/** `first`: the number of the piece's first triangle. */
function addTriangles(builder: MeshBuilder, bytes: Uint8Array, first: number): void {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const { weld } = builder;
  for (let at = cornersAt; at < bytes.length; at += triangleBytes) {
    const a = weld.placeOfBits(view.getInt32(at, true), view.getInt32(at + 4, true), view.getInt32(at + 8, true));
    const b = weld.placeOfBits(
      view.getInt32(at + 12, true),
      view.getInt32(at + 16, true),
      view.getInt32(at + 20, true),
    );
    const c = weld.placeOfBits(
      view.getInt32(at + 24, true),
      view.getInt32(at + 28, true),
      view.getInt32(at + 32, true),
    );
    if ((a | b | c) < 0) throw notANumber(view, first + (at - cornersAt) / triangleBytes, at);
    builder.add(a, b, c);
  }
}

function cutMeanwhile(read: number, triangles: number): UnreadableModel {
  return new UnreadableModel(
    'The STL file became shorter while it was read',
    `${String(triangles)} triangles`,
    String(read),
    exportAgain,
  );
}

function notANumber(view: DataView, triangle: number, at: number): UnreadableModel {
  const coordinates = Array.from({ length: 9 }, (_, i) => view.getFloat32(at + 4 * i, true));
  const wrong = coordinates.find((each) => !Number.isFinite(each));
  return new UnreadableModel(
    `Triangle ${String(triangle + 1)} of the STL file has no place`,
    'nine finite coordinates',
    String(wrong),
    exportAgain,
  );
}
