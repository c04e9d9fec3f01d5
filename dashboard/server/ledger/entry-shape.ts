/*
 * The shape of what may be written into a ledger: each field by its name, kind and bounds, nothing beside. What does not fit together is for entryFaults. Used by
 * the ledger's routes. A field that is added to an entry and forgotten here does not compile.
 */
import { z } from 'zod';
import {
  type AdditionAsked,
  additives,
  type AnalysisAsked,
  type BoughtAcid,
  type BrightenerRateAsked,
  type Composition,
  analyteKeys,
  type EntryAsked,
  ledgerProfiles,
  type LevelAsked,
  type MadeUpAsked,
  type NewBathRequest,
  type NewEntryRequest,
  type NoteAsked,
  type PutOnAsked,
  type TakenOffAsked,
  type Titration,
  type UndoRequest,
} from '@bathkeeper/shared-core/trade';
import { expectedWords } from '../http/fault-words.js';
import { careBodies } from './care-shape.js';
import { notNegative, positive, shape, text } from './shape.js';

const share = positive(1);
/** More than any tank of a workshop. */
const LITRES_MAX = 100_000;
const GRAMS_PER_LITRE_MAX = 1500;

const acid = shape<BoughtAcid>({ strengthShare: share, densityGramsPerMl: z.number().min(0.5).max(3) });
const composition = shape<Composition>({
  'copper-sulphate': positive(GRAMS_PER_LITRE_MAX),
  'sulphuric-acid': positive(GRAMS_PER_LITRE_MAX),
  chloride: notNegative(10_000),
});
const titration = shape<Titration>({
  sampleMillilitres: positive(1000),
  titrantMillilitres: notNegative(1000),
  blankMillilitres: notNegative(1000).optional(),
  titrantMolesPerLitre: positive(10),
});

const bodies: { readonly [Kind in EntryAsked['kind']]: z.ZodType<Extract<EntryAsked, { kind: Kind }>> } = {
  'made-up': shape<MadeUpAsked>({
    kind: z.literal('made-up'),
    litres: positive(LITRES_MAX),
    composition,
    from: z.enum(['chemicals', 'ready-made']),
    saltPurityShare: share,
    acid,
    hydrochloric: acid.optional(),
    brightenerMillilitresPerLitre: notNegative(1000).optional(),
  }),
  addition: shape<AdditionAsked>({
    kind: z.literal('addition'),
    of: z.enum(Object.keys(additives)),
    amount: positive(100_000_000),
    name: text(80).optional(),
    purityShare: share.optional(),
    acid: acid.optional(),
  }),
  level: shape<LevelAsked>({ kind: z.literal('level'), litres: positive(LITRES_MAX) }),
  analysis: shape<AnalysisAsked>({
    kind: z.literal('analysis'),
    analyte: z.enum(analyteKeys),
    how: z.enum(['direct', 'edta', 'thiosulphate', 'sodium-hydroxide', 'silver-nitrate']),
    value: notNegative(10_000).optional(),
    isCopperMetal: z.boolean().optional(),
    titration: titration.optional(),
  }),
  'put-on': shape<PutOnAsked>({ kind: z.literal('put-on'), controllerId: text(31) }),
  'taken-off': shape<TakenOffAsked>({ kind: z.literal('taken-off') }),
  'brightener-rate': shape<BrightenerRateAsked>({
    kind: z.literal('brightener-rate'),
    litresPerKiloampereHour: positive(100),
    doseMillilitres: positive(100_000),
    source: text(200),
  }),
  note: shape<NoteAsked>({ kind: z.literal('note') }),
  ...careBodies,
};
const kinds = Object.keys(bodies) as [EntryAsked['kind'], ...EntryAsked['kind'][]];

/** The kind first, so that a fault is told of the kind that was meant. */
const body: z.ZodType<EntryAsked> = z.looseObject({ kind: z.enum(kinds) }).transform((given, context): EntryAsked => {
  const read = bodies[given.kind].safeParse(given, { error: expectedWords });
  if (read.success) return read.data;
  for (const issue of read.error.issues)
    context.addIssue({ code: 'custom', message: issue.message, path: [...issue.path] });
  return z.NEVER;
});

const who = text(60);
export const newBathShape = shape<NewBathRequest>({
  name: text(60),
  profile: z.enum(ledgerProfiles.map(({ key }) => key)),
  who,
});
export const newEntryShape = shape<NewEntryRequest>({
  atMs: z.number().int().min(0).optional(),
  who,
  note: z.string().trim().max(2000).optional(),
  body,
  isConfirmed: z.boolean().optional(),
});
export const undoShape = shape<UndoRequest>({ who, reason: text(500) });
