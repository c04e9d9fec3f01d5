/*
 * What the memory and the link call of the interpreter itself: the check sum E.CRC32, after the reference (CRC-32 of IEEE 802.3), text
 * from bytes, and SHA-256. Imported for its effect by the tests that run the firmware's sources in Node. Everything else is handed
 * in through ports.
 */
import crypto from 'node:crypto';

const table = Array.from({ length: 256 }, (_, index) => {
  let value = index;
  for (let bit = 0; bit < 8; bit++) value = value & 1 ? 0xedb88320 ^ (value >>> 1) : value >>> 1;
  return value;
});

/** Of bytes, or of a text that carries bytes. */
export function crc32(message: ArrayLike<number> | string): number {
  const bytes = typeof message === 'string' ? Buffer.from(message, 'latin1') : message;
  let crc = -1;
  for (let i = 0; i < bytes.length; i++) crc = table[(crc ^ bytes[i]!) & 255]! ^ (crc >>> 8);
  return (crc ^ -1) >>> 0;
}

/** As the interpreter's: strings carry bytes, one a character. */
function sha256(message: string): ArrayBuffer {
  for (let i = 0; i < message.length; i++) if (message.charCodeAt(i) > 255) throw new Error('not a byte');
  return new Uint8Array(crypto.createHash('sha256').update(Buffer.from(message, 'latin1')).digest()).buffer;
}

Object.assign(globalThis, {
  E: {
    CRC32: crc32,
    getErrorFlags: () => [],
    reboot: () => undefined,
    setConsole: () => undefined,
    toString: (bytes: Uint8Array) => Buffer.from(bytes).toString('latin1'),
  },
  /** The interpreter's takes bytes; Node's own takes only texts. */
  btoa: (bytes: Uint8Array) => Buffer.from(bytes).toString('base64'),
  print: () => undefined,
});
// `require('crypto')` finds Node's module in a test, which has everything but this name.
Object.assign(crypto, { SHA256: sha256 });
