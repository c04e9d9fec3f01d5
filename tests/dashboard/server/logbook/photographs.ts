/* The smallest files that are a JPEG, PNG or WebP by their markers (ITU-T T.81, W3C PNG, RFC 9649), with or without notes of a camera. Used by the tests of photographs. */

const uint16 = (value: number): Buffer => Buffer.from([value >> 8, value & 255]);
function uint32(value: number): Buffer {
  const bytes = Buffer.alloc(4);
  bytes.writeUInt32BE(value);
  return bytes;
}

/** `notes`: how its APP1 begins. */
export function jpegOf(width: number, height: number, notes?: string): Buffer {
  const segment = (marker: number, body: Buffer): Buffer =>
    Buffer.concat([Buffer.from([0xff, marker]), uint16(body.length + 2), body]);
  return Buffer.concat([
    Buffer.from([0xff, 0xd8]),
    segment(0xe0, Buffer.from('JFIF\0\x01\x01\0\0\x01\0\x01\0\0', 'latin1')),
    ...(notes === undefined ? [] : [segment(0xe1, Buffer.from(notes))]),
    segment(0xdb, Buffer.alloc(65, 1)),
    segment(0xc0, Buffer.concat([Buffer.from([8]), uint16(height), uint16(width), Buffer.from([1, 1, 0x11, 0])])),
    segment(0xda, Buffer.from([1, 1, 0, 0, 63, 0])),
    Buffer.from([0x12, 0x34, 0xff, 0xd9]),
  ]);
}

/** `notes`: name of a chunk beside those that make the picture. */
export function pngOf(width: number, height: number, notes?: string): Buffer {
  const chunk = (name: string, body: Buffer): Buffer =>
    Buffer.concat([uint32(body.length), Buffer.from(name), body, Buffer.alloc(4)]);
  return Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    chunk('IHDR', Buffer.concat([uint32(width), uint32(height), Buffer.from([8, 2, 0, 0, 0])])),
    ...(notes === undefined ? [] : [chunk(notes, Buffer.from('II*\0'))]),
    chunk('IDAT', Buffer.from([1, 2, 3])),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

/** Extended format; `notes`: name of a chunk beside the picture. */
export function webpOf(width: number, height: number, notes?: string): Buffer {
  const chunk = (name: string, body: Buffer): Buffer => {
    const length = Buffer.alloc(4);
    length.writeUInt32LE(body.length);
    return Buffer.concat([Buffer.from(name), length, body, Buffer.alloc(body.length % 2)]);
  };
  const extended = Buffer.alloc(10);
  extended.writeUIntLE(width - 1, 4, 3);
  extended.writeUIntLE(height - 1, 7, 3);
  const body = Buffer.concat([
    Buffer.from('WEBP'),
    chunk('VP8X', extended),
    chunk('VP8 ', Buffer.alloc(20, 7)),
    ...(notes === undefined ? [] : [chunk(notes, Buffer.from('II*\0'))]),
  ]);
  return chunk('RIFF', body);
}
