/*
 * OBJ (Wavefront, appendix B1 of its manual, from memory): `v x y z` are corners, `f` are polygons of corner numbers from 1, or
 * from -1 backwards; of `7/2/5` only the 7 is a corner. Everything else (normals, groups, materials, lines) says nothing of the surface.
 * Curved surfaces are not read, and told.
 */
import { MeshBuilder } from '@bathkeeper/shared-core/part';
import { mostTriangles, type RawModel, type ReadOptions } from './model-file.js';
import { cutPolygon, isFan } from './polygon.js';
import { TextScanner } from './text-scanner.js';
import { exportAgain, UnreadableModel } from './unreadable-model.js';

const mostPolygonCorners = 10_000;
/** Of a polygon that is no fan. A spiteful one takes time with the third power: half a second for this many, as measured. */
const mostTangledCorners = 1000;
/** Corners to the third power, summed over such polygons: some ten seconds at worst. */
const mostTangledWork = 2e10;
const linesBetweenProgress = 50_000;
const backslash = 0x5c;
const slash = 0x2f;

export function readObj(bytes: Uint8Array, options: ReadOptions = {}): RawModel {
  const scanner = new TextScanner(bytes);
  const reader = new ObjReader(scanner);
  let isCurved = false;
  do {
    if (!scanner.wordOnLine()) continue;
    if (scanner.isWord('v')) reader.corner();
    else if (scanner.isWord('f')) reader.polygon();
    else if (scanner.isWord('surf') || scanner.isWord('curv')) isCurved = true;
    if (scanner.line % linesBetweenProgress === 0) options.onProgress?.(scanner.at / bytes.length);
  } while (scanner.nextLine());
  const notes = isCurved ? ['Curved surfaces of the OBJ file were left out: only its polygons are counted.'] : [];
  return { format: 'OBJ', mesh: reader.builder.finish(), notes };
}

class ObjReader {
  readonly builder: MeshBuilder;
  /** For each `v` line the number of its place. */
  private welded = new Int32Array(100);
  private readonly coordinates = [0, 0, 0];
  private count = 0;
  private readonly numbers = new Int32Array(mostPolygonCorners);
  private readonly polygonPlaces = new Float64Array(mostPolygonCorners * 3);
  private readonly most: number;
  private tangledWork = 0;

  constructor(private readonly scanner: TextScanner) {
    this.builder = new MeshBuilder(Math.ceil(scanner.bytes.length / 60));
    this.most = mostTriangles(scanner.bytes.length);
  }

  corner(): void {
    if (this.count === this.welded.length) this.grow();
    const { coordinates } = this;
    for (let axis = 0; axis < 3; axis++) {
      const value = this.wordOfStatement() ? this.scanner.number() : NaN;
      if (Number.isNaN(value)) throw this.unexpected('three coordinates after "v"');
      coordinates[axis] = value;
    }
    const place = this.builder.weld.place(coordinates[0]!, coordinates[1]!, coordinates[2]!);
    if (place < 0) throw this.unexpected('coordinates of at most 38 digits');
    this.welded[this.count++] = place;
  }

  polygon(): void {
    let corners = 0;
    while (this.wordOfStatement()) {
      if (corners === mostPolygonCorners)
        throw this.unexpected(`a polygon of at most ${String(mostPolygonCorners)} corners`);
      const corner = this.cornerNumber();
      const place = this.welded[corner]!;
      this.numbers[corners] = place;
      for (let axis = 0; axis < 3; axis++)
        this.polygonPlaces[corners * 3 + axis] = this.builder.weld.coordinate(place, axis);
      corners++;
    }
    if (corners < 3) throw this.unexpected('at least three corners after "f"');
    const polygon = { count: corners, numbers: this.numbers, places: this.polygonPlaces };
    if (!isFan(polygon)) this.tangledWork += corners ** 3;
    if (this.tangledWork > mostTangledWork || (corners > mostTangledCorners && !isFan(polygon)))
      throw new UnreadableModel(
        `The polygon in line ${String(this.scanner.line)} of the OBJ file is too tangled`,
        `at most ${String(mostTangledCorners)} corners where it is not convex, and not too many such polygons`,
        `${String(corners)} corners`,
        'Export the model again with triangles only',
      );
    cutPolygon(polygon, (a, b, c) => {
      this.builder.add(a, b, c);
    });
    if (this.builder.triangles > this.most)
      throw new UnreadableModel(
        'The OBJ file names the same corners too often',
        `at most ${String(this.most)} triangles in a file of this size`,
        'more',
        exportAgain,
      );
  }

  /** The corner that the newest word names, from 0. */
  private cornerNumber(): number {
    const { scanner } = this;
    const end = scanner.bytes.subarray(scanner.wordStart, scanner.wordEnd).indexOf(slash);
    const wholeEnd = scanner.wordEnd;
    if (end >= 0) scanner.wordEnd = scanner.wordStart + end;
    const said = scanner.number();
    scanner.wordEnd = wholeEnd;
    const corner = said < 0 ? this.count + said : said - 1;
    if (!Number.isInteger(said) || corner < 0 || corner >= this.count)
      throw this.unexpected(`the number of one of the ${String(this.count)} corners so far`);
    return corner;
  }

  /** The next word of a statement, which a backslash at the end of a line continues. */
  private wordOfStatement(): boolean {
    const { scanner } = this;
    while (scanner.wordOnLine()) {
      const isContinued = scanner.wordEnd - scanner.wordStart === 1 && scanner.bytes[scanner.wordStart] === backslash;
      if (!isContinued) return scanner.bytes[scanner.wordStart] !== 0x23; // a comment ends the statement
      scanner.nextLine();
    }
    return false;
  }

  private grow(): void {
    const welded = new Int32Array(Math.ceil(this.count * 1.5));
    welded.set(this.welded);
    this.welded = welded;
  }

  private unexpected(expected: string): UnreadableModel {
    const line = String(this.scanner.line);
    return new UnreadableModel(
      `Line ${line} of the OBJ file cannot be read`,
      expected,
      this.scanner.wordForMessage(),
      exportAgain,
    );
  }
}
