/*
 * What a benchmark is: a name, what it measures, its bound, and how it is run. The command prints them; tests never time anything.
 */

export interface Measured {
  readonly value: number;
  /** More for the reader of the text: how it came about. */
  readonly note?: string;
}

export interface Benchmark {
  readonly name: string;
  readonly unit: string;
  /** The value must not be above it. */
  readonly bound: number;
  run(): Promise<Measured> | Measured;
}

export interface Result {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly bound: number;
  readonly met: boolean;
}
