/*
 * ASCII STL: `solid NAME`, then for each triangle `facet normal x y z`, `outer loop`, three times `vertex x y z`,
 * `endloop`, `endfacet`, and `endsolid` at the end. After the format's common description; it has no standard. Several solids in one file are read
 * as one part. Normals are left alone, even where they are missing or no numbers: the order of the corners says the same.
 */
import { MeshBuilder } from '@bathkeeper/shared-core/part';
import type { RawModel, ReadOptions } from './model-file.js';
import { TextScanner } from './text-scanner.js';
import { exportAgain, UnreadableModel } from './unreadable-model.js';

const usualTriangleBytes = 200;
const trianglesBetweenProgress = 20_000;

export function readAsciiStl(bytes: Uint8Array, options: ReadOptions = {}): RawModel {
  const scanner = new TextScanner(bytes);
  const builder = new MeshBuilder(Math.ceil(bytes.length / usualTriangleBytes));
  const corners = [0, 0, 0];
  let isInSolid = false;
  while (scanner.nextWord()) {
    if (scanner.isWord('facet')) {
      isInSolid = true;
      readFacet(scanner, builder, corners);
      builder.add(corners[0]!, corners[1]!, corners[2]!);
      if (builder.triangles % trianglesBetweenProgress === 0) options.onProgress?.(scanner.at / bytes.length);
    } else if (scanner.isWord('solid') || scanner.isWord('endsolid')) {
      isInSolid = scanner.isWord('solid');
      scanner.nextLine(); // a name of any words
    } else throw unexpected(scanner, '"facet" or "endsolid"');
  }
  if (isInSolid)
    throw new UnreadableModel('The STL file is cut short', '"endsolid" at its end', 'the end of the file', exportAgain);
  return { format: 'ASCII STL', mesh: builder.finish(), notes: [] };
}

/** From behind `facet` to behind `endfacet`; the numbers of the three corners go into `corners`. */
function readFacet(scanner: TextScanner, builder: MeshBuilder, corners: number[]): void {
  let wordsBeforeLoop = 0;
  do {
    if (!scanner.nextWord() || wordsBeforeLoop++ > 4) throw unexpected(scanner, '"outer loop" after the normal');
  } while (!scanner.isWord('outer'));
  expectWord(scanner, 'loop');
  for (let k = 0; k < 3; k++) {
    expectWord(scanner, 'vertex');
    const x = coordinate(scanner);
    const y = coordinate(scanner);
    const z = coordinate(scanner);
    corners[k] = builder.weld.place(x, y, z);
    if (corners[k]! < 0) throw unexpected(scanner, 'coordinates of at most 38 digits');
  }
  expectWord(scanner, 'endloop');
  expectWord(scanner, 'endfacet');
}

function expectWord(scanner: TextScanner, word: string): void {
  if (!scanner.nextWord() || !scanner.isWord(word))
    throw unexpected(scanner, `"${word}" (a triangle has three corners)`);
}

function coordinate(scanner: TextScanner): number {
  const value = scanner.nextWord() ? scanner.number() : NaN;
  if (Number.isNaN(value)) throw unexpected(scanner, 'a coordinate');
  return value;
}

function unexpected(scanner: TextScanner, expected: string): UnreadableModel {
  return new UnreadableModel(
    `Line ${String(scanner.line)} of the STL file cannot be read`,
    expected,
    scanner.wordForMessage(),
    exportAgain,
  );
}
