/*
 * What is judged over minutes and hours: for how long something has been so, and how fast it goes. Kept by the looks, once a second.
 * All times are on the clock of the steps, which never runs backwards. Nothing here grows; nothing here raises anything.
 */

const MINUTE_MS = 60000;
/** A sample that comes later than this after the last is no neighbour of it: the row begins anew. */
const MINUTE_MS_MAX = 90000;

export interface Spans {
  /** When the look before this one was. */
  lookedAtMs: number;
  /** Since when strike or ramp lasts, since when the set-point is derated, since when nobody has acknowledged: now, while it is not so. */
  startingSinceMs: number;
  deratedSinceMs: number;
  unacknowledgedSinceMs: number;
  /** The probe's last reading, and for how long it has not moved by one bit while current flowed. */
  stillCelsius: number;
  stillMs: number;
  /** Pulses and time at the begin of the window in which the speed is measured; the last window's seconds between pulses. */
  pulsesAtFirst: number;
  firstPulseAtMs: number;
  pulseSeconds: number;
  /** One sample a minute, the newest last: bath temperature of ten minutes, and its slope, 0 until they are full. */
  celsius: Float32Array;
  celsiusCount: number;
  celsiusAtMs: number;
  celsiusPerHour: number;
  /** The same of the voltage, of five minutes at this permitted current. */
  volts: Float32Array;
  voltsCount: number;
  voltsAtMs: number;
  voltsAmps: number;
}

/** @onceAtBoot */
export function createSpans(): Spans {
  return {
    lookedAtMs: 0,
    startingSinceMs: 0,
    deratedSinceMs: 0,
    unacknowledgedSinceMs: 0,
    stillCelsius: 0,
    stillMs: 0,
    pulsesAtFirst: 0,
    firstPulseAtMs: 0,
    pulseSeconds: 0,
    celsius: new Float32Array(11),
    celsiusCount: 0,
    celsiusAtMs: 0,
    celsiusPerHour: 0,
    volts: new Float32Array(6),
    voltsCount: 0,
    voltsAtMs: 0,
    voltsAmps: 0,
  };
}

/** Shifts the row by one and puts the newest at its end. */
function push(row: Float32Array, newest: number): void {
  const last = row.length - 1;
  for (let index = 0; index < last; index++) row[index] = row[index + 1]!;
  row[last] = newest;
}

/**
 * Keeps a temperature a minute and, once eleven are there, their slope in degrees an hour: the least-squares line, since the probe's
 * steps of 1/16 degree would make the difference of two readings jump by 0.4 degrees an hour. NaN: no reading, which begins anew.
 */
export function keepCelsius(spans: Spans, clockMs: number, celsius: number): void {
  const ageMs = clockMs - spans.celsiusAtMs;
  if (isNaN(celsius) || ageMs > MINUTE_MS_MAX) spans.celsiusCount = spans.celsiusPerHour = 0;
  if (isNaN(celsius) || (spans.celsiusCount && ageMs < MINUTE_MS)) return;
  const row = spans.celsius;
  push(row, celsius);
  spans.celsiusAtMs = clockMs;
  if (spans.celsiusCount < row.length) spans.celsiusCount++;
  if (spans.celsiusCount === row.length) {
    let sum = 0;
    for (let index = 0; index < row.length; index++) sum += (index - 5) * row[index]!;
    // The sum of (index - 5) squared is 110; 60 minutes are an hour.
    spans.celsiusPerHour = (sum / 110) * 60;
  }
}

/** Counts for how long the reading is exactly the same; `elapsedMs` is 0 while no current flows. */
export function keepStill(spans: Spans, celsius: number, elapsedMs: number): void {
  if (isNaN(celsius)) return;
  if (celsius === spans.stillCelsius) spans.stillMs += elapsedMs;
  else spans.stillMs = 0;
  spans.stillCelsius = celsius;
}

/** Begins the window of pulses anew: a part that did not turn until now is not slow. */
export function forgetPulses(spans: Spans, pulses: number, lastPulseAtMs: number): void {
  spans.pulsesAtFirst = pulses;
  spans.firstPulseAtMs = lastPulseAtMs;
  spans.pulseSeconds = 0;
}

/** Measures the seconds between pulses, over 5 s and at least one pulse, so that the length of a step does not matter. */
export function keepPulses(spans: Spans, pulses: number, lastPulseAtMs: number): void {
  const windowMs = lastPulseAtMs - spans.firstPulseAtMs;
  if (pulses === spans.pulsesAtFirst || windowMs < 5000) return;
  spans.pulseSeconds = windowMs / 1000 / (pulses - spans.pulsesAtFirst);
  spans.firstPulseAtMs = lastPulseAtMs;
  spans.pulsesAtFirst = pulses;
}

/**
 * Keeps a voltage a minute and returns that of five minutes ago, 0 when there is none: a voltage of NaN (no steady current) or another
 * permitted current begins anew.
 */
export function keepVolts(spans: Spans, clockMs: number, volts: number, permittedAmps: number): number {
  const ageMs = clockMs - spans.voltsAtMs;
  if (isNaN(volts) || ageMs > MINUTE_MS_MAX || Math.abs(permittedAmps - spans.voltsAmps) > 0.05 * spans.voltsAmps) {
    spans.voltsCount = 0;
  }
  if (isNaN(volts)) return 0;
  if (!spans.voltsCount || ageMs >= MINUTE_MS) {
    push(spans.volts, volts);
    spans.voltsAtMs = clockMs;
    spans.voltsAmps = permittedAmps;
    if (spans.voltsCount < spans.volts.length) spans.voltsCount++;
  }
  return spans.voltsCount === spans.volts.length ? spans.volts[0]! : 0;
}
