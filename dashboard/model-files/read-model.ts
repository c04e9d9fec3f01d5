/*
 * Reads a model file of any kind that is known, by what is in it and not by its name. Used by the server, the command
 * and the page's worker alike.
 */
import { millimetresPerUnit, scaled, triangleCount } from '@bathkeeper/shared-core/part';
import { readAsciiStl } from './ascii-stl.js';
import { isWholeBinaryStl, readBinaryStl } from './binary-stl.js';
import type { ModelFile, RawModel, ReadOptions } from './model-file.js';
import { type ModelSource, sourceOf } from './model-source.js';
import { readObj } from './obj.js';
import { readThreeMf } from './three-mf/three-mf.js';
import { exportAgain, UnreadableModel } from './unreadable-model.js';

/** How far into a file its kind is looked for. */
const sniffedBytes = 64 * 1024;

/**
 * @throws UnreadableModel, whose message says what is wrong, what was expected, what was found and what to do.
 * @example
 * const { mesh } = readModel(await readFile('bell.stl'), { unit: 'inch' });
 * measurePart(mesh).areaMm2;
 */
export function readModel(from: Uint8Array | ModelSource, options: ReadOptions = {}): ModelFile {
  const raw = readByKind(from instanceof Uint8Array ? sourceOf(from) : from, options);
  if (triangleCount(raw.mesh) === 0)
    throw new UnreadableModel(`The ${raw.format} file holds no surface`, 'at least one triangle', 'none', exportAgain);
  const asked = options.millimetresPerUnit;
  if (asked !== undefined && !(asked > 0 && Number.isFinite(asked)))
    throw new UnreadableModel(
      'The scale makes no sense',
      'millimetres a unit above 0',
      String(asked),
      'Give another scale',
    );
  const unit = raw.unit ?? options.unit ?? 'millimeter';
  const factor = asked ?? millimetresPerUnit[unit];
  const mesh = factor === 1 ? raw.mesh : scaled(raw.mesh, factor);
  // The readers have seen to it that every coordinate is finite; only a scale can change that.
  if (factor !== 1 && !mesh.positionsMm.every(Number.isFinite))
    throw new UnreadableModel(
      'The part is too large',
      'coordinates of at most 38 digits',
      'larger ones',
      'Check the unit and the scale',
    );
  options.onProgress?.(1);
  return {
    format: raw.format,
    mesh,
    unit: asked === undefined ? unit : 'scale',
    isUnitFromFile: raw.unit !== undefined && asked === undefined,
    notes: raw.notes,
  };
}

function readByKind(source: ModelSource, options: ReadOptions): RawModel {
  const { size } = source;
  if (size === 0) throw new UnreadableModel('The file is empty', 'an STL, OBJ or 3MF file', '0 bytes', exportAgain);
  const head = source.read(0, sniffedBytes);
  const whole = (): Uint8Array => source.read(0, size);
  if (startsWith(head, 'PK\u0003\u0004')) return readThreeMf(whole(), options);
  // Binary files may begin with "solid" too, so their length is asked before their words.
  if (isWholeBinaryStl(head, size)) return readBinaryStl(source, options);
  const sniffed = new TextDecoder('latin1').decode(head);
  const isText = !sniffed.includes('\u0000');
  if (isText && /^(\u00ef\u00bb\u00bf)?\s*solid\b/i.test(sniffed)) return readAsciiStl(whole(), options);
  if (isText && /\bouter\s+loop\b/i.test(sniffed)) return readAsciiStl(whole(), options);
  if (isText && /^\s*(v|f)\s+[-+.\d]/m.test(sniffed)) return readObj(whole(), options);
  // What is left is a binary STL whose length is wrong, or something else.
  if (isText || size < 84)
    throw new UnreadableModel(
      'The file is of no kind that can be read',
      'STL ("solid …" or a number of triangles that fits its length), OBJ ("v …" lines) or 3MF (a zip archive)',
      `${String(size)} bytes that begin with ${JSON.stringify(sniffed.slice(0, 16))}`,
      exportAgain,
    );
  return readBinaryStl(source, options);
}

function startsWith(bytes: Uint8Array, word: string): boolean {
  for (let i = 0; i < word.length; i++) if (bytes[i] !== word.charCodeAt(i)) return false;
  return true;
}
