/* What a person types for a number: what is taken, what is not, and a minus only where there is something below zero. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { isBelowZero, signedNumber, typedNumber } from '../../../dashboard/page/forms/typed-number.js';

describe('a typed number', () => {
  test.each(['1e3', '0x10', '-1', '1.2.3', '1 000', 'Infinity', ''])(
    '"%s" is no number that a person means',
    (text) => {
      expect(typedNumber(text)).toBeUndefined();
    },
  );
  test('takes point and comma alike', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 99999 }), fc.integer({ min: 0, max: 999 }), (whole, part) => {
        return typedNumber(`${whole}.${part}`) === typedNumber(` ${whole},${part} `);
      }),
    );
  });

  test.each([
    ['-5', -5],
    ['\u22125,5', -5.5],
    [' 12 ', 12],
    ['--5', undefined],
    ['-', undefined],
    ['5-', undefined],
  ])('"%s" is %s where it may lie below zero', (text, value) => {
    expect(signedNumber(text)).toBe(value);
  });
  test('is known to lie below zero where it may not', () => {
    expect(['-5', '\u22120.1', '0', '-0', '5', 'cold'].map(isBelowZero)).toEqual([
      true,
      true,
      false,
      false,
      false,
      false,
    ]);
  });
});
