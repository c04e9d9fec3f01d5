/* What a photograph loses before it is sent: the notes of its camera, and nothing else. Segments by ITU-T T.81, annex B. */
import { describe, expect, it } from 'vitest';
import { withoutNotes } from '../../../../dashboard/page/logbook/jpeg-notes.js';
import { photographKind } from '../../../../dashboard/server/logbook/photograph-kind.js';
import { jpegOf } from '../../server/logbook/photographs.js';

const bare = (bytes: Buffer): Buffer => Buffer.concat(withoutNotes(new Uint8Array(bytes)));

describe('a JPEG', () => {
  it('loses what tells place and camera, which browsers of some phones write even from a canvas', () => {
    const told = jpegOf(40, 30, 'Exif\0\0');
    expect(photographKind(told)).toHaveProperty('fault');
    expect(bare(told).equals(jpegOf(40, 30))).toBe(true);
  });

  it('loses comments, and keeps what says how its colours are meant', () => {
    const plain = jpegOf(40, 30);
    const segment = (marker: number): Buffer => Buffer.from([0xff, marker, 0, 4, 1, 2]);
    const noted = Buffer.concat([plain.subarray(0, 2), ...[0xfe, 0xed, 0xe2, 0xee].map(segment), plain.subarray(2)]);
    const kept = Buffer.concat([plain.subarray(0, 2), segment(0xe2), segment(0xee), plain.subarray(2)]);
    expect(bare(noted).equals(kept)).toBe(true);
  });

  it('that is none, or is cut off anywhere, comes back as it was', () => {
    const whole = jpegOf(40, 30, 'Exif\0\0');
    const startOfScan = whole.indexOf(Buffer.from([0xff, 0xda]));
    for (let length = 0; length < startOfScan + 2; length++)
      expect(bare(whole.subarray(0, length)).equals(whole.subarray(0, length))).toBe(true);
    expect(bare(Buffer.from('no picture')).toString()).toBe('no picture');
  });
});
