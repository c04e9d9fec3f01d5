/*
 * The one global of the interpreter that the memory code calls: the check sum E.CRC32, after the reference (CRC-32 of IEEE 802.3).
 * Imported for its effect by the tests that run the firmware's sources in Node. Everything else is handed in through ports.
 */
const table = Array.from({ length: 256 }, (_, index) => {
  let value = index;
  for (let bit = 0; bit < 8; bit++) value = value & 1 ? 0xedb88320 ^ (value >>> 1) : value >>> 1;
  return value;
});

export function crc32(bytes: ArrayLike<number>): number {
  let crc = -1;
  for (let i = 0; i < bytes.length; i++) crc = table[(crc ^ bytes[i]!) & 255]! ^ (crc >>> 8);
  return (crc ^ -1) >>> 0;
}

Object.assign(globalThis, { E: { CRC32: crc32 }, print: () => undefined });
