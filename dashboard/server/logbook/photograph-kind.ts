/*
 * What a photograph is, by its content and not by its name: JPEG (ITU-T T.81), PNG (W3C PNG, third edition) or WebP (RFC 9649), how large, and that it says nothing
 * of place or camera: the page writes each photograph anew, and one that comes another way is refused with what it still holds. Decodes no pixel.
 */
import type { PhotographType } from '@bathkeeper/shared-core/trade';

export interface PhotographKind {
  readonly type: PhotographType;
  readonly widthPixels: number;
  readonly heightPixels: number;
}
/** `fault`: a whole sentence. */
export type ReadKind = PhotographKind | { readonly fault: string };

const CUT_OFF = { fault: 'The photograph is cut off or damaged. Take it again, or send it again.' };
const HOLDS_MORE = {
  fault:
    'The photograph carries notes of its camera (place, time, device) that do not belong into a record. Send it through the page, which leaves them out.',
};

/** Example: of a canvas's JPEG `{ type: 'image/jpeg', widthPixels: 2560, heightPixels: 1920 }`. */
export function photographKind(bytes: Buffer): ReadKind {
  if (bytes.length >= 3 && bytes.readUIntBE(0, 3) === 0xffd8ff) return jpeg(bytes);
  if (bytes.toString('latin1', 0, 8) === '\x89PNG\r\n\x1a\n') return png(bytes);
  if (bytes.toString('latin1', 0, 4) === 'RIFF' && bytes.toString('latin1', 8, 12) === 'WEBP') return webp(bytes);
  return {
    fault: 'Expected a photograph as JPEG, PNG or WebP, got something else. Choose a photograph, or take one.',
  };
}

function jpeg(bytes: Buffer): ReadKind {
  const START_OF_SCAN = 0xda;
  const noFrames = [0xc4, 0xc8, 0xcc];
  let size: PhotographKind | undefined;
  for (let at = 2; at + 4 <= bytes.length;) {
    const marker = bytes[at + 1]!;
    const length = bytes.readUInt16BE(at + 2);
    if (bytes[at] !== 0xff || length < 2 || at + 2 + length > bytes.length) return CUT_OFF;
    if (marker === START_OF_SCAN) break;
    // APP1 is Exif or XMP, APP13 is what picture desks write.
    if (marker === 0xe1 || marker === 0xed) return HOLDS_MORE;
    if (marker >= 0xc0 && marker <= 0xcf && !noFrames.includes(marker) && length >= 8)
      size = {
        type: 'image/jpeg',
        heightPixels: bytes.readUInt16BE(at + 5),
        widthPixels: bytes.readUInt16BE(at + 7),
      };
    at += 2 + length;
  }
  const isWhole = bytes.readUInt16BE(bytes.length - 2) === 0xffd9;
  return size === undefined || !isWhole ? CUT_OFF : ofSomeSize(size);
}

function png(bytes: Buffer): ReadKind {
  const more = ['eXIf', 'tEXt', 'iTXt', 'zTXt', 'tIME'];
  let size: PhotographKind | undefined;
  for (let at = 8; at + 12 <= bytes.length;) {
    const length = bytes.readUInt32BE(at);
    const name = bytes.toString('latin1', at + 4, at + 8);
    if (at + 12 + length > bytes.length) return CUT_OFF;
    if (more.includes(name)) return HOLDS_MORE;
    if (name === 'IHDR' && length === 13)
      size = { type: 'image/png', widthPixels: bytes.readUInt32BE(at + 8), heightPixels: bytes.readUInt32BE(at + 12) };
    if (name === 'IEND') return size === undefined ? CUT_OFF : ofSomeSize(size);
    at += 12 + length;
  }
  return CUT_OFF;
}

function webp(bytes: Buffer): ReadKind {
  if (bytes.length < bytes.readUInt32LE(4) + 8) return CUT_OFF;
  let size: PhotographKind | undefined;
  for (let at = 12; at + 8 <= bytes.length;) {
    const name = bytes.toString('latin1', at, at + 4);
    const length = bytes.readUInt32LE(at + 4);
    const from = at + 8;
    if (from + length > bytes.length) return CUT_OFF;
    if (name === 'EXIF' || name === 'XMP ') return HOLDS_MORE;
    size ??= webpSize(name, bytes.subarray(from, from + length));
    at = from + length + (length % 2);
  }
  return size === undefined ? CUT_OFF : ofSomeSize(size);
}

function webpSize(name: string, chunk: Buffer): PhotographKind | undefined {
  const type = 'image/webp';
  if (chunk.length < 10) return undefined;
  if (name === 'VP8X')
    return { type, widthPixels: 1 + chunk.readUIntLE(4, 3), heightPixels: 1 + chunk.readUIntLE(7, 3) };
  if (name === 'VP8 ')
    return { type, widthPixels: chunk.readUInt16LE(6) & 0x3fff, heightPixels: chunk.readUInt16LE(8) & 0x3fff };
  if (name !== 'VP8L') return undefined;
  const bits = chunk.readUInt32LE(1);
  return { type, widthPixels: 1 + (bits & 0x3fff), heightPixels: 1 + ((bits >>> 14) & 0x3fff) };
}

function ofSomeSize(size: PhotographKind): ReadKind {
  return size.widthPixels > 0 && size.heightPixels > 0 ? size : CUT_OFF;
}
