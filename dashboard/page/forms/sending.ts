/*
 * The state of a form whose entry stands with the name of who wrote it: whether it was asked to send, whether it is on its way, and why it was refused.
 * Used by the forms of the ledger, of the stock and of the logbook. What is on its way is not sent a second time: a second press would write it down twice.
 */
import { useRef, useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import type { Answer } from '../state/api.js';
import { who } from '../state/who.js';

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

export function useSending(): Sending {
  const [isAsked, setAsked] = useState(false);
  const [isUnderWay, setUnderWay] = useState(false);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const isSent = useRef(false);
  return {
    isAsked,
    isUnderWay,
    refusal,
    send: async (entry, send) => {
      if (isSent.current) return undefined;
      setAsked(true);
      const by = who.value.trim();
      if (entry === undefined || by === '') return undefined;
      isSent.current = true;
      setUnderWay(true);
      try {
        const answer = await send(entry, by);
        setRefusal(answer.ok ? null : answer.refusal);
        return answer;
      } finally {
        isSent.current = false;
        setUnderWay(false);
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
