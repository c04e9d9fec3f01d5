/*
 * Reads the XML of one model part of a 3MF file as it comes (3MF Core Specification; `p:path` of its Production Extension). Called by three-mf.ts.
 * Materials, slices, lattices and pictures are passed over. Bounded: depth, objects, and text without any tag.
 */
import { SaxesParser, type SaxesTagPlain } from 'saxes';
import { exportAgain, UnreadableModel } from '../unreadable-model.js';
import { Numbers, type Package, type Placement, type Transform } from './objects.js';
import type { PartReader } from './unpack.js';

const deepest = 32;
const mostObjects = 100_000;
const mostTextBetweenTags = 1_000_000;
/** Of an object's id and the path to its part together: they are kept for each place. */
const mostKeyCharacters = 300;

export function modelPartReader(partName: string, into: Package, isRoot: boolean): PartReader {
  const part = new ModelPart(partName, into, isRoot);
  return {
    write: (text) => {
      part.write(text);
    },
    close: () => {
      part.close();
    },
  };
}

class ModelPart {
  private readonly parser = new SaxesParser({ xmlns: false, position: true });
  private depth = 0;
  private sinceLastTag = 0;
  private objectId: string | undefined;
  private isAside = false;
  private components: Placement[] = [];
  private vertices = floats();
  private triangles = whole();

  constructor(
    private readonly partName: string,
    private readonly into: Package,
    private readonly isRoot: boolean,
  ) {
    this.parser.on('opentag', (tag) => {
      this.open(tag);
    });
    this.parser.on('closetag', (tag) => {
      this.depth--;
      this.sinceLastTag = 0;
      if (local(tag.name) === 'object') this.finishObject();
    });
    this.parser.on('doctype', () => {
      throw this.unexpected('no document type', 'one');
    });
    this.parser.on('error', (error) => {
      throw this.unexpected('well-formed XML', error.message);
    });
  }

  write(text: string): void {
    // In pieces, so that a text without end is noticed before it is collected.
    for (let from = 0; from < text.length; from += mostTextBetweenTags) {
      const piece = text.slice(from, from + mostTextBetweenTags);
      this.parser.write(piece);
      this.sinceLastTag += piece.length;
      if (this.sinceLastTag > 2 * mostTextBetweenTags)
        throw this.unexpected(`a tag within ${String(mostTextBetweenTags)} characters`, 'none');
    }
  }

  close(): void {
    this.parser.close();
  }

  private open(tag: SaxesTagPlain): void {
    this.sinceLastTag = 0;
    if (++this.depth > deepest) throw this.unexpected(`at most ${String(deepest)} tags within each other`, 'more');
    const { attributes } = tag;
    switch (local(tag.name)) {
      case 'vertex':
        for (const axis of ['x', 'y', 'z']) this.vertices.add(this.number(tag, axis));
        break;
      case 'triangle':
        for (const corner of ['v1', 'v2', 'v3']) this.triangles.add(this.corner(tag, corner));
        break;
      case 'object':
        this.objectId = this.required(tag, 'id');
        this.isAside = attributes['type'] === 'support' || attributes['type'] === 'other';
        if (this.into.objects.size >= mostObjects)
          throw this.unexpected(`at most ${String(mostObjects)} objects`, 'more');
        break;
      case 'component':
        this.components.push(this.placement(tag));
        break;
      case 'item':
        if (this.isRoot) this.into.items.push(this.placement(tag));
        break;
      case 'model':
        if (this.isRoot) this.into.unit = attributes['unit'];
        break;
    }
  }

  private finishObject(): void {
    if (this.objectId === undefined) return;
    const hasMesh = this.vertices.length > 0;
    const mesh = hasMesh ? { vertices: this.vertices.finish(), triangles: this.triangles.finish() } : undefined;
    const object = { mesh, components: this.components, isAside: this.isAside };
    const key = this.key(this.partName, this.objectId);
    // The later one would take the place of the earlier without a word.
    if (this.into.objects.has(key)) throw this.unexpected('an id for each object', `"${this.objectId}" twice`);
    this.into.objects.set(key, object);
    this.objectId = undefined;
    this.components = [];
    if (!hasMesh) return;
    this.vertices = floats();
    this.triangles = whole();
  }

  private placement(tag: SaxesTagPlain): Placement {
    if (++this.into.placements > mostObjects)
      throw this.unexpected(`at most ${String(mostObjects)} components and items`, 'more');
    const path = Object.entries(tag.attributes).find(([name]) => local(name) === 'path')?.[1];
    return { object: this.key(path ?? this.partName, this.required(tag, 'objectid')), transform: this.transform(tag) };
  }

  private key(part: string, id: string): string {
    if (part.length + id.length > mostKeyCharacters)
      throw this.unexpected(`at most ${String(mostKeyCharacters)} characters to name an object`, 'more');
    return objectKey(part, id);
  }

  private transform(tag: SaxesTagPlain): Transform | undefined {
    const said = tag.attributes['transform'];
    if (said === undefined) return undefined;
    const numbers = said.trim().split(/\s+/, 13).map(Number);
    if (numbers.length !== 12 || !numbers.every(Number.isFinite))
      throw this.unexpected('a transform of twelve numbers', `"${said.slice(0, 60)}"`);
    return numbers;
  }

  private number(tag: SaxesTagPlain, name: string): number {
    const said = this.required(tag, name);
    const value = Number(said);
    if (said.trim() === '' || !Number.isFinite(Math.fround(value)))
      throw this.unexpected(`a coordinate ${name}`, `"${said.slice(0, 24)}"`);
    return value;
  }

  private corner(tag: SaxesTagPlain, name: string): number {
    const said = this.required(tag, name);
    const count = this.vertices.length / 3;
    const value = Number(said);
    if (said.trim() === '' || !Number.isInteger(value) || value < 0 || value >= count)
      throw this.unexpected(`the number of one of ${String(count)} vertices`, `"${said.slice(0, 24)}"`);
    return value;
  }

  private required(tag: SaxesTagPlain, name: string): string {
    const said = tag.attributes[name];
    if (said === undefined) throw this.unexpected(`an attribute "${name}" in "${tag.name.slice(0, 24)}"`, 'none');
    return said;
  }

  private unexpected(expected: string, got: string): UnreadableModel {
    const where = `Line ${String(this.parser.line)} of ${this.partName} in the 3MF file cannot be read`;
    return new UnreadableModel(where, expected, got.replace(/\.$/, ''), exportAgain);
  }
}

/** One name for an object of a part, whether the part's name begins with a slash or not. */
export function objectKey(part: string, id: string): string {
  return `${part.replace(/^\//, '').toLowerCase()}#${id}`;
}

/** A name without its namespace's prefix. */
function local(name: string): string {
  return name.slice(name.indexOf(':') + 1);
}

function floats(): Numbers<Float32Array> {
  return new Numbers<Float32Array>(new Float32Array(96), (length) => new Float32Array(length));
}

function whole(): Numbers<Uint32Array> {
  return new Numbers<Uint32Array>(new Uint32Array(96), (length) => new Uint32Array(length));
}
