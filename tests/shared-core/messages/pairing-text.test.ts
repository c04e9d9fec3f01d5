/* The secret as a person carries it: what Crockford's Base 32 asks for, and that no single slip goes unnoticed. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pairingText, readPairingText } from '@bathkeeper/shared-core/messages';

const secrets = fc.uint8Array({ minLength: 32, maxLength: 32 }).map((bytes) => Buffer.from(bytes).toString('hex'));
/** Symbols and check symbols of crockford.com/base32.html. */
const SYMBOLS = '0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U';

describe('the pairing text', () => {
  it('is eight groups of eight, the digits and check symbols of Crockford’s Base 32', () => {
    expect(pairingText('00'.repeat(32))).toBe(
      '00000000-00000001-00000002-00000003-00000004-00000005-00000006-00000007',
    );
    // 0xffffffff is 3ZZZZZZ in base 32; modulo 37 it is 6, and the group's place is added (computed by hand: 4294967295 = 37 x 116080197 + 6).
    expect(pairingText('ff'.repeat(32))).toBe(
      '3ZZZZZZ6-3ZZZZZZ7-3ZZZZZZ8-3ZZZZZZ9-3ZZZZZZA-3ZZZZZZB-3ZZZZZZC-3ZZZZZZD',
    );
    // 1234 is 16J with the check symbol D on that page (from memory); 1234 = 37 x 33 + 13.
    expect(pairingText('000004d2' + '00'.repeat(28)).slice(0, 8)).toBe('000016JD');
  });

  it('gives every secret back, however it is typed', () => {
    fc.assert(
      fc.property(secrets, fc.boolean(), fc.constantFrom('-', ' ', '', '\n', ' - '), (secret, isLower, between) => {
        const text = pairingText(secret).split('-').join(between);
        expect(readPairingText(isLower ? text.toLowerCase() : text)).toEqual({ secret });
      }),
    );
  });

  it('reads I and L as 1 and O as 0', () => {
    const text = pairingText('00000001' + '00'.repeat(28));
    for (const one of ['I', 'i', 'L', 'l'])
      expect(readPairingText(text.replaceAll('1', one).replaceAll('0', 'o'))).toEqual(readPairingText(text));
  });

  it('notices any one wrong character and says in which group', () => {
    const digits = SYMBOLS.slice(0, 32).split('');
    fc.assert(
      fc.property(secrets, fc.nat(63), fc.constantFrom(...digits), (secret, at, digit) => {
        const text = pairingText(secret).replaceAll('-', '');
        fc.pre(text[at] !== digit);
        const { problems } = readPairingText(text.slice(0, at) + digit + text.slice(at + 1));
        expect(problems).toEqual([expect.stringContaining(`Group ${String(Math.floor(at / 8) + 1)} `)]);
      }),
    );
  });

  it('notices two neighbours changed over, and two groups changed over', () => {
    fc.assert(
      fc.property(secrets, fc.nat(62), fc.nat(7), fc.nat(7), (secret, at, one, other) => {
        const text = pairingText(secret).replaceAll('-', '');
        const swapped = text.slice(0, at) + text[at + 1]! + text[at]! + text.slice(at + 2);
        if (swapped !== text) expect(readPairingText(swapped).secret).toBeUndefined();
        const groups = pairingText(secret).split('-');
        [groups[one], groups[other]] = [groups[other]!, groups[one]!];
        if (one !== other) expect(readPairingText(groups.join('-')).secret).toBeUndefined();
      }),
    );
  });

  it('says what is missing, too much or no character of a secret', () => {
    const text = pairingText('5e'.repeat(32));
    expect(readPairingText('').problems?.[0]).toContain('has 0 characters, expected 64');
    expect(readPairingText(text + '0').problems?.[0]).toContain('has 65 characters');
    expect(readPairingText('!' + text.slice(1)).problems?.[0]).toContain('holds "!"');
    expect(readPairingText(text.slice(0, -1) + '!').problems?.[0]).toContain('Group 8 ');
  });

  it('never throws and never reads anything but 64 hexadecimal digits', () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.string(), fc.string({ minLength: 60, maxLength: 72, unit: fc.constantFrom(...SYMBOLS) })),
        (typed) => {
          const read = readPairingText(typed);
          if (read.secret === undefined) expect(read.problems.length).toBeGreaterThan(0);
          else expect(read.secret).toMatch(/^[0-9a-f]{64}$/);
        },
      ),
    );
  });
});
