/* Writes small model files for the tests, good ones; tests then spoil them. */
import { strToU8, zipSync, type Zippable } from 'fflate';

export const cubePlaces = Array.from({ length: 8 }, (_, corner) => [
  corner & 4 ? 2 : 0,
  corner & 2 ? 2 : 0,
  corner & 1 ? 2 : 0,
]);
export const cubeTriangles = [
  [0, 1, 3], [0, 3, 2], [4, 6, 7], [4, 7, 5], [0, 4, 5], [0, 5, 1],
  [2, 3, 7], [2, 7, 6], [0, 2, 6], [0, 6, 4], [1, 5, 7], [1, 7, 3],
]; // prettier-ignore

/** `head` fills the 80 bytes that may be anything. */
export function binaryStl(places = cubePlaces, triangles = cubeTriangles, head = ''): Uint8Array {
  const bytes = new Uint8Array(84 + 50 * triangles.length);
  bytes.set(strToU8(head).subarray(0, 80));
  const view = new DataView(bytes.buffer);
  view.setUint32(80, triangles.length, true);
  triangles.forEach((corners, t) => {
    corners.forEach((corner, k) => {
      places[corner]!.forEach((value, axis) => {
        view.setFloat32(96 + 50 * t + 12 * k + 4 * axis, value, true);
      });
    });
  });
  return bytes;
}

export function asciiStl(places = cubePlaces, triangles = cubeTriangles): string {
  const facets = triangles.map(
    (corners) =>
      `facet normal 0 0 0\n outer loop\n${corners.map((corner) => `  vertex ${places[corner]!.join(' ')}\n`).join('')} endloop\nendfacet\n`,
  );
  return `solid bell\n${facets.join('')}endsolid bell\n`;
}

export function meshXml(places = cubePlaces, triangles = cubeTriangles): string {
  const vertices = places.map(([x, y, z]) => `<vertex x="${String(x)}" y="${String(y)}" z="${String(z)}"/>`).join('');
  const corners = triangles.map(([a, b, c]) => `<triangle v1="${String(a)}" v2="${String(b)}" v3="${String(c)}"/>`);
  return `<mesh><vertices>${vertices}</vertices><triangles>${corners.join('')}</triangles></mesh>`;
}

export function modelXml(objects: string, items: string, unit = 'unit="millimeter"'): string {
  return (
    `<?xml version="1.0" encoding="UTF-8"?>\n<model ${unit} xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" ` +
    `xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06">` +
    `<resources>${objects}</resources><build>${items}</build></model>`
  );
}

/** A 3MF file of the root model, and of further parts by name. */
export function threeMf(root: string, further: Record<string, string> = {}): Uint8Array {
  const parts: Zippable = { '[Content_Types].xml': strToU8('<Types/>'), '3D/3dmodel.model': strToU8(root) };
  for (const [name, text] of Object.entries(further)) parts[name] = strToU8(text);
  return zipSync(parts);
}

export const cubeThreeMf = (unit?: string): Uint8Array =>
  threeMf(modelXml(`<object id="1">${meshXml()}</object>`, '<item objectid="1"/>', unit));
