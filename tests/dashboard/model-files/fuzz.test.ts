/*
 * Spoiled model files of every kind: read, or refused in words, never anything else. Some seconds here; for longer set
 * MODEL_FUZZ_SECONDS, with a seed in MODEL_FUZZ_SEED to repeat. `MODEL_FUZZ_SECONDS=600 npx vitest run tests/dashboard/model-files/fuzz.test.ts`
 */
import { readModel, UnreadableModel } from '@bathkeeper/dashboard/model-files';
import { measurePart, triangleCount } from '@bathkeeper/shared-core/part';
import { strToU8 } from 'fflate';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { asciiStl, binaryStl, cubeThreeMf, meshXml, modelXml, threeMf } from './writers.js';

const seconds = Number(process.env['MODEL_FUZZ_SECONDS'] ?? 0);
const seed = process.env['MODEL_FUZZ_SEED'];
/** What a small file may take in arrays at most: four times its size, and room for the million triangles that any file may hold. */
const mostArrayBytes = (fileBytes: number) => 4 * fileBytes + 64_000_000;

const obj = 'v 0 0 0\nv 2 0 0\nv 2 2 0\nv 0 2 0\nv 1 1 3\nf 4 3 2 1\nf 1/1/1 2//1 5\nf -4 -3 -1\nf 3 4 5\nf 4 1 5\n';
const plainXml = modelXml(
  `<object id="1">${meshXml()}</object>`,
  '<item objectid="1" transform="1 0 0 0 1 0 0 0 1 5 5 5"/>',
);
const files = [binaryStl(), strToU8(asciiStl()), strToU8(obj), cubeThreeMf(), threeMf(plainXml)];
const words = ['nan', 'inf', '-0', '1e39', '1e-400', '4294967296', '-1', '999999999999999999999', '.', '\0', '\n', '"', '<a>', '</mesh>', '&x;', 'vertex', 'facet', 'f 1 2 3 1 2 3', 'PK\u0003\u0004']; // prettier-ignore

interface Spoiling {
  readonly kind: 'cut' | 'byte' | 'word' | 'double' | 'number' | 'drop';
  readonly where: number;
  readonly length: number;
  readonly value: number;
}

const spoiling = fc.record<Spoiling>({
  kind: fc.constantFrom('cut', 'byte', 'word', 'double', 'number', 'drop'),
  where: fc.double({ min: 0, max: 1, noNaN: true }),
  length: fc.integer({ min: 1, max: 60 }),
  value: fc.nat(255),
});

function spoiled(bytes: Uint8Array, { kind, where, length, value }: Spoiling): Uint8Array {
  const at = Math.floor(where * bytes.length);
  const joined = (...pieces: Uint8Array[]) => Uint8Array.from(pieces.flatMap((piece) => [...piece]));
  switch (kind) {
    case 'cut':
      return bytes.slice(0, at);
    case 'byte':
      return joined(bytes.subarray(0, at), Uint8Array.of(value), bytes.subarray(at + 1));
    case 'word':
      return joined(bytes.subarray(0, at), strToU8(` ${words[value % words.length]!} `), bytes.subarray(at + length));
    case 'double':
      return joined(bytes.subarray(0, at), bytes.subarray(Math.max(0, at - length * 8)));
    case 'number': {
      const changed = bytes.slice();
      for (let i = at & ~3; i < Math.min(changed.length, (at & ~3) + 4); i++) changed[i] = value < 128 ? 0xff : value;
      return changed;
    }
    case 'drop':
      return joined(bytes.subarray(0, at), bytes.subarray(at + length));
  }
}

/** The spoiled file as it is, or where it is XML in a 3MF, packed again so that the archive itself is whole. */
const spoiledFile = fc
  .tuple(
    fc.constantFrom('whole' as const, 'packed' as const),
    fc.constantFrom(...files),
    fc.array(spoiling, { minLength: 1, maxLength: 6 }),
  )
  .map(([how, file, spoilings]) => {
    const bytes = spoilings.reduce(spoiled, how === 'packed' ? strToU8(plainXml) : file);
    return how === 'packed' ? threeMf(new TextDecoder().decode(bytes)) : bytes;
  });

test(
  'a spoiled file is read or refused in words',
  () => {
    let read = 0;
    let refused = 0;
    fc.assert(
      fc.property(spoiledFile, (bytes) => {
        try {
          const { mesh } = readModel(bytes);
          expect(mesh.corners.byteLength + mesh.positionsMm.byteLength).toBeLessThan(mostArrayBytes(bytes.length));
          const measure = measurePart(mesh);
          expect(measure.areaMm2).toBeGreaterThanOrEqual(0);
          expect(measure.triangles).toBe(triangleCount(mesh));
          if (measure.isClosed && measure.volumeRefusal === undefined)
            expect(measure.volumeMm3).toBeGreaterThanOrEqual(-1e-3 * measure.areaMm2);
          read++;
        } catch (error) {
          if (!(error instanceof UnreadableModel)) throw error;
          expect(error.message).toMatch(/expected .*, got /s);
          refused++;
        }
      }),
      seconds > 0
        ? {
            numRuns: Number.MAX_SAFE_INTEGER,
            interruptAfterTimeLimit: seconds * 1000,
            ...(seed === undefined ? {} : { seed: Number(seed) }),
          }
        : { numRuns: 1500 },
    );
    if (seconds > 0)
      console.log(
        `read ${String(read)}, refused ${String(refused)}, most memory ${String(Math.round(process.resourceUsage().maxRSS / 1024))} MB`,
      );
    expect(read).toBeGreaterThan(50);
    expect(refused).toBeGreaterThan(50);
  },
  seconds * 1000 + 60_000,
);
