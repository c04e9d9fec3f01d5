/* What there is to choose from for the options of `npm run plan` that take a word. Read by plan-options.ts and the help. */
import { type LengthUnit, millimetresPerUnit, type ShapeKind, shapeDimensions } from '@bathkeeper/shared-core/part';
import {
  type Agitation,
  bathProfiles,
  penFactors,
  type PenFactorName,
  type UnitSystem,
} from '@bathkeeper/shared-core/trade';

export const agitations: readonly Agitation[] = ['still', 'moving', 'vigorous'];
export const bathKeys: readonly string[] = bathProfiles.map((each) => each.key);
export const penNames = Object.keys(penFactors) as PenFactorName[];
export const shapeKinds = Object.keys(shapeDimensions) as ShapeKind[];
export const lengthUnits = Object.keys(millimetresPerUnit) as LengthUnit[];
export const unitSystems: readonly UnitSystem[] = ['metric', 'imperial'];
