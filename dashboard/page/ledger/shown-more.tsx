/* A long list shown a page at a time, the newest first: a button under it shows the next ones, so that a phone never draws years at once. Used by the lists of entries. */
import { useState } from 'preact/hooks';

const PAGE = 30;

export interface More {
  readonly left: number;
  readonly show: () => void;
}

export function useMore<T>(all: readonly T[]): { readonly shown: readonly T[]; readonly more: More } {
  const [count, setCount] = useState(PAGE);
  return {
    shown: all.slice(0, count),
    more: { left: Math.max(0, all.length - count), show: () => setCount((before) => before + PAGE) },
  };
}

/** Nothing where all of it is shown. */
export function MoreButton({ more }: { more: More }) {
  if (more.left === 0) return null;
  return (
    <button type="button" class="quiet" onClick={more.show}>
      Show {Math.min(PAGE, more.left)} older of {more.left}
    </button>
  );
}
