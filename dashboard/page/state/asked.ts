/*
 * Asks the dashboard for something when a room opens, and again when what it depends on changes or when the room says so.
 * Used by the rooms whose contents are not in the snapshot; an answer that comes after the room was left is dropped.
 */
import { useCallback, useEffect, useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import type { Answer } from './api.js';

export interface Asked<T> {
  /** The newest good answer; null before the first. */
  readonly value: T | null;
  /** Why the newest asking was refused; null when it was not. */
  readonly refusal: Refusal | null;
  readonly again: () => void;
  /** Puts an answer that came another way in the place of the newest. */
  readonly take: (value: T) => void;
}

export function useAsked<T>(ask: () => Promise<Answer<T>>, dependencies: readonly unknown[]): Asked<T> {
  const [value, setValue] = useState<T | null>(null);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    let isCurrent = true;
    void ask().then((answer) => {
      if (!isCurrent) return;
      setRefusal(answer.ok ? null : answer.refusal);
      if (answer.ok) setValue(answer.value);
    });
    return () => {
      isCurrent = false;
    };
    // `ask` is written anew at each drawing: what it depends on is named by the caller.
  }, [...dependencies, turn]);
  const again = useCallback(() => {
    setTurn((before) => before + 1);
  }, []);
  const take = useCallback((given: T) => {
    setValue(() => given);
    setRefusal(null);
  }, []);
  return { value, refusal, again, take };
}
