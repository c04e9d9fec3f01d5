/*
 * The state of a form whose entry stands with the name of who wrote it: whether it was asked to send, whether it is on its way, and why it was refused.
 * Used by the forms of the ledger, of the stock and of the logbook. What is on its way is not sent a second time: a second press would write it down twice.
 */
import { useSignal } from '@preact/signals';
import { useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import type { Answer } from '../state/api.js';
import { who } from '../state/who.js';
import type { Draft } from './draft.js';

export interface Sending {
  /** From now on the form says of each field what it misses. */
  readonly isAsked: boolean;
  readonly isUnderWay: boolean;
  /** Of the newest answer; null where it was taken. */
  readonly refusal: Refusal | null;
  /** Sends an entry that is whole (undefined while it is not), signed by whoever uses this device. undefined: nothing was sent, since something is missing or the last one is on its way. */
  send<Entry, T>(
    entry: Entry | undefined,
    send: (entry: Entry, by: string) => Promise<Answer<T>>,
  ): Promise<Answer<T> | undefined>;
  /** The refusal was of something else than what stands in the form now. */
  forgetRefusal(): void;
  /** For the next entry. */
  beginAnew(): void;
}

/** `draft`: what stands in the form; it ends with a good answer, also where the form was left meanwhile. */
export function useSending(draft?: Pick<Draft<unknown>, 'isUnderWay' | 'clear'>): Sending {
  const [isAsked, setAsked] = useState(false);
  const own = useSignal(false);
  const isUnderWay = draft?.isUnderWay ?? own;
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  return {
    isAsked,
    isUnderWay: isUnderWay.value,
    refusal,
    send: async (entry, send) => {
      if (isUnderWay.peek()) return undefined;
      setAsked(true);
      const by = who.value.trim();
      if (entry === undefined || by === '') return undefined;
      isUnderWay.value = true;
      try {
        const answer = await send(entry, by);
        setRefusal(answer.ok ? null : answer.refusal);
        if (answer.ok) draft?.clear();
        return answer;
      } finally {
        isUnderWay.value = false;
      }
    },
    forgetRefusal: () => {
      setRefusal(null);
    },
    beginAnew: () => {
      setAsked(false);
      setRefusal(null);
    },
  };
}
