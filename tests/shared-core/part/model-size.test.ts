/* A size that makes no sense for a bath is told, with the unit that would. */
import { lengthWarning, sizeWarning } from '@bathkeeper/shared-core/part';
import { expect, test } from 'vitest';

const long = (mm: number) => ({ min: [0, -1e-3, 0] as const, max: [mm / 2, 0, mm] as const });

test.each([2, 12, 300, 1500])('%d mm make sense', (mm) => {
  expect(sizeWarning(long(mm), 'millimeter')).toBeUndefined();
});

test.each([
  [0.25, 'millimeter', 'read as metres it would be 250 mm'],
  [1.9, 'millimeter', 'read as inches it would be 48.3 mm'],
  [7620, 'inch', 'read as millimetres it would be 300 mm'],
  [2000, 'millimeter', 'check the unit and the scale'],
  [1e-7, 'millimeter', 'check the unit and the scale'],
  [5080, 'scale', 'check the unit and the scale'],
] as const)('%d mm, read as %s, make none: %s', (mm, unit, advice) => {
  expect(sizeWarning(long(mm), unit)).toContain(advice);
});

test('a typed length that makes none is told without a guess at the unit', () => {
  expect(lengthWarning(1500)).toBeUndefined();
  expect(lengthWarning(5080)).toBe(
    'The part is 5080 mm long, which makes no sense for a bath (2 to 1500 mm): check the unit of its lengths.',
  );
});
