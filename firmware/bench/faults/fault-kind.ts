/* What a fault is: how it begins and ends in a virtual bath. No behaviour. */
import type { VirtualBath } from '../virtual-bath.js';

export type FaultScope = 'bath' | 'dashboard';

export interface FaultKind {
  readonly scope: FaultScope;
  /** One line for the list of faults. */
  readonly what: string;
  /** How long it lasts when nothing is said; undefined: to the end. Infinity never; 0: it is over at once. */
  readonly usualSeconds?: number;
  readonly begin?: (bath: VirtualBath, seconds: number | undefined) => void;
  readonly end?: (bath: VirtualBath) => void;
}
