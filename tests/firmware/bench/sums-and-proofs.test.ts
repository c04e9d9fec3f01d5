/* The virtual bath's own check sum and proof, quick for a long night, against Node's and against published values. */
import { createHmac } from 'node:crypto';
import { crc32 } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { crc32Of } from '../../../firmware/bench/interpreter/crc32.js';
import { proofUnder } from '../../../firmware/bench/peer/proof-of-secret.js';
import { SeededNoise } from '../../../firmware/bench/seeded-noise.js';

const noise = new SeededNoise(1, 'bytes of a test');
const bytes = (length: number): Buffer => Buffer.from(Array.from({ length }, () => noise.uint32() & 0xff));

describe('the CRC-32 of the virtual board', () => {
  it('of the digits 1 to 9 is the usual check value', () => {
    expect(crc32Of(Buffer.from('123456789'))).toBe(0xcbf43926);
  });

  it('is that of zlib for any bytes, and stops at the length it is given', () => {
    for (let length = 0; length < 200; length++) {
      const some = bytes(length);
      expect(crc32Of(some)).toBe(crc32(some));
      expect(crc32Of(Buffer.concat([some, bytes(3)]), length)).toBe(crc32(some));
    }
  });
});

describe('the proof of the stand-in dashboard', () => {
  it('is the published one (RFC 4231, test cases 1 and 2)', () => {
    expect(proofUnder(Buffer.alloc(20, 0x0b))('Hi There')).toBe(
      'b0344c61d8db38535ca8afceaf0bf12b881dc200c9833da726e9376c2e32cff7',
    );
    expect(proofUnder(Buffer.from('Jefe'))('what do ya want for nothing?')).toBe(
      '5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843',
    );
  });

  it('is that of Node for any key of up to a block and any text', () => {
    for (let length = 1; length <= 64; length++) {
      const key = bytes(length);
      const text = bytes(3 * length).toString('latin1');
      expect(proofUnder(key)(text)).toBe(createHmac('sha256', key).update(text).digest('hex'));
    }
  });

  it('refuses a key longer than a block', () => {
    expect(() => proofUnder(bytes(65))).toThrow('at most 64 bytes, got 65');
  });
});
