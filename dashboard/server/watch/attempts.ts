/*
 * Several things in a row of which each must be tried: a store that does not take one alarm must not hide the next. Used by the watch.
 */

export interface Attempts {
  attempt(work: () => void): void;
  /** Throws the first failure, if there was one. */
  settle(): void;
}

export function attempts(): Attempts {
  let first: { readonly fault: unknown } | undefined;
  return {
    attempt: (work) => {
      try {
        work();
      } catch (fault) {
        first ??= { fault };
      }
    },
    settle: () => {
      if (first !== undefined) throw first.fault;
    },
  };
}
