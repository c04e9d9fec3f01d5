/*
 * CRC-32 of a few bytes, as E.CRC32 has it (ISO 3309, the one of zip). zlib's own is slower here: a record has 32 bytes, and the way out of
 * the language costs more than they do. Called by the virtual board's E; the tests hold it against zlib.
 */

const table = new Int32Array(256);
for (let byte = 0; byte < 256; byte++) {
  let remainder = byte;
  for (let bit = 0; bit < 8; bit++) remainder = remainder & 1 ? (remainder >>> 1) ^ 0xedb88320 : remainder >>> 1;
  table[byte] = remainder;
}

/** Of the first `length` bytes. `crc32Of(Buffer.from('123456789'))` is 0xCBF43926 (the usual check value). */
export function crc32Of(bytes: Uint8Array, length = bytes.length): number {
  let remainder = -1;
  for (let index = 0; index < length; index++)
    remainder = (remainder >>> 8) ^ table[(remainder ^ bytes[index]!) & 0xff]!;
  return (remainder ^ -1) >>> 0;
}
