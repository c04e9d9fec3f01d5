/*
 * What the interpreter takes as bytes: numbers, strings (one character a byte), arrays, typed arrays, and { data, count }.
 * Used by I2C, one-wire, sockets and E.toString of the virtual board.
 */

/** Larger than any transaction, packet or file of a board. */
const scratch = new Uint8Array(1 << 20);
/** What `gatherBytes` gathered last; good until it is called again. */
export const gatheredBytes: Uint8Array = scratch;

/**
 * Flattens the arguments into `gatheredBytes` and answers how many there are. A character above 0xFF throws: on a board
 * it would be two or three bytes, or mangled.
 */
export function gatherBytes(values: readonly unknown[]): number {
  let length = 0;
  for (let index = 0; index < values.length; index++) {
    const value = values[index];
    if (typeof value === 'number') scratch[length++] = value;
    else length = append(length, value);
  }
  return length;
}

/** The same as an array of its own. */
export function bytesOf(values: readonly unknown[]): Uint8Array {
  return scratch.slice(0, gatherBytes(values));
}

/** Puts one argument into the scratch from `at` on; answers where it ends. */
function append(at: number, value: unknown): number {
  if (typeof value === 'number' || typeof value === 'boolean') {
    scratch[at] = Number(value);
    return at + 1;
  }
  if (typeof value === 'string') {
    for (let index = 0; index < value.length; index++) scratch[at + index] = byteOf(value, index);
    return at + value.length;
  }
  if (value === null || typeof value !== 'object') return at;
  let end = at;
  if (ArrayBuffer.isView(value)) {
    scratch.set(value as Uint8Array, at);
    return at + (value as Uint8Array).length;
  }
  if ('length' in value) {
    const list = value as ArrayLike<unknown>;
    for (let index = 0; index < list.length; index++) {
      const item = list[index];
      if (typeof item === 'number') scratch[end++] = item;
      else end = append(end, item);
    }
  } else if ('data' in value) {
    const count = 'count' in value ? Number(value.count) : 1;
    for (let index = 0; index < count; index++) end = append(end, value.data);
  } else if ('byteLength' in value) end = append(end, new Uint8Array(value as ArrayBuffer));
  return end;
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
  if (/[^\x00-\xff]/.test(text)) for (let index = 0; index < text.length; index++) byteOf(text, index);
  return Buffer.from(text, 'latin1');
}
