/*
 * The route of what was logged over time. Mounted below /api, behind the door. It answers for every controller of which something is in the
 * store, paired still or not.
 */
import { Router } from 'express';
import { z } from 'zod';
import { SERIES_POINTS_MAX, SERIES_POINTS_MIN } from '@bathkeeper/shared-core/messages';
import type { Dashboard } from '../dashboard.js';
import { UnreadRecords } from '../keeping/reading.js';
import { checked, Refused } from './refusal.js';

/** 2100: what lies beyond is no time of a bath. */
const LATEST_MS = Date.UTC(2100, 0, 1);
const USUAL_POINTS = 1200;

const whole = (least: number, most: number, usual?: number) =>
  z
    .string()
    .optional()
    .transform((text) =>
      text === undefined && usual !== undefined ? usual : /^\d{1,15}$/.test(text ?? '') ? Number(text) : NaN,
    )
    .refine((value) => value >= least && value <= most, {
      message: `expected a whole number from ${String(least)} to ${String(most)}`,
    });

const seriesRequest = z
  .strictObject({
    controllerId: z.string('expected the name of a controller').min(1).max(64),
    fromMs: whole(0, LATEST_MS),
    toMs: whole(0, LATEST_MS),
    points: whole(SERIES_POINTS_MIN, SERIES_POINTS_MAX, USUAL_POINTS),
  })
  .refine(({ fromMs, toMs }) => !(toMs <= fromMs), { message: 'expected a time after fromMs', path: ['toMs'] });

export function seriesRoutes({ book, store, reading }: Dashboard): Router {
  const isLogged = store.database.prepare('SELECT 1 FROM queues WHERE controller_id = ?').pluck();
  const router = Router();
  router.get('/series', async (request, response) => {
    const asked = checked(seriesRequest, request.query);
    if (!book.has(asked.controllerId) && isLogged.get(asked.controllerId) === undefined)
      throw new Refused(
        404,
        `Nothing was logged of a controller "${asked.controllerId}", and none of that name is paired.`,
      );
    const gone = new AbortController();
    response.once('close', () => {
      gone.abort();
    });
    const series = await reading.ask('series', asked, gone.signal).catch((fault: unknown) => {
      throw fault instanceof UnreadRecords ? new Refused(503, fault.message) : fault;
    });
    response.json(series);
  });
  return router;
}
