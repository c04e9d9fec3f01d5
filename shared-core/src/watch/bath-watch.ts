/*
 * What the dashboard watches by itself in the live messages of one controller: current against its permitted value, bath
 * temperature against the recipe's band, and silence. Called with every live message and once a second; streaming, constant memory.
 * It only judges: alarms, texts and calls are the server's.
 */
import { isLive } from '../control/phase.js';
import { SupplyKind } from '../control/signals.js';
import type { AlarmName, LiveView } from '../messages/api.js';
import { type DelayedCondition, delayedCondition, judged } from './delayed-condition.js';

export const CURRENT_OFF_FRACTION = 0.05;
export const CURRENT_OFF_AMPS_MIN = 0.3;
export const CURRENT_OFF_SECONDS = 10;
export const SILENT_SECONDS = 15;
/** Common practice, no source: longer than a reconnect at once, shorter than silence. */
export const CONNECTION_GONE_SECONDS = 5;
/** 1 K, from ISA-18.2's start values (1 % of span), from memory. */
export const TEMPERATURE_DEADBAND_CELSIUS = 1;
/** Common practice, no source: a bath of 60 L changes by less than its deadband in this time. */
const TEMPERATURE_DELAY_MS = 30_000;
/** A set-point that moved is given this long before the current is judged against it. */
const SETTLING_MS = 5_000;
/** A hand at the knob comes later, and looks at the display between. Common practice, no source. */
const SETTLING_BY_HAND_MS = 90_000;
const MOVED_FRACTION = 0.02;

export type WatchedName = Extract<
  AlarmName,
  'current-off-permitted' | 'bath-temperature-out-of-band' | 'controller-silent'
>;

export interface Finding {
  readonly name: WatchedName;
  readonly turned: 'raised' | 'cleared';
  readonly causeAtMs: number;
  /** What was seen, with numbers. */
  readonly detail: string;
}

export interface TemperatureBand {
  readonly lowestCelsius: number;
  readonly highestCelsius: number;
}

export interface BathWatch {
  current: DelayedCondition;
  temperature: DelayedCondition;
  silence: DelayedCondition;
  lastPermittedAmps: number;
  permittedMovedAtMs: number;
  /** When this watch began to listen; undefined: not yet. */
  listeningSinceMs: number | undefined;
  /** When silence was judged last. */
  lookedAtMs: number;
}

export function bathWatch(): BathWatch {
  return {
    current: delayedCondition(),
    temperature: delayedCondition(),
    silence: delayedCondition(),
    lastPermittedAmps: 0,
    permittedMovedAtMs: -Infinity,
    listeningSinceMs: undefined,
    lookedAtMs: -Infinity,
  };
}

/** True when the measured current is further from its permitted value than max(5 %, 0.3 A). */
export function isCurrentOff(measuredAmps: number, permittedAmps: number): boolean {
  return (
    Math.abs(measuredAmps - permittedAmps) > Math.max(CURRENT_OFF_FRACTION * permittedAmps, CURRENT_OFF_AMPS_MIN) + 1e-9
  );
}

/** Judges one live message. A reading at fault is judged by the controller itself, not here. */
export function findingsInLive(watch: BathWatch, live: LiveView, band: TemperatureBand, nowMs: number): Finding[] {
  const findings: Finding[] = [];
  const isRunning = isLive(live.phase) && live.isContactorClosed;
  const { permittedAmps, cathodeCurrentAmps, bathTemperatureCelsius } = live;
  if (Math.abs(permittedAmps - watch.lastPermittedAmps) > MOVED_FRACTION * Math.max(1, permittedAmps)) {
    watch.permittedMovedAtMs = nowMs;
  }
  // The clock was set back since: the settling begins anew, or nothing would be judged until that time comes again.
  watch.permittedMovedAtMs = Math.min(watch.permittedMovedAtMs, nowMs);
  // From one message to the next: a step counts as a move, the slow climb of a ramp does not.
  watch.lastPermittedAmps = permittedAmps;
  if (cathodeCurrentAmps !== null) {
    const settlingMs = live.supplyKind === SupplyKind.byHand ? SETTLING_BY_HAND_MS : SETTLING_MS;
    const isSettled = nowMs - watch.permittedMovedAtMs >= settlingMs;
    const isOff = isRunning && (isSettled || watch.current.isActive) && isCurrentOff(cathodeCurrentAmps, permittedAmps);
    const delays = { onMs: CURRENT_OFF_SECONDS * 1000, offMs: CURRENT_OFF_SECONDS * 1000 };
    const turned = judged(watch.current, isOff, nowMs, delays);
    if (turned) {
      findings.push({
        name: 'current-off-permitted',
        turned,
        causeAtMs: watch.current.causeAtMs ?? nowMs,
        detail: `measured ${cathodeCurrentAmps.toFixed(2)} A, permitted ${permittedAmps.toFixed(2)} A`,
      });
    }
  }
  if (bathTemperatureCelsius !== null) {
    // Inside the deadband an alarm that stands goes on standing.
    const margin = watch.temperature.isActive ? TEMPERATURE_DEADBAND_CELSIUS : 0;
    const isOut =
      isRunning &&
      (bathTemperatureCelsius > band.highestCelsius - margin || bathTemperatureCelsius < band.lowestCelsius + margin);
    const turned = judged(watch.temperature, isOut, nowMs, { onMs: TEMPERATURE_DELAY_MS, offMs: TEMPERATURE_DELAY_MS });
    if (turned) {
      findings.push({
        name: 'bath-temperature-out-of-band',
        turned,
        causeAtMs: watch.temperature.causeAtMs ?? nowMs,
        detail: `bath at ${bathTemperatureCelsius.toFixed(1)} °C, expected ${String(band.lowestCelsius)} to ${String(band.highestCelsius)} °C`,
      });
    }
  }
  return findings;
}

/** What is known of a controller's voice. */
export interface Heard {
  /** null: never, then there is nothing to miss. */
  readonly lastHeardAtMs: number | null;
  /** false: the broker says that its connection is gone (the last will). */
  readonly isOnline: boolean;
}

/**
 * Judges silence: nothing heard for 15 s, or the connection gone and nothing heard for 5 s (a controller that reconnects at once wakes
 * nobody). Where the clock was set, or nobody looked for as long, silence counts from then on. A clock that runs faster than real time gets 2 s of real time more, since that is what the network takes.
 *
 * Example: last heard at 0 s and online: raised at 15 s, its cause at 0 s.
 */
export function findingsInSilence(watch: BathWatch, heard: Heard, nowMs: number, clockSpeed = 1): Finding[] {
  if (heard.lastHeardAtMs === null) return [];
  watch.listeningSinceMs ??= nowMs;
  const isAhead = Math.max(watch.listeningSinceMs, heard.lastHeardAtMs) > nowMs;
  if (isAhead && nowMs < watch.lookedAtMs) watch.listeningSinceMs = nowMs;
  const catchingUpSeconds = 2 * (clockSpeed - 1);
  // Between two looks this far apart nobody listened (the clock was set forward, or the computer slept): what was sent meanwhile is still to be read.
  const isBackFromAbsence = nowMs - watch.lookedAtMs >= (SILENT_SECONDS + catchingUpSeconds) * 1000;
  if (isBackFromAbsence && !watch.silence.isActive) watch.listeningSinceMs = nowMs;
  watch.lookedAtMs = nowMs;
  // Nothing can be missed that nobody listened for: after a start, silence counts from then on.
  const isHeardSince = heard.lastHeardAtMs > watch.listeningSinceMs && heard.lastHeardAtMs <= nowMs;
  const silentSeconds = (nowMs - (isHeardSince ? heard.lastHeardAtMs : watch.listeningSinceMs)) / 1000;
  const limitSeconds = (heard.isOnline ? SILENT_SECONDS : CONNECTION_GONE_SECONDS) + catchingUpSeconds;
  const turned = judged(watch.silence, silentSeconds >= limitSeconds, nowMs, { onMs: 0, offMs: 0 });
  if (!turned) return [];
  const unheardSeconds = Math.round(
    heard.lastHeardAtMs <= nowMs ? (nowMs - heard.lastHeardAtMs) / 1000 : silentSeconds,
  );
  return [
    {
      name: 'controller-silent',
      turned,
      causeAtMs: turned === 'raised' ? Math.min(heard.lastHeardAtMs, nowMs) : nowMs,
      detail: `last heard ${String(unheardSeconds)} s ago${heard.isOnline ? '' : ', and the broker says that its connection is gone'}`,
    },
  ];
}
