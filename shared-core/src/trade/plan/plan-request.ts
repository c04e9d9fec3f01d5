/*
 * What a person asks of a plan: parts, bath, target, and as much of supply, tank and cable as they know. Plain metric numbers, so that it can be
 * stored, copied and sent. Made by the command and the page, read by plan.ts. Whatever is left out is taken as usual, and the figures say so.
 */
import type { Agitation } from '../baths/bath-profile.js';
import type { PartInBath } from '../../part/parts-in-bath.js';
import type { PenFactorName } from '../brush.js';

/** What hangs in the bath (part/parts-in-bath.ts), with what more is known of it; all of that may be missing. */
export interface PlannedPart extends Omit<PartInBath, 'volumeCm3'> {
  /** Of the material of one piece. Not given where nobody knows: then nothing is said of floating and fill level. */
  readonly volumeCm3?: number;
  /** What one piece pushes aside, sealed cavities included; its volume where it is not given. */
  readonly displacedCm3?: number;
  /** Where the area comes from: "read from STL", "of a cylinder", "typed in". */
  readonly areaFrom?: string;
  /** What of one piece is not plated, in phrases: "closed cavities, 0.2 dm²". Its area is not in `areaDm2`; this is for whoever masks and looks. */
  readonly notPlated?: readonly string[];
  /** Whether the model's surface is closed. Not given without a model. */
  readonly isClosed?: boolean;
  /** The longest side of the part's box. */
  readonly longestMm?: number;
  /** Bend of its sharpest edges, 0 to 180; 90 is taken where it is not given. */
  readonly edgeBendDegrees?: number;
  /** Share of directions that its least open places see, 0 to 1 (part/crowding.ts). Not given: nothing is said of recesses. */
  readonly openShare?: number;
  /** Diameter of its thinnest rods (part/crowding.ts). */
  readonly thinnestRodMm?: number;
  /** Integral of its mean curvature (part/mean-curvature.ts): how its area grows with the deposit. Only of a closed surface. */
  readonly meanCurvatureMm?: number;
  /** What is wrong with its model, as whole sentences. */
  readonly warnings?: readonly string[];
}

export interface TankAsked {
  /** Inside, at the level of the liquid. */
  readonly lengthMm?: number;
  readonly widthMm?: number;
  /** To the rim, and how high the liquid stands without the part. */
  readonly heightMm?: number;
  readonly fillMm?: number;
  /** Instead of length, width and fill. */
  readonly litres?: number;
}

export interface AnodesAsked {
  /** From anode to part, the way that the current takes. */
  readonly gapMm?: number;
  /** Anode area over part area. */
  readonly areaRatio?: number;
  /** What of one anode faces the part in the liquid. */
  readonly faceDm2Each?: number;
  /** How many hang there already. */
  readonly count?: number;
}

export interface ConductorsAsked {
  /** There and back together. */
  readonly cableMetres?: number;
  readonly cableMm2?: number;
  readonly shuntRatedAmps?: number;
  readonly shuntRatedMillivolts?: number;
}

export interface PaintAsked {
  /** As the person measured it: two straight contacts on a square of the paint. */
  readonly sheetOhmsPerSquare?: number;
  /** On each piece. */
  readonly contacts?: number;
  /** Thickness of the dry layer; 0: the part is metal already. */
  readonly dryMicrometres?: number;
  /** Solids in the wet paint by volume, and what does not reach the part (overspray, brush, cup): 0 to 1. */
  readonly solidsShare?: number;
  readonly lossShare?: number;
  /** Thinner for a volume of paint. */
  readonly thinnerShare?: number;
}

export interface WeightAsked {
  /** Of one piece, painted, by the balance. Best. */
  readonly massGramsEach?: number;
  /** Instead: density of what it is printed from, and how much of its volume that fills. */
  readonly printGramsPerCm3?: number;
  readonly filledShare?: number;
  readonly ballastGramsPerCm3?: number;
}

/** All in the person's own money. What has no price has no cost. */
export interface PricesAsked {
  readonly metalPerKg?: number;
  readonly electricityPerKwh?: number;
  readonly brightenerPerLitre?: number;
  readonly paintPerLitre?: number;
}

export interface SecondLayerAsked {
  readonly pen: PenFactorName;
  readonly micrometres: number;
  readonly areaDm2: number;
  readonly amps: number;
  /** The pen's own factor, Ah for a square inch and 0.0001 in, where its maker says another. */
  readonly ampereHoursPerIn2TenThousandth?: number;
  readonly penWidthMm?: number;
  readonly penMillimetresPerSecond?: number;
}

export interface PlanRequest {
  readonly parts: readonly PlannedPart[];
  /** The key of a bath profile; bright acid copper where nobody names one, and the plan says so. */
  readonly bath?: string;
  /** Exactly one of the three: what is aimed at. */
  readonly averageThicknessMicrometres?: number;
  readonly chargeAmpereHours?: number;
  readonly plateHours?: number;
  /** At most one of the two; without either the bath's usual density. */
  readonly currentDensityAmpsPerDm2?: number;
  readonly currentAmps?: number;
  /** What the supply can give. */
  readonly supplyAmpsMax?: number;
  readonly supplyVoltsMax?: number;
  readonly cathodeEfficiency?: number;
  /** Measured, at 25 °C. */
  readonly conductivitySiemensPerMetre?: number;
  readonly bathCelsius?: number;
  readonly roomCelsius?: number;
  readonly agitation?: Agitation;
  readonly strikeDensityAmpsPerDm2?: number;
  readonly strikeMinutes?: number;
  readonly rampMinutes?: number;
  /** 0: the part does not turn. */
  readonly rotationPulsesPerMinute?: number;
  /** A thickness of one wall that somebody says this will give. */
  readonly claimedThicknessMicrometres?: number;
  /** What sanding and polishing will take off each wall. */
  readonly finishingMicrometres?: number;
  /** The bath's own consumption, litres for 1000 Ah. */
  readonly brightenerLitresPerKiloampereHour?: number;
  readonly anodes?: AnodesAsked;
  readonly tank?: TankAsked;
  readonly conductors?: ConductorsAsked;
  readonly paint?: PaintAsked;
  readonly weight?: WeightAsked;
  readonly prices?: PricesAsked;
  readonly secondLayer?: SecondLayerAsked;
}
