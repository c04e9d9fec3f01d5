/* What people wrote into the record of the canned run: a note and what was wrong with one, weighings, a photograph. Used by the browser tests of the logbook. */
import type { RunEntry } from '@bathkeeper/shared-core/trade';
import { ENDED_MS, STARTED_MS } from '../shared-core/trade/run-record/a-record.js';

const HOUR = 3_600_000;
const entry = (entryId: number, atMs: number, body: RunEntry['body'], more: Partial<RunEntry> = {}): RunEntry => ({
  entryId, atMs, writtenAtMs: atMs, who: 'Robin', note: '', body, undone: null, ...more,
}); // prettier-ignore

export const weighing = (when: 'before' | 'after', grams: number, entryId: number): RunEntry =>
  entry(entryId, when === 'before' ? STARTED_MS - HOUR : ENDED_MS + HOUR, {
    kind: 'weighing',
    when,
    grams,
    uncertaintyGrams: 0.1,
  });

export const note = (words: string, more: Partial<RunEntry> = {}): RunEntry =>
  entry(2, STARTED_MS + 2 * HOUR, { kind: 'note' }, { note: words, ...more });

export const photograph = (words: string, more: Partial<RunEntry> = {}): RunEntry =>
  entry(
    4,
    ENDED_MS + 2 * HOUR,
    { kind: 'photograph', type: 'image/jpeg', widthPixels: 640, heightPixels: 480, byteCount: 9000 },
    { note: words, ...more },
  );

export const entries: readonly RunEntry[] = [
  weighing('before', 812, 1),
  note('Turned the part by hand, the belt had slipped.'),
  note('Belt changed for the wider one.', {
    entryId: 3,
    undone: { atMs: STARTED_MS + 4 * HOUR, who: 'Ola', reason: 'That was the run before' },
  }),
  weighing('after', 989.6, 5),
  photograph('The rim, bright all around; a thin place at the third flute.'),
];
