/*
 * What the page may send, checked with zod at the edge of /api. A request that does not fit is answered with every fault at once.
 */
import { z } from 'zod';

const text = (most: number) => z.string().trim().min(1).max(most);

export const recipeRequest = z
  .object({
    partName: text(80),
    areaDm2: z.number().gt(0).max(10_000),
    currentDensityAmpsPerDm2: z.number().gt(0).max(100),
    averageThicknessMicrometres: z.number().gt(0).max(20_000).optional(),
    chargeAmpereHours: z.number().gt(0).max(200_000).optional(),
    strikeDensityAmpsPerDm2: z.number().min(0).max(100).optional(),
    strikeMinutes: z.number().min(0).max(1440).optional(),
    rampMinutes: z.number().min(0).max(1440).optional(),
    rotationPulsesPerMinute: z.number().min(0).max(600).optional(),
    bath: text(40).optional(),
    cathodeEfficiency: z.number().gt(0).max(1).optional(),
  })
  .strict()
  .refine(
    (request) => (request.averageThicknessMicrometres === undefined) !== (request.chargeAmpereHours === undefined),
    {
      message: 'expected either averageThicknessMicrometres or chargeAmpereHours, and not both',
      path: ['averageThicknessMicrometres'],
    },
  );

/** A recipe that is sent may say from which plan it came; the rest is a recipeRequest. */
export const sentRecipe = z.looseObject({ plan: z.unknown().optional() });

export const commandRequest = z.discriminatedUnion('kind', [
  z.object({ kind: z.enum(['stop', 'hold', 'acknowledge']) }).strict(),
  z.object({ kind: z.literal('lower'), toAmps: z.number().min(0).max(300) }).strict(),
]);
export const firstStartRequest = z.object({ token: z.string().max(200), passphrase: z.string().max(500) }).strict();
export const sessionRequest = z.object({ passphrase: z.string().max(500) }).strict();
export const pairRequest = z
  .object({
    controllerId: z
      .string()
      .regex(/^[a-z0-9][a-z0-9-]{0,30}$/, 'expected lower-case letters, digits and hyphens, at most 31'),
    bathName: text(60).optional(),
    secretText: z.string().max(400),
  })
  .strict();
export const pressRequest = z
  .object({ button: z.enum(['start', 'stop', 'reset', 'emergency-stop', 'emergency-release', 'latch-reset']) })
  .strict();
