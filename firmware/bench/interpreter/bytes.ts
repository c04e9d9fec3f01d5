/*
 * What the interpreter takes as bytes: numbers, strings (one character a byte), arrays, typed arrays, and { data, count }.
 * Used by I2C, one-wire, sockets and E.toString of the virtual board.
 */

/** Flattens the arguments. A character above 0xFF throws: on a board it would be two or three bytes, or mangled. */
export function bytesOf(values: readonly unknown[]): Uint8Array {
  const only = values[0];
  // The usual cases first, this runs many times each tick: plain numbers, or one array of numbers.
  const plain =
    values.length === 1 && typeof only === 'object' && only !== null ? (only as ArrayLike<unknown>) : values;
  const length = typeof plain.length === 'number' ? plain.length : -1;
  const quick = new Uint8Array(Math.max(0, length));
  for (let index = 0; index < length; index++) {
    const value = plain[index];
    if (typeof value !== 'number') return bytesOfAnything(values);
    quick[index] = value;
  }
  return length < 0 ? bytesOfAnything(values) : quick;
}

function bytesOfAnything(values: readonly unknown[]): Uint8Array {
  const bytes: number[] = [];
  for (const value of values) append(bytes, value);
  return Uint8Array.from(bytes);
}

function append(bytes: number[], value: unknown): void {
  if (typeof value === 'number' || typeof value === 'boolean') bytes.push(Number(value) & 0xff);
  else if (typeof value === 'string') {
    for (let index = 0; index < value.length; index++) bytes.push(byteOf(value, index));
  } else if (value !== null && typeof value === 'object') {
    if ('data' in value) {
      const count = 'count' in value ? Number(value.count) : 1;
      for (let index = 0; index < count; index++) append(bytes, value.data);
    } else if ('length' in value) {
      for (let index = 0; index < Number(value.length); index++) append(bytes, (value as ArrayLike<unknown>)[index]);
    } else if ('byteLength' in value) append(bytes, new Uint8Array(value as ArrayBuffer));
  }
}

function byteOf(text: string, index: number): number {
  const code = text.charCodeAt(index);
  if (code > 0xff) {
    throw new RangeError(
      `character ${JSON.stringify(text[index])} at ${index} does not fit into a byte: strings carry bytes on a board, use ASCII`,
    );
  }
  return code;
}

/** One character a byte. */
export function textOf(bytes: Uint8Array): string {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('latin1');
}

export function bytesOfText(text: string): Uint8Array {
  for (let index = 0; index < text.length; index++) byteOf(text, index);
  return Buffer.from(text, 'latin1');
}
