/* The shape of entries about the care of a bath: each field by its name, kind and bounds, nothing beside. Used by entry-shape.ts. */
import { z } from 'zod';
import {
  type AnodesChangedAsked,
  type AnodesWeighedAsked,
  type CarbonTreatmentAsked,
  type CareAsked,
  type FiltrationAsked,
  type HullCellAsked,
  hullCells,
  hullLooks,
  type HullSeen,
  remindedKeys,
  type ReminderAsked,
  type OpenTankAsked,
  throwingFormulaKeys,
  type ThrowingPowerAsked,
  type WasteCollectedAsked,
  type WasteHandedOverAsked,
  wasteKeys,
} from '@bathkeeper/shared-core/trade';
import { notNegative, positive, shape, text } from './shape.js';

/** More than any tank of a workshop holds of anodes, in grams, or gives of waste, in litres or kilograms. */
const GRAMS_MAX = 10_000_000;
const WASTE_MAX = 100_000;
const HOURS_MAX = 10_000;
/** Between two rounds of care: what is rarer needs no reminder. */
const DAYS_MAX = 3650;
const AMPERE_HOURS_MAX = 1_000_000;
/** Of a panel or a test: more than any cell takes. */
const CELL_AMPS_MAX = 50;
const CELL_MINUTES_MAX = 600;
const CELL_MM_MAX = 200;
/** More stretches than a panel has room for. */
const SEEN_MAX = 12;
const bathCelsius = z.number().min(0).max(100).optional();

export const careBodies: { readonly [Kind in CareAsked['kind']]: z.ZodType<Extract<CareAsked, { kind: Kind }>> } = {
  'hull-cell': shape<HullCellAsked>({
    kind: z.literal('hull-cell'),
    cell: z.enum(hullCells),
    cellAmps: positive(CELL_AMPS_MAX),
    minutes: positive(CELL_MINUTES_MAX),
    isStirred: z.boolean(),
    bathCelsius,
    seen: z
      .array(
        shape<HullSeen>({
          look: z.enum(Object.keys(hullLooks)),
          fromMm: notNegative(CELL_MM_MAX),
          toMm: positive(CELL_MM_MAX),
        }),
      )
      .max(SEEN_MAX),
  }),
  'throwing-power': shape<ThrowingPowerAsked>({
    kind: z.literal('throwing-power'),
    nearGrams: positive(GRAMS_MAX),
    farGrams: positive(GRAMS_MAX),
    distanceRatio: positive(1000),
    formula: z.enum(throwingFormulaKeys),
  }),
  filtration: shape<FiltrationAsked>({
    kind: z.literal('filtration'),
    how: z.enum(['continuous', 'batch']),
    poreMicrometres: positive(1000).optional(),
    hours: positive(HOURS_MAX).optional(),
    isMediumNew: z.boolean(),
  }),
  'carbon-treatment': shape<CarbonTreatmentAsked>({
    kind: z.literal('carbon-treatment'),
    how: z.enum(['powder', 'cartridge']),
    grams: positive(GRAMS_MAX).optional(),
    hours: positive(HOURS_MAX).optional(),
    bathCelsius,
  }),
  'anodes-weighed': shape<AnodesWeighedAsked>({ kind: z.literal('anodes-weighed'), grams: positive(GRAMS_MAX) }),
  'anodes-changed': shape<AnodesChangedAsked>({
    kind: z.literal('anodes-changed'),
    takenOutGrams: notNegative(GRAMS_MAX),
    putInGrams: notNegative(GRAMS_MAX),
  }),
  'waste-collected': shape<WasteCollectedAsked>({
    kind: z.literal('waste-collected'),
    what: z.enum(wasteKeys),
    amount: positive(WASTE_MAX),
    container: text(120),
  }),
  'waste-handed-over': shape<WasteHandedOverAsked>({
    kind: z.literal('waste-handed-over'),
    what: z.enum(wasteKeys),
    amount: positive(WASTE_MAX),
    toWhom: text(200),
  }),
  tank: shape<OpenTankAsked>({
    kind: z.literal('tank'),
    openSurfaceDm2: positive(100_000),
    bathCelsius: z.number().min(0).max(100),
    isAirAgitated: z.boolean(),
  }),
  reminder: shape<ReminderAsked>({
    kind: z.literal('reminder'),
    of: z.enum(remindedKeys),
    everyDays: positive(DAYS_MAX).optional(),
    everyAmpereHours: positive(AMPERE_HOURS_MAX).optional(),
  }),
};
