/* A part in words. */
import { describe, expect, test } from 'vitest';
import { measurePart, type RegionSummary } from '@bathkeeper/shared-core/part';
import {
  areaWords,
  lengthWords,
  pieceWords,
  readingShare,
  readingWords,
  shareWords,
  sizeWords,
  trustWords,
  volumeWords,
} from '../../../../dashboard/page/words/part-words.js';
import { box, meshOf, together } from '../../../shared-core/part/shapes.js';

const plain = (words: string) => words.replaceAll('\u00a0', ' ');

describe('figures', () => {
  test.each([
    [areaWords(12.345, 'metric'), '12.3 dm²'],
    [areaWords(9.4, 'metric'), '9.4 dm²'],
    [areaWords(0.04216, 'metric'), '0.0422 dm²'],
    [areaWords(1234.5, 'metric'), '1,235 dm²'],
    [areaWords(0, 'metric'), '0 dm²'],
    [areaWords(1e-12, 'metric'), '0 dm²'],
    [volumeWords(130.04, 'metric'), '130 cm³'],
    [lengthWords(3211, 'metric'), '3.21 m'],
    [lengthWords(3, 'metric'), '3 mm'],
    [sizeWords({ min: [-1, 0, 0], max: [131, 132.4, 0.5] }, 'metric'), '132 × 132 × 0.5 mm'],
    [areaWords(9.290304, 'imperial'), '1 ft²'],
    [volumeWords(32.774128, 'imperial'), '2 in³'],
    [lengthWords(3048, 'imperial'), '10 ft'],
    [sizeWords({ min: [0, 0, 0], max: [254, 25.4, 12.7] }, 'imperial'), '10 × 1 × 0.5 in'],
    [shareWords(0), '0 %'],
    [shareWords(0.004), 'under 1 %'],
    [shareWords(0.294), '29 %'],
  ])('%s has three digits that count and its unit', (said, expected) => {
    expect(plain(said)).toBe(expected);
  });
});

describe('a piece of surface', () => {
  const piece = (facing: RegionSummary['facing'], outwards = 0.5): RegionSummary => ({
    triangle: 0,
    areaMm2: 1,
    middleMm: [0, 0, 0],
    facing,
    outwards,
  });
  test.each<[string, RegionSummary, 'y' | 'z', string]>([
    ['a lid', piece([0, 0, 1]), 'z', 'Flat, faces up'],
    ['a lid of a file whose y is upright', piece([0, 1, 0]), 'y', 'Flat, faces up'],
    ['a front', piece([0, -1, 0]), 'z', 'Flat, faces to the front'],
    ['a front of a file whose y is upright', piece([0, 0, 1]), 'y', 'Flat, faces to the front'],
    ['a left side', piece([-1, 0, 0]), 'z', 'Flat, faces left'],
    ['the outside of a tube', piece([0, 0, 0.01]), 'z', 'Outside, all around'],
    ['the inside of a bell', piece([0, 0, -0.4], -0.6), 'z', 'Inside, mostly down'],
    ['a saddle', piece([0.5, 0, 0], 0), 'z', 'Curved, mostly right'],
  ])('says of %s what it is and where it faces', (_what, summary, up, words) => {
    expect(pieceWords(summary, up)).toBe(words);
  });
});

test('how far a file was read never goes back from stage to stage', () => {
  const shares = (['reading', 'measuring', 'comparing'] as const).flatMap((stage) =>
    [0, 0.5, 1].map((share) => readingShare({ name: 'bell.stl', stage, share })),
  );
  expect(shares).toEqual([...shares].sort((a, b) => a - b));
  expect(shares.at(-1)).toBe(1);
  expect(readingWords({ name: 'bell.stl', stage: 'measuring', share: 0 })).toBe('Measuring bell.stl');
});

test('an open surface leaves its area to be trusted and its volume not; shells that overlap make both a bound', () => {
  const sheet = meshOf([[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[0, 1, 2]]); // prettier-ignore
  expect(trustWords(measurePart(sheet))).toEqual({
    area: 'Area: can be trusted.',
    volume: 'Volume: none, and so no word on whether it floats.',
  });
  const overlapping = measurePart(together(box([2, 2, 2]), box([2, 2, 2], [1, 1, 1])));
  expect(trustWords(overlapping).area).toMatch(/^Area: at most this/);
  expect(trustWords(overlapping).volume).toBe('Volume: at most this.');
});
