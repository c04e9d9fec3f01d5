/*
 * Puts the objects of a 3MF file together as its build says: each item an object at its place, each component an
 * object within another. Called by three-mf.ts. Bounded in triangles and vertices: an object can be named so often that a small file would
 * fill the memory, or the night.
 */
import { MeshBuilder, type Mesh } from '@bathkeeper/shared-core/part';
import { exportAgain, UnreadableModel } from '../unreadable-model.js';
import type { ObjectMesh, Package, Placement, Transform } from './objects.js';

const deepest = 16;
const mostPlacements = 100_000;
const identity: Transform = [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0];

export function assemble(content: Package, mostTriangles: number): Mesh {
  const builder = new MeshBuilder(largestMesh(content));
  let placements = 0;
  let vertices = 0;

  function place(placement: Placement, outer: Transform, within: readonly string[]): void {
    const { object: key } = placement;
    if (within.includes(key)) throw wrong('objects that are not made of themselves', `${id(key)} within itself`);
    if (within.length > deepest) throw wrong(`at most ${String(deepest)} objects within each other`, 'more');
    if (++placements > mostPlacements) throw wrong(`at most ${String(mostPlacements)} places of objects`, 'more');
    const object = content.objects.get(key);
    if (object === undefined) throw wrong('objects that are in the file', `a place for ${id(key)}, which is not`);
    if (object.isAside) return;
    const transform = placement.transform === undefined ? outer : combined(placement.transform, outer);
    if (object.mesh !== undefined) {
      if (builder.triangles + object.mesh.triangles.length / 3 > mostTriangles)
        throw wrong(`at most ${String(mostTriangles)} triangles in a file of this size`, 'more');
      // Vertices take time and memory too, also those of no triangle; written out, each is longer than a triangle's share of a file.
      vertices += object.mesh.vertices.length / 3;
      if (vertices > mostTriangles)
        throw wrong(`at most ${String(mostTriangles)} vertices in a file of this size`, 'more');
      addMesh(builder, object.mesh, transform);
    }
    for (const component of object.components) place(component, transform, [...within, key]);
  }

  for (const item of content.items) place(item, identity, []);
  return builder.finish();
}

function addMesh(builder: MeshBuilder, mesh: ObjectMesh, transform: Transform): void {
  const { vertices, triangles } = mesh;
  const [m0, m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11] = transform as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const welded = new Int32Array(vertices.length / 3);
  for (let vertex = 0; vertex < welded.length; vertex++) {
    const x = vertices[3 * vertex]!;
    const y = vertices[3 * vertex + 1]!;
    const z = vertices[3 * vertex + 2]!;
    const place = builder.weld.place(
      x * m0 + y * m3 + z * m6 + m9,
      x * m1 + y * m4 + z * m7 + m10,
      x * m2 + y * m5 + z * m8 + m11,
    );
    if (place < 0) throw wrong('places of at most 38 digits', 'a larger one');
    welded[vertex] = place;
  }
  // A mirror turns the sense of every triangle.
  const determinant = m0 * (m4 * m8 - m5 * m7) - m1 * (m3 * m8 - m5 * m6) + m2 * (m3 * m7 - m4 * m6);
  const [second, third] = determinant < 0 ? [2, 1] : [1, 2];
  for (let i = 0; i < triangles.length; i += 3)
    builder.add(welded[triangles[i]!]!, welded[triangles[i + second]!]!, welded[triangles[i + third]!]!);
}

/** First `inner`, then `outer`. */
function combined(inner: Transform, outer: Transform): Transform {
  const result: number[] = [];
  for (let row = 0; row < 4; row++) {
    for (let column = 0; column < 3; column++) {
      let sum = row === 3 ? outer[9 + column]! : 0;
      for (let k = 0; k < 3; k++) sum += inner[row * 3 + k]! * outer[k * 3 + column]!;
      result.push(sum);
    }
  }
  return result;
}

function largestMesh(content: Package): number {
  let largest = 0;
  for (const object of content.objects.values()) largest = Math.max(largest, (object.mesh?.triangles.length ?? 0) / 3);
  return largest;
}

function id(key: string): string {
  return `object ${key.slice(key.lastIndexOf('#') + 1, key.lastIndexOf('#') + 25)}`;
}

function wrong(expected: string, got: string): UnreadableModel {
  return new UnreadableModel('The 3MF file cannot be put together', expected, got, exportAgain);
}
