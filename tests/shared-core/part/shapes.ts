/* Surfaces for the tests of the part: from lists of corners and triangles, and shapes whose measures have closed forms. */
import { MeshBuilder, type Mesh } from '@bathkeeper/shared-core/part';

export type Triangle = readonly [number, number, number];
export type Place = readonly [number, number, number];

export function meshOf(places: readonly (readonly number[])[], triangles: readonly (readonly number[])[]): Mesh {
  const builder = new MeshBuilder(triangles.length);
  const numbers = places.map((place) => builder.weld.place(place[0]!, place[1]!, place[2]!));
  for (const each of triangles) builder.add(numbers[each[0]!]!, numbers[each[1]!]!, numbers[each[2]!]!);
  return builder.finish();
}

/** All meshes as one. */
export function together(...meshes: readonly Mesh[]): Mesh {
  const places: number[][] = [];
  const triangles: number[][] = [];
  for (const mesh of meshes) {
    const before = places.length;
    for (let i = 0; i < mesh.positionsMm.length; i += 3) places.push([...mesh.positionsMm.subarray(i, i + 3)]);
    for (let i = 0; i < mesh.corners.length; i += 3)
      triangles.push([...mesh.corners.subarray(i, i + 3)].map((corner) => corner + before));
  }
  return meshOf(places, triangles);
}

/** The twelve triangles of a box, facing outwards; corner number 4x + 2y + z. */
export const boxTriangles: readonly Triangle[] = [
  [0, 1, 3], [0, 3, 2], [4, 6, 7], [4, 7, 5], [0, 4, 5], [0, 5, 1],
  [2, 3, 7], [2, 7, 6], [0, 2, 6], [0, 6, 4], [1, 5, 7], [1, 7, 3],
]; // prettier-ignore

export function boxPlaces(sizes: Place, at: Place = [0, 0, 0]): Place[] {
  return Array.from({ length: 8 }, (_, corner) => [
    at[0] + (corner & 4 ? sizes[0] : 0),
    at[1] + (corner & 2 ? sizes[1] : 0),
    at[2] + (corner & 1 ? sizes[2] : 0),
  ]);
}

export function box(sizes: Place, at?: Place): Mesh {
  return meshOf(boxPlaces(sizes, at), boxTriangles);
}

/** The same surface facing the other way. */
export function turned(mesh: Mesh): Mesh {
  const corners = mesh.corners.slice();
  for (let i = 0; i < corners.length; i += 3) [corners[i + 1], corners[i + 2]] = [corners[i + 2]!, corners[i + 1]!];
  return { positionsMm: mesh.positionsMm, corners };
}

/** A torus around z of `around` by `across` quadrangles, each cut in two; ring radius `ring`, tube radius `tube`. */
export function torus(ring: number, tube: number, around: number, across: number): Mesh {
  const places: number[][] = [];
  const triangles: number[][] = [];
  for (let i = 0; i < around; i++) {
    for (let j = 0; j < across; j++) {
      const u = (2 * Math.PI * i) / around;
      const v = (2 * Math.PI * j) / across;
      const reach = ring + tube * Math.cos(v);
      places.push([reach * Math.cos(u), reach * Math.sin(u), tube * Math.sin(v)]);
      const next = ((i + 1) % around) * across;
      const up = (j + 1) % across;
      triangles.push([i * across + j, next + j, next + up], [i * across + j, next + up, i * across + up]);
    }
  }
  return meshOf(places, triangles);
}

/** Every place put through a function. */
export function moved(mesh: Mesh, move: (place: Place) => Place): Mesh {
  const positionsMm = mesh.positionsMm.slice();
  for (let i = 0; i < positionsMm.length; i += 3)
    positionsMm.set(move([positionsMm[i]!, positionsMm[i + 1]!, positionsMm[i + 2]!]), i);
  return { positionsMm, corners: mesh.corners };
}

/** As a file. */
export function asciiStl(mesh: Mesh): string {
  const corner = (k: number) =>
    [...mesh.positionsMm.subarray(mesh.corners[k]! * 3, mesh.corners[k]! * 3 + 3)].join(' ');
  const facets = Array.from({ length: mesh.corners.length / 3 }, (_, t) =>
    [
      'facet normal 0 0 0',
      'outer loop',
      ...[0, 1, 2].map((k) => `vertex ${corner(3 * t + k)}`),
      'endloop',
      'endfacet',
    ].join('\n'),
  );
  return ['solid part', ...facets, 'endsolid part'].join('\n');
}
