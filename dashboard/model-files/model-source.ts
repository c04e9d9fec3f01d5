/* Where a model's bytes come from, a piece at a time: a large file need not lie in memory as a whole. Made from bytes here, from a file by the command. */

export interface ModelSource {
  /** In bytes. */
  readonly size: number;
  /** So many bytes from there on, fewer at the end only. Good until the next call. May throw what reading throws. */
  read(at: number, length: number): Uint8Array;
}

export function sourceOf(bytes: Uint8Array): ModelSource {
  return { size: bytes.length, read: (at, length) => bytes.subarray(at, at + length) };
}
