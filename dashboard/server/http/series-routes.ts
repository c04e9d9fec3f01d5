/*
 * The routes of what was logged over time, and of what happened meanwhile. Mounted below /api, behind the door. It answers for every controller of which something is in the
 * store, paired still or not.
 */
import { Router } from 'express';
import { z } from 'zod';
import { SERIES_POINTS_MAX, SERIES_POINTS_MIN } from '@bathkeeper/shared-core/messages';
import type { Dashboard } from '../dashboard.js';
import { openChartMarks } from '../logbook/chart-marks.js';
import { checked, Refused, refusedAsUnread } from './refusal.js';

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

const window = {
  controllerId: z.string('expected the name of a controller').min(1).max(64),
  fromMs: whole(0, LATEST_MS),
  toMs: whole(0, LATEST_MS),
};
const isForward = ({ fromMs, toMs }: { fromMs: number; toMs: number }): boolean => !(toMs <= fromMs);
const backward = { message: 'expected a time after fromMs', path: ['toMs'] };
const marksRequest = z.strictObject(window).refine(isForward, backward);
const seriesRequest = z
  .strictObject({ ...window, points: whole(SERIES_POINTS_MIN, SERIES_POINTS_MAX, USUAL_POINTS) })
  .refine(isForward, backward);

export function seriesRoutes({ book, store, reading }: Dashboard): Router {
  const isLogged = store.database.prepare('SELECT 1 FROM queues WHERE controller_id = ?').pluck();
  const marks = openChartMarks(store);
  const refuseUnknown = ({ controllerId }: { controllerId: string }): void => {
    if (book.has(controllerId) || isLogged.get(controllerId) !== undefined) return;
    throw new Refused(
      404,
      `Nothing was logged of a controller "${controllerId}", and none of that name is paired. Look at the list of baths again.`,
    );
  };
  const router = Router();
  router.get('/series/marks', (request, response) => {
    const asked = checked(marksRequest, request.query);
    refuseUnknown(asked);
    response.json(marks(asked.controllerId, asked.fromMs, asked.toMs));
  });
  router.get('/series', async (request, response) => {
    const asked = checked(seriesRequest, request.query);
    refuseUnknown(asked);
    const gone = new AbortController();
    response.once('close', () => {
      gone.abort();
    });
    response.json(await reading.ask('series', asked, gone.signal).catch(refusedAsUnread));
  });
  return router;
}
