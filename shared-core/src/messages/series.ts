/*
 * What was logged of one controller between two instants, thinned to a number of buckets: columns of equal length, in order of time.
 * Answered by the server's room keeping, drawn by the page. It says nothing of what was not logged: a gap is a bucket that is missing.
 */
import type { Phase } from '../control/phase.js';

/**
 * GET /api/series?controllerId=&fromMs=&toMs=&points= answers a Series of at most `points` buckets, SERIES_POINTS_MIN to SERIES_POINTS_MAX.
 * Buckets begin at whole multiples of `bucketMs` since 1970, so that panning asks for the same ones again. A record stands whole in the bucket
 * in which it begins, however many seconds it was merged from; one that began before `fromMs` and reaches in is the first.
 */
export interface Series {
  readonly controllerId: string;
  readonly fromMs: number;
  /** Exclusive. */
  readonly toMs: number;
  readonly bucketMs: number;
  /** What it was read from. Charge, least and most current of each bucket are exact from any of them. */
  readonly source: 'records' | 'minutes' | 'ten-minutes';
  readonly startMs: readonly number[];
  /** Seconds that were logged; more than the bucket is long where a long outage merged them. */
  readonly seconds: readonly number[];
  /** Of the newest record in the bucket, as are phase and charge. */
  readonly run: readonly number[];
  readonly phase: readonly Phase[];
  /** Mean of what the gate permitted: the set-point after lowering, derating and the rig's limits. */
  readonly permittedAmps: readonly number[];
  /** Mean of what the recipe asked for, whatever was permitted of it; null: not known (see set-point-course.ts). */
  readonly setPointAmps: readonly (number | null)[];
  /** null: no good reading in the bucket; likewise below. */
  readonly currentMeanAmps: readonly (number | null)[];
  /** The extremes of all readings, not of means. */
  readonly currentMinAmps: readonly (number | null)[];
  readonly currentMaxAmps: readonly (number | null)[];
  /** Mean, at the terminals. */
  readonly voltageVolts: readonly (number | null)[];
  /** The extremes of the records' means, a second each unless an outage merged them; null also where the records went before extremes were kept. */
  readonly voltageMinVolts: readonly (number | null)[];
  readonly voltageMaxVolts: readonly (number | null)[];
  /** Voltage by current, at the terminals, from 0.2 A on. */
  readonly resistanceMinMilliohms: readonly (number | null)[];
  readonly resistanceMaxMilliohms: readonly (number | null)[];
  readonly temperatureCelsius: readonly (number | null)[];
  readonly temperatureMinCelsius: readonly (number | null)[];
  readonly temperatureMaxCelsius: readonly (number | null)[];
  /** Of the sensor: one magnet gives one a turn. Over the minute or two that end with the bucket, since a slow part gives a pulse in ten seconds; null: too little was logged without a gap. */
  readonly rotationPulsesPerMinute: readonly (number | null)[];
  /** The controller's own count since that run began. */
  readonly chargeAmpereHours: readonly number[];
}

export const SERIES_POINTS_MIN = 10;
export const SERIES_POINTS_MAX = 4000;
