/* For whom words are written. Taken by every function of words in which a time of day or a figure in somebody's units stands; pure. */
import type { UnitSystem } from '@bathkeeper/shared-core/trade';

export interface Reader {
  /** The browser's own when absent. */
  readonly timeZone?: string;
  /** Metric when absent. */
  readonly units?: UnitSystem;
}
