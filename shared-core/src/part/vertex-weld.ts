/*
 * Gives each place in space one number, however often a file names it: a hash table with open addressing over the bits
 * of the coordinates. Used by mesh-builder.ts. Only exactly equal places are one; nothing is moved.
 */

const exponentBits = 0x7f800000;
/** A small table of what was seen lately stays in the processor's cache: files name neighbouring triangles together. */
const recentMask = 16383;
const bitsOfMinusZero = 0x80000000 | 0;

export class VertexWeld {
  private bits: Int32Array;
  /** The same memory as numbers. */
  private floats: Float32Array;
  /** Number of a vertex plus 1; 0 is an empty slot. Its length is a power of two, at least twice the vertices. */
  private slots: Int32Array;
  private mask: number;
  private count = 0;
  private readonly recent = new Int32Array(recentMask + 1);
  private readonly scratchFloats = new Float32Array(3);
  private readonly scratchBits = new Int32Array(this.scratchFloats.buffer);

  /** `expected`: about how many places there will be; more only costs time. */
  constructor(expected: number) {
    const room = Math.max(64, expected);
    this.bits = new Int32Array(room * 3);
    this.floats = new Float32Array(this.bits.buffer);
    let slots = 128;
    while (slots < room * 2) slots *= 2;
    this.slots = new Int32Array(slots);
    this.mask = slots - 1;
  }

  get size(): number {
    return this.count;
  }

  /** x, y or z (axis 0, 1, 2) of a place. */
  coordinate(place: number, axis: number): number {
    return this.floats[place * 3 + axis]!;
  }

  /** The number of the place x, y, z; -1 where a coordinate is no finite number of 32 bits. */
  place(x: number, y: number, z: number): number {
    this.scratchFloats[0] = x;
    this.scratchFloats[1] = y;
    this.scratchFloats[2] = z;
    return this.placeOfBits(this.scratchBits[0]!, this.scratchBits[1]!, this.scratchBits[2]!);
  }

  /** The same for coordinates as the bits of 32-bit floating-point numbers (IEEE 754). */
  placeOfBits(xBits: number, yBits: number, zBits: number): number {
    // Minus zero is the same place as zero.
    const x = xBits === bitsOfMinusZero ? 0 : xBits;
    const y = yBits === bitsOfMinusZero ? 0 : yBits;
    const z = zBits === bitsOfMinusZero ? 0 : zBits;
    if (
      (x & exponentBits) === exponentBits ||
      (y & exponentBits) === exponentBits ||
      (z & exponentBits) === exponentBits
    )
      return -1;
    const { bits, slots, mask, recent } = this;
    const hash = hashOf(x, y, z);
    const last = recent[hash & recentMask]!;
    const lastAt = Math.imul(last, 3);
    if (bits[lastAt] === x && bits[lastAt + 1] === y && bits[lastAt + 2] === z && last < this.count) return last;
    let slot = hash & mask;
    for (;;) {
      const known = slots[slot]!;
      if (known === 0) break;
      const at = Math.imul(known, 3) - 3;
      if (bits[at] === x && bits[at + 1] === y && bits[at + 2] === z) return (recent[hash & recentMask] = known - 1);
      slot = (slot + 1) & mask;
    }
    const at = this.count * 3;
    if (at === bits.length) this.growPlaces();
    this.bits[at] = x;
    this.bits[at + 1] = y;
    this.bits[at + 2] = z;
    this.count++;
    slots[slot] = this.count;
    recent[hash & recentMask] = this.count - 1;
    if (this.count * 2 > slots.length) this.growSlots();
    return this.count - 1;
  }

  /** The coordinates of all places, in the order of their numbers. The weld is used up by it. */
  finish(): Float32Array {
    const used = this.count * 3;
    // A view and no copy: for a moment both would be in memory, where there is most in it.
    const floats = this.floats.subarray(0, used);
    this.bits = new Int32Array(0);
    this.floats = new Float32Array(0);
    this.slots = new Int32Array(0);
    return floats;
  }

  private growPlaces(): void {
    const grown = new Int32Array(Math.ceil(this.count * 1.5) * 3);
    grown.set(this.bits);
    this.bits = grown;
    this.floats = new Float32Array(grown.buffer);
  }

  private growSlots(): void {
    const slots = new Int32Array(this.slots.length * 2);
    const mask = slots.length - 1;
    for (let vertex = 0; vertex < this.count; vertex++) {
      let slot = hashOf(this.bits[vertex * 3]!, this.bits[vertex * 3 + 1]!, this.bits[vertex * 3 + 2]!) & mask;
      while (slots[slot] !== 0) slot = (slot + 1) & mask;
      slots[slot] = vertex + 1;
    }
    this.slots = slots;
    this.mask = mask;
  }
}

/** Mixes all bits into the low ones: round coordinates differ in their high bits only. Multipliers: large odd numbers in common use. */
function hashOf(x: number, y: number, z: number): number {
  const sum = Math.imul(x, 0x9e3779b1) ^ Math.imul(y ^ (y >>> 15), 0x85ebca77) ^ Math.imul(z ^ (z >>> 13), 0xc2b2ae3d);
  const mixed = Math.imul(sum ^ (sum >>> 15), 0x2c1b3c6d);
  return mixed ^ (mixed >>> 14);
}
