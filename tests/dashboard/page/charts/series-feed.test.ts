/* What a chart asks while a hand moves it: one question at a time, the newest wish next, nothing late. */
import type { Refusal } from '@bathkeeper/shared-core/messages';
import { describe, expect, test } from 'vitest';
import { openFeed } from '../../../../dashboard/page/charts/series-feed.js';
import type { Answer } from '../../../../dashboard/page/state/api.js';

function feedOnTrial() {
  const asked: number[] = [];
  const answers: ((answer: Answer<string>) => void)[] = [];
  const shown: string[] = [];
  const refused: (Refusal | null)[] = [];
  const feed = openFeed<number, string>(
    (wish) => {
      asked.push(wish);
      return new Promise((resolve) => answers.push(resolve));
    },
    (value) => shown.push(value),
    (refusal) => refused.push(refusal),
  );
  const answer = async (given: Answer<string>): Promise<void> => {
    answers.shift()!(given);
    // Two turns of the queue: the answer, and what it leads to.
    await Promise.resolve();
    await Promise.resolve();
  };
  return { feed, asked, shown, refused, answer };
}

describe('a feed', () => {
  test('asks one question at a time, and of the wishes in between only the newest', async () => {
    const { feed, asked, shown, answer } = feedOnTrial();
    for (const wish of [1, 2, 3, 4]) feed.want(wish);
    expect(asked).toEqual([1]);
    await answer({ ok: true, value: 'one' });
    expect(asked).toEqual([1, 4]);
    await answer({ ok: true, value: 'four' });
    expect(shown).toEqual(['one', 'four']);
    feed.want(5);
    expect(asked).toEqual([1, 4, 5]);
  });
  test('keeps what is shown when a question is refused, says why, and goes on', async () => {
    const { feed, shown, refused, answer } = feedOnTrial();
    const refusal = { error: 'No answer.', problems: [] };
    feed.want(1);
    await answer({ ok: true, value: 'one' });
    feed.want(2);
    await answer({ ok: false, status: 0, refusal });
    feed.want(3);
    await answer({ ok: true, value: 'three' });
    expect(shown).toEqual(['one', 'three']);
    expect(refused).toEqual([null, refusal, null]);
  });
  test('drops what comes after it was closed', async () => {
    const { feed, asked, shown, answer } = feedOnTrial();
    feed.want(1);
    feed.want(2);
    feed.close();
    await answer({ ok: true, value: 'late' });
    expect(shown).toEqual([]);
    expect(asked).toEqual([1]);
  });
});
