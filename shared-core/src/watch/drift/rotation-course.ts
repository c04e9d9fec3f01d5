/*
 * The time of one turn, pulse by pulse: a motor that gets tired or a part that begins to brush shows in it long before a third of the speed is
 * gone, which is where the controller calls. Pulses are told once a second at best; each turn counts once. Called by the drift watch with
 * each live message.
 */
import type { LiveView } from '../../messages/api.js';
import { median, robustSigma } from './robust.js';
import { type ShiftChart, shiftChart, shiftNow, type ShiftWidths, takeResidual } from './shift-chart.js';

export interface RotationCourse {
  /** null: none was told yet. */
  lastPulseAtMs: number | null;
  learning: number[];
  usualSeconds: number | null;
  chart: ShiftChart | null;
}

export interface RotationShift {
  readonly turned: 'raised' | 'cleared' | undefined;
  readonly nowSeconds: number;
  readonly usualSeconds: number;
}

const LEARNING_PULSES = 20;
const SIGMA_MIN = 0.004;
/** Turns are independent of each other: 1.5 sigmas, and H of 7.5, cry once in many years of nights. */
const WIDTHS: ShiftWidths = { shift: 0.04, allowanceSigmas: 1.5, calmSamples: 20 };

export function rotationCourse(): RotationCourse {
  return { lastPulseAtMs: null, learning: [], usualSeconds: null, chart: null };
}

/** Takes what a live message says of the shaft, in place. */
export function takeRotation(course: RotationCourse, live: LiveView, nowMs: number): RotationShift | undefined {
  const { rotationPulsesPerMinute, secondsSinceRotationPulse } = live;
  if (rotationPulsesPerMinute === null || secondsSinceRotationPulse === null) return undefined;
  const seconds = 60 / rotationPulsesPerMinute;
  const pulseAtMs = nowMs - secondsSinceRotationPulse * 1000;
  // The age is told in whole seconds: a pulse is another one when it came half a turn after the last, and more than that rounding.
  if (course.lastPulseAtMs !== null && pulseAtMs - course.lastPulseAtMs < Math.max(1_100, 500 * seconds))
    return undefined;
  course.lastPulseAtMs = pulseAtMs;
  if (course.usualSeconds === null || course.chart === null) {
    course.learning.push(seconds);
    if (course.learning.length < LEARNING_PULSES) return undefined;
    course.usualSeconds = median(course.learning);
    const sigma = robustSigma(course.learning, course.usualSeconds) / course.usualSeconds;
    course.chart = shiftChart(Math.max(SIGMA_MIN, sigma));
    return undefined;
  }
  const { usualSeconds, chart } = course;
  const turned = takeResidual(chart, Math.log(seconds / usualSeconds), WIDTHS, nowMs, seconds * 1000);
  return { turned, nowSeconds: usualSeconds * Math.exp(shiftNow(chart, WIDTHS)), usualSeconds };
}
