/* What was asked of `npm run plan`: parts as they were named, and everything else as a request. Made by plan-options.ts. */
import type { RigLimits } from '@bathkeeper/shared-core/control';
import type { LengthUnit, SimpleShape } from '@bathkeeper/shared-core/part';
import type { PlanRequest, UnitSystem } from '@bathkeeper/shared-core/trade';

/** A part as it was named; models are read later. */
export type NamedPart =
  | { readonly kind: 'model'; readonly path: string }
  | { readonly kind: 'shape'; readonly shape: SimpleShape }
  | { readonly kind: 'area'; readonly areaDm2: number };

export interface AskedPart {
  readonly named: NamedPart;
  readonly pieces: number;
  readonly maskedDm2: number;
  /** Of the material of one piece, where a person gave it: for an area, or a model whose surface bounds none. */
  readonly volumeCm3: number | undefined;
}

export interface PlanOptions {
  readonly parts: readonly AskedPart[];
  readonly request: Omit<PlanRequest, 'parts'>;
  readonly units: UnitSystem;
  readonly lengthUnit: LengthUnit | undefined;
  readonly millimetresPerUnit: number | undefined;
  readonly rig: RigLimits | undefined;
  readonly isJson: boolean;
  readonly isExplained: boolean;
}
