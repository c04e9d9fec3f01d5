/* What to do, parted after its first sentence. */
import fc from 'fast-check';
import { firstStep } from '@bathkeeper/shared-core/watch';
import { describe, expect, test } from 'vitest';

describe('the first step', () => {
  test.each([
    ['Look at the part. Then the motor.', 'Look at the part.', 'Then the motor.'],
    ['Wait until the bath is below 28.5 °C again.', 'Wait until the bath is below 28.5 °C again.', ''],
    ['Does it turn? Look. Then listen.', 'Does it turn?', 'Look. Then listen.'],
    ['', '', ''],
  ])('of "%s" the first step is "%s"', (words, first, rest) => {
    expect(firstStep(words)).toEqual({ first, rest });
  });
  test('parting what to do loses no word of it', () => {
    fc.assert(
      fc.property(fc.string(), (words) => {
        const { first, rest } = firstStep(words);
        const bare = (text: string): string => text.replace(/\s/g, '');
        expect(bare(first + rest)).toBe(bare(words));
      }),
    );
  });
});
