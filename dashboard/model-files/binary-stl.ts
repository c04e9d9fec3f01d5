/*
 * Binary STL: 80 bytes of anything, the number of triangles (32 bits, lowest byte first), then 50 bytes a triangle: normal, three
 * corners (12 floating-point numbers of 32 bits), two bytes of anything. After the format's common description; it has no standard.
 * Normals are left alone: the order of the corners says the same.
 */
import { MeshBuilder } from '@bathkeeper/shared-core/part';
import type { RawModel, ReadOptions } from './model-file.js';
import { exportAgain, UnreadableModel } from './unreadable-model.js';

const headBytes = 84;
const triangleBytes = 50;
const cornersAt = 12;
const trianglesBetweenProgress = 50_000;

/** Whether the length fits the number of triangles that it claims; text never does, its four bytes there make a number far too large. */
export function isWholeBinaryStl(bytes: Uint8Array): boolean {
  return bytes.length >= headBytes && bytes.length === headBytes + claimedTriangles(bytes) * triangleBytes;
}

function claimedTriangles(bytes: Uint8Array): number {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(80, true);
}

export function readBinaryStl(bytes: Uint8Array, options: ReadOptions = {}): RawModel {
  if (bytes.length < headBytes)
    throw new UnreadableModel(
      'The STL file is cut short',
      `at least ${String(headBytes)} bytes`,
      String(bytes.length),
      exportAgain,
    );
  const triangles = claimedTriangles(bytes);
  const expectedBytes = headBytes + triangles * triangleBytes;
  if (bytes.length !== expectedBytes)
    throw new UnreadableModel(
      bytes.length < expectedBytes
        ? 'The STL file is cut short, or its number of triangles is wrong'
        : 'The STL file is longer than its number of triangles says',
      `${String(expectedBytes)} bytes for ${String(triangles)} triangles`,
      `${String(bytes.length)} bytes`,
      exportAgain,
    );

  const builder = new MeshBuilder(triangles);
  for (let from = 0; from < triangles; from += trianglesBetweenProgress) {
    addTriangles(builder, bytes, from, Math.min(triangles, from + trianglesBetweenProgress));
    options.onProgress?.(from / triangles);
  }
  return { format: 'binary STL', mesh: builder.finish(), notes: [] };
}

function addTriangles(builder: MeshBuilder, bytes: Uint8Array, from: number, to: number): void {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const { weld } = builder;
  let at = headBytes + from * triangleBytes + cornersAt;
  for (let triangle = from; triangle < to; triangle++, at += triangleBytes) {
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
    if ((a | b | c) < 0) throw notANumber(view, triangle, at);
    builder.add(a, b, c);
  }
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
