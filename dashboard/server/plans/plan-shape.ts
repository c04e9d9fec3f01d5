/*
 * The shape of a plan as it may come from outside: each field by its name and kind, nothing beside, nothing endless. Whether its numbers make sense is for
 * planFaults. Used by the routes of saved plans and of the rehearsal. A field that is added to PlanRequest and forgotten here does not compile.
 */
import { z } from 'zod';
import {
  type AnodesAsked,
  bathProfiles,
  type ConductorsAsked,
  type PaintAsked,
  penFactors,
  type PlannedPart,
  type PlanRequest,
  type PricesAsked,
  type SecondLayerAsked,
  type TankAsked,
  type WeightAsked,
} from '@bathkeeper/shared-core/trade';

/** More than hangs in any bath, and still small enough for a page to send. */
const PARTS_MAX = 100;
const WARNINGS_MAX = 50;
const PHRASES_MAX = 50;

const text = (most: number) => z.string().trim().min(1).max(most);
const number = z.number();
const maybe = number.optional();

/** Strict: a name that nobody knows is a fault, and not silently left out. */
function shape<T>(fields: Record<keyof T, z.ZodType>) {
  return z.strictObject(fields) as unknown as z.ZodType<T>;
}

const part = shape<PlannedPart>({
  name: text(200),
  pieces: number,
  areaDm2: number,
  volumeCm3: maybe,
  displacedCm3: maybe,
  areaFrom: text(200).optional(),
  notPlated: z.array(text(200)).max(PHRASES_MAX).optional(),
  isClosed: z.boolean().optional(),
  longestMm: maybe,
  edgeBendDegrees: maybe,
  openShare: maybe,
  thinnestRodMm: maybe,
  meanCurvatureMm: maybe,
  warnings: z.array(text(2000)).max(WARNINGS_MAX).optional(),
});

const tank = shape<TankAsked>({ lengthMm: maybe, widthMm: maybe, heightMm: maybe, fillMm: maybe, litres: maybe });
const anodes = shape<AnodesAsked>({ gapMm: maybe, areaRatio: maybe, faceDm2Each: maybe, count: maybe });
const conductors = shape<ConductorsAsked>({
  cableMetres: maybe,
  cableMm2: maybe,
  shuntRatedAmps: maybe,
  shuntRatedMillivolts: maybe,
});
const paint = shape<PaintAsked>({
  sheetOhmsPerSquare: maybe,
  contacts: maybe,
  dryMicrometres: maybe,
  solidsShare: maybe,
  lossShare: maybe,
  thinnerShare: maybe,
});
const weight = shape<WeightAsked>({
  massGramsEach: maybe,
  printGramsPerCm3: maybe,
  filledShare: maybe,
  ballastGramsPerCm3: maybe,
});
const prices = shape<PricesAsked>({
  metalPerKg: maybe,
  electricityPerKwh: maybe,
  brightenerPerLitre: maybe,
  paintPerLitre: maybe,
});
const secondLayer = shape<SecondLayerAsked>({
  pen: z.enum(Object.keys(penFactors)),
  micrometres: number,
  areaDm2: number,
  amps: number,
  ampereHoursPerIn2TenThousandth: maybe,
  penWidthMm: maybe,
  penMillimetresPerSecond: maybe,
});

export const planShape = shape<PlanRequest>({
  parts: z.array(part).min(1).max(PARTS_MAX),
  bath: z.enum(bathProfiles.map(({ key }) => key)).optional(),
  averageThicknessMicrometres: maybe,
  chargeAmpereHours: maybe,
  plateHours: maybe,
  currentDensityAmpsPerDm2: maybe,
  currentAmps: maybe,
  supplyAmpsMax: maybe,
  supplyVoltsMax: maybe,
  cathodeEfficiency: maybe,
  conductivitySiemensPerMetre: maybe,
  bathCelsius: maybe,
  roomCelsius: maybe,
  agitation: z.enum(['still', 'moving', 'vigorous']).optional(),
  strikeDensityAmpsPerDm2: maybe,
  strikeMinutes: maybe,
  rampMinutes: maybe,
  rotationPulsesPerMinute: maybe,
  claimedThicknessMicrometres: maybe,
  finishingMicrometres: maybe,
  brightenerLitresPerKiloampereHour: maybe,
  anodes: anodes.optional(),
  tank: tank.optional(),
  conductors: conductors.optional(),
  paint: paint.optional(),
  weight: weight.optional(),
  prices: prices.optional(),
  secondLayer: secondLayer.optional(),
});

export const planName = text(80);
