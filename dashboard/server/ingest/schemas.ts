/*
 * What the dashboard accepts from a controller, checked at its edge with zod. Called by the ingest for every message.
 * A row that is wrong is told apart from a message that is wrong: rows are numbered, so a bad one can be set aside and acknowledged.
 */
import { z } from 'zod';
import { Phase, SupplyKind } from '@bathkeeper/shared-core/control';
import { EVENT_COLUMNS, EventColumn, LINK_VERSION, LiveKey, RecordColumn } from '@bathkeeper/shared-core/messages';

const uint32 = z.int().min(0).max(0xffffffff);
const header = {
  v: z.literal(LINK_VERSION),
  i: uint32,
  b: z.int().min(0).max(65_535),
  u: z
    .int()
    .min(0)
    .max(2 ** 40),
  s: z.union([z.literal(0), z.literal(1)]).optional(),
};

/** As the controller kept it, or a list of numbers: firmware before 0.1. */
const row = z.union([z.string().max(400), z.array(z.unknown()).max(64)]);

export const outboxSchema = z.object({
  ...header,
  r: z.array(row).max(64).optional(),
  e: z.array(row).max(64).optional(),
});
export type OutboxMessage = z.infer<typeof outboxSchema>;

export const statusSchema = z.object({ v: z.literal(LINK_VERSION), o: z.union([z.literal(0), z.literal(1)]) });

const PHASE_MAX = Math.max(...Object.values(Phase));
const mask = z
  .int()
  .min(-(2 ** 31))
  .max(0xffffffff);
const centi = z.int().min(-1e6).max(1e6);
export const liveSchema = z.object({
  ...header,
  [LiveKey.phase]: z.int().min(0).max(PHASE_MAX),
  [LiveKey.current]: centi.optional(),
  [LiveKey.voltage]: z.int().min(-1e6).max(1e6).optional(),
  [LiveKey.temperature]: centi.optional(),
  [LiveKey.permitted]: centi,
  [LiveKey.charge]: z
    .int()
    .min(0)
    .max(2 ** 50),
  [LiveKey.run]: z.int().min(0),
  [LiveKey.recipeId]: z.int().min(0),
  [LiveKey.phaseSeconds]: z.int().min(0),
  [LiveKey.liveSeconds]: z.int().min(0),
  [LiveKey.conditions]: mask,
  [LiveKey.permissivesMissing]: mask,
  [LiveKey.contactorClosed]: z.union([z.literal(0), z.literal(1)]),
  [LiveKey.pulsePeriod]: z.int().min(0),
  [LiveKey.pulseAge]: z.int().min(0),
  [LiveKey.derate]: z.int().min(0).max(100),
  [LiveKey.waiting]: z.int().min(0),
  // Later keys: firmware before them does not send any.
  [LiveKey.conditionsHigh]: mask.default(0),
  [LiveKey.supplyKind]: z.int().min(0).max(2).default(SupplyKind.analogue),
  [LiveKey.rampState]: z.int().min(0).max(3).default(0),
  [LiveKey.lowered]: centi.optional(),
});
export type LiveMessage = z.infer<typeof liveSchema>;

const isWhole = (value: unknown): value is number => typeof value === 'number' && Number.isSafeInteger(value);

/** Columns are only ever added at the end: firmware before the last one sends fewer, a later one may send more. */
const RECORD_COLUMNS_MIN = RecordColumn.pulses + 1;

/** Why a record row cannot be stored, or undefined. */
export function recordProblem(row: readonly unknown[]): string | undefined {
  if (row.length < RECORD_COLUMNS_MIN || !row.every(isWhole))
    return `expected at least ${String(RECORD_COLUMNS_MIN)} whole numbers`;
  const at = (column: keyof typeof RecordColumn): number => row[RecordColumn[column]] as number;
  if (at('first') < 1 || at('first') > 0xffffffff) return `first is ${String(at('first'))}, expected 1 to 2^32 - 1`;
  if (at('span') < 1 || at('span') > 65_535) return `span is ${String(at('span'))}, expected 1 to 65535`;
  if (at('phase') < 0 || at('phase') > PHASE_MAX)
    return `phase is ${String(at('phase'))}, expected 0 to ${String(PHASE_MAX)}`;
  if (at('charge') < 0) return 'charge is negative';
  if (at('electricCount') < 0 || at('electricCount') > at('span')) return 'electricCount is outside 0 to span';
  if (at('temperatureCount') < 0 || at('temperatureCount') > at('span')) return 'temperatureCount is outside 0 to span';
  if (at('electricCount') > 0 && at('currentMin') > at('currentMax')) return 'currentMin is above currentMax';
  if (at('uptime') < 0 || at('boot') < 0 || at('run') < 0 || at('pulses') < 0) return 'a count is negative';
  return undefined;
}

/** Why an event row cannot be stored, or undefined. */
export function eventProblem(row: readonly unknown[]): string | undefined {
  if (row.length < EVENT_COLUMNS || !row.every(isWhole))
    return `expected at least ${String(EVENT_COLUMNS)} whole numbers`;
  const sequence = row[EventColumn.sequence] as number;
  if (sequence < 1 || sequence > 0xffffffff) return `sequence is ${String(sequence)}, expected 1 to 2^32 - 1`;
  if ((row[EventColumn.kind] as number) < 1 || (row[EventColumn.kind] as number) > 255)
    return 'kind is outside 1 to 255';
  return undefined;
}
