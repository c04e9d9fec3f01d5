/*
 * Keeps a chart fed with what is looked at, and with no more: one question at a time, the newest wish next, what is shown stays until something newer has come.
 * Called by the charts; knows neither the dashboard's address nor how anything is drawn.
 */
import type { Refusal } from '@bathkeeper/shared-core/messages';
import type { Answer } from '../state/api.js';

export interface Feed<W> {
  /** Asks for it as soon as nothing else is being asked; a wish that a newer one overtook is never asked. */
  want(wish: W): void;
  /** Answers that come from now on are dropped. */
  close(): void;
}

export function openFeed<W, T>(
  ask: (wish: W) => Promise<Answer<T>>,
  shown: (value: T) => void,
  refused: (refusal: Refusal | null) => void,
): Feed<W> {
  let next: { readonly wish: W } | null = null;
  let isAsking = false;
  let isClosed = false;
  const go = async (): Promise<void> => {
    isAsking = true;
    while (next !== null && !isClosed) {
      const { wish } = next;
      next = null;
      const answer = await ask(wish);
      if (isClosed) return;
      refused(answer.ok ? null : answer.refusal);
      if (answer.ok) shown(answer.value);
    }
    isAsking = false;
  };
  return {
    want: (wish) => {
      next = { wish };
      if (!isAsking) void go();
    },
    close: () => {
      isClosed = true;
    },
  };
}
