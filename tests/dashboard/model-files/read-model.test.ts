/*
 * Good model files of every kind are read. The files of the npm package `stl-models` come from outside; their measures stand in the check values, and
 * the program admesh measures their volume where it is installed.
 */
import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { readModel, type ReadOptions } from '@bathkeeper/dashboard/model-files';
import { measurePart, type PartMeasure } from '@bathkeeper/shared-core/part';
import { strToU8 } from 'fflate';
import { describe, expect, test } from 'vitest';
import { asciiStl, binaryStl, cubeThreeMf, meshXml, modelXml, threeMf } from './writers.js';

const models = dirname(createRequire(import.meta.url).resolve('stl-models/package.json'));
const measured = (bytes: Uint8Array | string, options?: ReadOptions): PartMeasure =>
  measurePart(readModel(typeof bytes === 'string' ? strToU8(bytes) : bytes, options).mesh);
const measuredFile = (name: string) => measured(readFileSync(join(models, name)));
const cube = { areaMm2: 24, volumeMm3: 8, isClosed: true, triangles: 12 };

describe('the published files', () => {
  test.each([
    ['polytopes/cube', 'bin', 24, 8],
    ['polytopes/cube', 'ascii', 24, 8],
    ['polytopes/tetrahedron', 'bin', 2.366025, 0.166667],
    ['polytopes/tetrahedron', 'ascii', 2.366025, 0.166667],
    ['polytopes/tetrahedron.min', 'ascii', 2.366025, 0.166667],
    ['polytopes/tetrahedronMinusZero', 'bin', 2.366025, 0.166667],
    ['polytopes/tetrahedronIrregular', 'bin', 9, 1],
    ['polytopes/tetrahedronIrregular', 'ascii', 9, 1],
    ['objects/gearwheel', 'bin', 4508.734, 8922.637],
    ['objects/gearwheel', 'ascii', 4508.734, 8922.637],
  ])('%s.%s measures as the check values say', (name, kind, area, volume) => {
    const measure = measuredFile(`${name}.${kind}.stl`);
    // The check values are printed with six digits behind the point or seven in all.
    expect(Math.abs(measure.areaMm2 - area)).toBeLessThan(Math.max(1e-6, area * 1e-6));
    expect(Math.abs((measure.volumeMm3 ?? NaN) - volume)).toBeLessThan(Math.max(1e-6, volume * 1e-6));
  });

  test.each(['bin', 'ascii'])('objects/bunny.%s has 223 open edges, and so no volume', (kind) => {
    const measure = measuredFile(`objects/bunny.${kind}.stl`);
    expect(measure).toMatchObject({ isClosed: false, volumeMm3: undefined, faults: { openEdges: 223 } });
    expect(measure.areaMm2).toBeGreaterThan(0);
  });

  test.each([
    'missingNormal.ascii',
    'notANumberNormal.ascii',
    'wrongNormal.ascii',
    'wrongNormals.ascii',
    'solidNameMismatch.ascii',
  ])('broken/%s is only wrong where nothing is taken from it', (name) => {
    expect(measuredFile(`broken/${name}.stl`).areaMm2).toBeCloseTo(2.366025, 6);
  });

  test('broken/wrongHeader.bin begins with "solid" and is binary all the same', () => {
    expect(measuredFile('broken/wrongHeader.bin.stl')).toMatchObject({ areaMm2: 60_000, volumeMm3: 1_000_000 });
  });

  test.each(['missingFace', 'singleFace'])('broken/%s is open', (name) => {
    expect(measuredFile(`broken/${name}.ascii.stl`)).toMatchObject({ isClosed: false, volumeMm3: undefined });
  });

  const hasAdmesh = spawnSync('admesh', ['--version']).status === 0;
  test.skipIf(!hasAdmesh)('have the volume that admesh prints, and are closed where it finds no edge apart', () => {
    const files = readdirSync(models, { recursive: true, encoding: 'utf8' }).filter((name) =>
      /^(polytopes|objects|misc)\/.*\.stl$/.test(name),
    );
    let compared = 0;
    for (const name of files) {
      const said = spawnSync('admesh', [join(models, name)], { encoding: 'utf8' }).stdout;
      const volume = /Volume\s*:\s*(-?[\d.]+)/.exec(said)?.[1];
      const apart = /Total disconnected facets\s*:\s*(\d+)/.exec(said)?.[1];
      if (volume === undefined || apart === undefined) continue; // a lone triangle, or no file for it
      const measure = measuredFile(name);
      expect([name, measure.isClosed]).toEqual([name, apart === '0']);
      // Its sums are in 32 bits: the gearwheel's differs by 1.4 parts in a million from a sum in 64.
      if (measure.isClosed)
        expect(Math.abs(measure.volumeMm3! - Number(volume))).toBeLessThan(Math.max(1e-6, Number(volume) * 2e-6));
      compared++;
    }
    expect(compared).toBeGreaterThan(12);
  });
});

describe('STL', () => {
  test('binary is told by its length, also when it begins with "solid"', () => {
    expect(readModel(binaryStl(undefined, undefined, 'solid bell')).format).toBe('binary STL');
    expect(measured(binaryStl())).toMatchObject(cube);
  });

  test('ASCII is read whatever its case, blanks and line ends', () => {
    const text = asciiStl().toUpperCase().replaceAll('\n', '\r\n\t');
    expect(readModel(strToU8(text)).format).toBe('ASCII STL');
    expect(measured(text)).toMatchObject(cube);
    expect(measured(asciiStl().replaceAll('\n', '\r'))).toMatchObject(cube);
  });

  test('ASCII that begins like a binary header is read as what it is', () => {
    const text = `${'a header of anything but the word '.padEnd(80)}\n${asciiStl()}`;
    expect(readModel(strToU8(`\uFEFF${asciiStl()}`)).format).toBe('ASCII STL');
    expect(() => readModel(strToU8(text))).toThrow(/Line 1 .* expected "facet"/);
  });

  test('numbers are read as the language reads them', () => {
    const numbers = [
      '1e-3',
      '+.5',
      '-12.25E+1',
      '0.1',
      '3.',
      '123456789012345678901e-20',
      '7.0000000000000000000000001',
    ];
    for (const number of numbers) {
      const text = asciiStl([[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[0, 1, 2]]).replace('vertex 1 0 0', `vertex ${number} 0 0`); // prettier-ignore
      const places = [...readModel(strToU8(text)).mesh.positionsMm];
      expect(places[3]).toBe(Math.fround(Number(number)));
    }
  });

  test('several solids in one file are one part', () => {
    expect(measured(asciiStl() + asciiStl().replaceAll('vertex ', 'vertex 1'))).toMatchObject({ shells: 2 });
  });
});

describe('OBJ', () => {
  const corners = ['v 0 0 0', 'v 2 0 0', 'v 2 2 0', 'v 0 2 0', 'v 0 0 2', 'v 2 0 2', 'v 2 2 2', 'v 0 2 2'].join('\n');
  const quads = [[4, 3, 2, 1], [5, 6, 7, 8], [1, 2, 6, 5], [2, 3, 7, 6], [3, 4, 8, 7], [4, 1, 5, 8]]; // prettier-ignore

  test.each([
    ['plain numbers', (corner: number) => String(corner)],
    ['a texture', (corner: number) => `${String(corner)}/1`],
    ['a normal', (corner: number) => `${String(corner)}//1`],
    ['both', (corner: number) => `${String(corner)}/1/1`],
    ['numbers from behind', (corner: number) => String(corner - 9)],
  ])('polygons are read by %s', (_what, written) => {
    const faces = quads.map((quad) => `f ${quad.map(written).join(' ')}`).join('\n');
    const text = `# a cube\no cube\n${corners}\nvt 0 0\nvn 0 0 1\nusemtl copper\n${faces}\n`;
    expect(readModel(strToU8(text)).format).toBe('OBJ');
    expect(measured(text)).toMatchObject(cube);
  });

  test('a statement may go on in the next line, and end in a comment', () => {
    expect(measured('v 0 0 0\nv 1 0 \\\n 0\nv 0 1 0 # the third\nf 1 2 \\\n3 # done')).toMatchObject({ areaMm2: 0.5 });
  });

  test.each([
    ['xy', (x: number, y: number) => `v ${String(x)} ${String(y)} 0`],
    ['yz', (x: number, y: number) => `v 0 ${String(x)} ${String(y)}`],
    ['zx', (x: number, y: number) => `v ${String(y)} 0 ${String(x)}`],
    ['xy from behind', (x: number, y: number) => `v ${String(y)} ${String(x)} 0`],
  ])('an L-shaped polygon in %s has the area of an L, wherever it begins', (_plane, written) => {
    const outline = [[0, 0], [3, 0], [3, 1], [1, 1], [1, 3], [0, 3]]; // prettier-ignore
    for (let first = 0; first < outline.length; first++) {
      const places = outline.map(([x, y]) => written(x!, y!)).join('\n');
      const order = outline.map((_, i) => ((first + i) % outline.length) + 1);
      const measure = measured(`${places}\nf ${order.join(' ')}\n`);
      expect(measure.areaMm2).toBeCloseTo(5, 6);
      expect(measure.faults.invertedTriangles).toBe(0);
    }
  });

  test('a prism with an L for its ends is closed, faces outwards and has the volume of an L', () => {
    const outline = [[0, 0], [3, 0], [3, 1], [1, 1], [1, 3], [0, 3]]; // prettier-ignore
    const places = [0, 2].flatMap((z) => outline.map(([x, y]) => `v ${String(x)} ${String(y)} ${String(z)}`));
    const sides = outline.map((_, i) => [i + 1, ((i + 1) % 6) + 1, ((i + 1) % 6) + 7, i + 7]);
    const faces = [[6, 5, 4, 3, 2, 1], [7, 8, 9, 10, 11, 12], ...sides]; // prettier-ignore
    const text = `${places.join('\n')}\n${faces.map((face) => `f ${face.join(' ')}`).join('\n')}`;
    expect(measured(text)).toMatchObject({ isClosed: true, warnings: [] });
    expect(measured(text).volumeMm3).toBeCloseTo(10, 5);
  });

  test('curved surfaces are left out, and told', () => {
    expect(readModel(strToU8('v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\nsurf 0 1 0 1\n')).notes).toHaveLength(1);
  });
});

describe('3MF', () => {
  test.each([
    ['unit="millimeter"', 24],
    ['unit="inch"', 24 * 25.4 ** 2],
    ['unit="micron"', 24e-6],
    ['', 24],
  ])('is read in the unit that it says: %s', (unit, area) => {
    expect(measured(cubeThreeMf(unit), { unit: 'meter' }).areaMm2 / area).toBeCloseTo(1, 6);
  });

  test('components and items stand where their transforms say, mirrored ones face outwards', () => {
    const objects =
      `<object id="1">${meshXml()}</object>` +
      '<object id="2"><components><component objectid="1"/><component objectid="1" transform="-1 0 0 0 1 0 0 0 1 -1 0 0"/></components></object>';
    const items =
      '<item objectid="2" transform="2 0 0 0 2 0 0 0 2 10 0 0"/><item objectid="1" transform="0 1 0 -1 0 0 0 0 1 0 50 0"/>';
    const measure = measured(threeMf(modelXml(objects, items)));
    expect(measure).toMatchObject({ shells: 3, areaMm2: 2 * 96 + 24, volumeMm3: 2 * 64 + 8, warnings: [] });
    // The first at 10 to 14, its mirror image from (−1 − 2) · 2 + 10 = 4 to 8; the third turned about z, then moved.
    expect(measure.boxMm).toEqual({ min: [-2, 0, 0], max: [14, 52, 4] });
  });

  test('components may lie in another part of the package', () => {
    const root = modelXml(
      '<object id="8"><components><component objectid="1" p:path="/3D/Objects/cube.model"/></components></object>',
      '<item objectid="8"/>',
    );
    const other = modelXml(`<object id="1">${meshXml()}</object>`, '');
    expect(measured(threeMf(root, { '3D/Objects/cube.model': other }))).toMatchObject(cube);
  });

  test('supports are no part of the thing', () => {
    const objects = `<object id="1">${meshXml()}</object><object id="2" type="support">${meshXml()}</object>`;
    expect(measured(threeMf(modelXml(objects, '<item objectid="1"/><item objectid="2"/>')))).toMatchObject(cube);
  });
});

describe('reading', () => {
  test('takes files without a unit as millimetres, or as it is told', () => {
    expect(readModel(binaryStl())).toMatchObject({ unit: 'millimeter', isUnitFromFile: false });
    expect(measured(binaryStl(), { unit: 'inch' }).volumeMm3! / (8 * 25.4 ** 3)).toBeCloseTo(1, 6);
    expect(measured(binaryStl(), { millimetresPerUnit: 0.5 })).toMatchObject({ areaMm2: 6, volumeMm3: 1 });
    expect(readModel(cubeThreeMf()).isUnitFromFile).toBe(true);
  });

  test('tells how far it is, and stops when whoever listens throws', () => {
    const shares: number[] = [];
    readModel(cubeThreeMf(), { onProgress: (share) => shares.push(share) });
    expect(shares.at(-1)).toBe(1);
    const stop = new Error('stop');
    for (const file of [binaryStl(), cubeThreeMf()])
      expect(() =>
        readModel(file, {
          onProgress: () => {
            throw stop;
          },
        }),
      ).toThrow(stop);
  });
});
