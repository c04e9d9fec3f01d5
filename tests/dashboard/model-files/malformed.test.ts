/* Bad model files: each is refused with what is wrong, what was expected, what was found and what to do. None hangs or fills the memory. */
import { readModel, UnreadableModel } from '@bathkeeper/dashboard/model-files';
import { strToU8, zipSync } from 'fflate';
import { expect, test } from 'vitest';
import { asciiStl, binaryStl, cubeThreeMf, meshXml, modelXml, threeMf } from './writers.js';

const good = binaryStl();
const lying = (count: number) => {
  const bytes = good.slice();
  new DataView(bytes.buffer).setUint32(80, count, true);
  return bytes;
};
const withNumber = (value: number) => {
  const bytes = good.slice();
  new DataView(bytes.buffer).setFloat32(96 + 50 * 3, value, true);
  return bytes;
};
const cube = `<object id="1">${meshXml()}</object>`;
const oneItem = '<item objectid="1"/>';
const nested = (levels: number) =>
  Array.from({ length: levels }, (_, i) =>
    `<object id="${String(i + 2)}"><components>${`<component objectid="${String(i + 1)}"/>`.repeat(10)}</components></object>`).join(''); // prettier-ignore
const placed = (times: number) =>
  Array.from({ length: times }, (_, i) => `<item objectid="1" transform="1 0 0 0 1 0 0 0 1 ${String(i)} 0 0"/>`).join(
    '',
  );
/** One triangle, and very many vertices that no triangle names. */
const idle = cube.replace('</vertices>', `${'<vertex x="1" y="2" z="3"/>'.repeat(200_000)}</vertices>`);
const components = `<object id="1"><components>${'<component objectid="2"/>'.repeat(60_000)}</components></object>`;
const spaces = ' '.repeat(60_000_000);

test.each<[string, Uint8Array | string, RegExp]>([
  ['an empty file', new Uint8Array(0), /empty: expected an STL, OBJ or 3MF file, got 0 bytes/],
  ['a picture', Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0, 0, 0]), /no kind that can be read: .*7 bytes/],
  ['a letter', 'Dear all, the bath is warm.', /no kind that can be read/],
  ['a binary STL without its end', good.slice(0, -7), /cut short.*expected 684 bytes for 12 triangles, got 677 bytes/],
  ['a binary STL with more than it says', new Uint8Array([...good, 0]), /longer than .*684 bytes.*685 bytes/],
  [
    'a count of four thousand million triangles',
    lying(0xffffffff),
    /expected 214748364834 bytes for 4294967295 triangles/,
  ],
  ['a count of none', lying(0), /expected 84 bytes for 0 triangles, got 684/],
  ['a coordinate that is no number', withNumber(NaN), /Triangle 4 .*finite.*got NaN/],
  ['an infinite coordinate', withNumber(-Infinity), /Triangle 4 .*finite.*got -Infinity/],
  ['an ASCII STL without its end', asciiStl().slice(0, -14), /cut short: expected "endsolid"/],
  ['an ASCII STL that ends within a number', asciiStl().slice(0, 90), /Line \d+ of the STL file/],
  ['a word for a number', asciiStl().replace('vertex 0 0 0', 'vertex 0 0 nan'), /Line 4 .*a coordinate, got "nan"/],
  ['a number beyond 32 bits', asciiStl().replace('vertex 0 0 0', 'vertex 0 0 1e39'), /Line 4 .*38 digits/],
  [
    'a number of a million digits',
    asciiStl().replace('vertex 0 0 0', `vertex 0 0 ${'9'.repeat(1e6)}`),
    /Line 4 .*got "9999/,
  ],
  ['a triangle of two corners', asciiStl().replace(/ {2}vertex .*\n/, ''), /three corners\), got "endloop"/],
  ['a solid of nothing', 'solid\nendsolid', /no surface/],
  ['an OBJ that names a corner too many', 'v 0 0 0\nv 1 0 0\nf 1 2 3', /Line 3 .*one of the 2 corners so far, got "3"/],
  ['an OBJ that names corner 0', 'v 0 0 0\nv 1 0 0\nv 1 1 0\nf 0 1 2', /Line 4 .*got "0"/],
  ['an OBJ that counts too far back', 'v 0 0 0\nv 1 0 0\nv 1 1 0\nf -1 -2 -4', /Line 4 .*got "-4"/],
  ['an OBJ with half a corner', 'v 0 0\nf 1 1 1', /Line 1 .*three coordinates.*the end of the line/],
  ['an OBJ polygon of two', 'v 0 0 0\nv 1 0 0\nf 1 2', /at least three corners/],
  ['an OBJ without polygons', 'v 0 0 0\nv 1 0 0\nv 1 1 0\n', /no surface/],
  [
    'an OBJ that names three corners millions of times',
    `v 0 0 0\nv 1 0 0\nv 1 1 0\n${`f${' 1 2 3'.repeat(3000)}\n`.repeat(200)}`,
    /too often|too tangled/,
  ],
  [
    'an OBJ polygon of spite',
    `v 0 0 0\nv 1 0 0\nv .3 1 0\nf${' 1 2 3'.repeat(1000)}${' 1 3 2'.repeat(100)}`,
    /too tangled.*triangles only/,
  ],
  ['a zip that ends early', cubeThreeMf().slice(0, 300), /damaged or cut short/],
  ['a zip with other things in it', zipSync({ 'letter.txt': strToU8('dear all') }), /no model.*3D\/3dmodel\.model/],
  [
    'a zip of noise',
    new Uint8Array([0x50, 0x4b, 3, 4, ...Array.from({ length: 500 }, (_, i) => (i * 73) % 251)]),
    /3MF|zip/,
  ],
  ['XML that breaks off', threeMf(modelXml(cube, oneItem).slice(0, -20)), /well-formed XML/],
  ['a model without a build', threeMf(modelXml(cube, '')), /builds nothing/],
  ['a unit of another age', threeMf(modelXml(cube, oneItem, 'unit="ell"')), /unknown unit.*millimeter.*"ell"/],
  ['an item that is not there', threeMf(modelXml(cube, '<item objectid="9"/>')), /a place for object 9, which is not/],
  [
    'an object within itself',
    threeMf(modelXml('<object id="1"><components><component objectid="1"/></components></object>', oneItem)),
    /object 1 within itself/,
  ],
  ['objects ten to the ninth', threeMf(modelXml(cube + nested(9), '<item objectid="10"/>')), /at most 100000 places/],
  [
    'a triangle of a vertex that is not there',
    threeMf(modelXml(cube.replace('v3="3"', 'v3="8"'), oneItem)),
    /one of 8 vertices, got "8"/,
  ],
  ['a vertex without z', threeMf(modelXml(cube.replace(' z="0"', ''), oneItem)), /attribute "z" in "vertex"/],
  ['a vertex at no number', threeMf(modelXml(cube.replace('x="0"', 'x="NaN"'), oneItem)), /a coordinate x, got "NaN"/],
  [
    'a transform of three numbers',
    threeMf(modelXml(cube, '<item objectid="1" transform="1 2 3"/>')),
    /twelve numbers, got "1 2 3"/,
  ],
  ['tags within tags', threeMf(modelXml('<a>'.repeat(1000), oneItem)), /at most 32 tags within each other/],
  [
    'a document type with entities',
    threeMf(`<!DOCTYPE a [<!ENTITY b "c">]>${modelXml(cube, oneItem)}`),
    /no document type/,
  ],
  ['a text without end', threeMf(modelXml(spaces.slice(0, 5_000_000), oneItem)), /a tag within/],
  ['vertices of no triangle, placed thousands of times', threeMf(modelXml(idle, placed(5000))), /at most \d+ vertices/],
  [
    'places of objects over many parts',
    threeMf(modelXml(cube, oneItem), {
      '3D/a.model': modelXml(components, ''),
      '3D/b.model': modelXml(components, ''),
    }),
    /at most 100000 components and items/,
  ],
  [
    'a part with a name of 900 characters',
    threeMf(modelXml(cube, oneItem), { [`3D/${'A'.repeat(900)}.model`]: modelXml(cube, '') }),
    /names of at most 260 characters, got 909/,
  ],
  [
    'an object with a name of a thousand characters',
    threeMf(modelXml(cube, `<item objectid="${'9'.repeat(1000)}"/>`)),
    /at most 300 characters to name an object/,
  ],
  ['an id that two objects have', threeMf(modelXml(cube + cube, oneItem)), /an id for each object, got "1" twice/],
  ['a zip bomb', threeMf(modelXml(`${cube}${'<a/>'.repeat(15_000_000)}`, oneItem)), /unpacks to far more/],
])('%s is refused', (_what, file, message) => {
  const bytes = typeof file === 'string' ? strToU8(file) : file;
  let refusal: unknown;
  try {
    readModel(bytes);
  } catch (error) {
    refusal = error;
  }
  expect(refusal).toBeInstanceOf(UnreadableModel);
  const said = (refusal as Error).message;
  expect(said).toMatch(message);
  expect(said).toMatch(/expected .*, got .*\. [A-Z].*\.$/);
  expect(said.length).toBeLessThan(400);
});

test('a scale that makes no sense is refused', () => {
  for (const millimetresPerUnit of [0, -1, NaN, Infinity])
    expect(() => readModel(good, { millimetresPerUnit })).toThrow('Give another scale');
  expect(() => readModel(withNumber(3e38), { unit: 'meter' })).toThrow('too large');
});
