/*
 * What a controller told of one run, made readable: phases with their lengths, interruptions with what they mean for the copper, and what else happened.
 * Called by the dashboard's logbook with the run's events in their order. Judges nothing but lengths.
 */
import { Phase } from '../../control/phase.js';
import { EventKind } from '../../control/signals.js';
import { interruptionAdvice } from '../../watch/condition-advice.js';
import { shown } from '../shown.js';
import type { RunHappening, RunInterruption, RunPhase } from './run-record.js';

/** An event of a run as it was stored, see EventKind. */
export interface ToldEvent {
  readonly atMs: number;
  readonly kind: number;
  readonly code: number;
  readonly a: number;
  readonly b: number;
}

const beforeAndAfter: readonly number[] = [Phase.idle, Phase.ready, Phase.done];

/**
 * Phases from the start to `untilMs`, in their order; what the controller did before and after the run is left out.
 *
 * @example
 * phasesOfRun([{ atMs: 0, kind: EventKind.phaseEntered, code: Phase.strike, a: 1, b: 0 }], 600_000);
 * // [{ phase: Phase.strike, fromMs: 0, seconds: 600 }]
 */
export function phasesOfRun(events: readonly ToldEvent[], untilMs: number): RunPhase[] {
  const entered = events.filter(({ kind }) => kind === EventKind.phaseEntered);
  return entered.flatMap(({ code, atMs }, index) => {
    const leftMs = Math.min(untilMs, entered[index + 1]?.atMs ?? untilMs);
    if (beforeAndAfter.includes(code) || atMs >= untilMs) return [];
    return [{ phase: code as Phase, fromMs: atMs, seconds: (leftMs - atMs) / 1000 }];
  });
}

/** Every time that the part stood without current, the one that still lasts included (`isOpen`: the run has not ended). */
export function interruptionsOfRun(events: readonly ToldEvent[], untilMs: number, isOpen: boolean): RunInterruption[] {
  const over = events
    .filter(({ kind }) => kind === EventKind.interruption)
    .map(({ atMs, a }): RunInterruption => {
      const seconds = a < 0 ? null : a;
      const fromMs = seconds === null ? null : atMs - seconds * 1000;
      return { fromMs, untilMs: atMs, seconds, adhesion: interruptionAdvice(seconds) };
    });
  const last = events.findLast(({ kind }) => kind === EventKind.phaseEntered);
  // `b` is the run's charge on entering: a part that has none yet has no copper to come loose.
  if (!isOpen || last?.code !== Phase.trip || last.b <= 0) return over;
  const seconds = (untilMs - last.atMs) / 1000;
  return [...over, { fromMs: last.atMs, untilMs: null, seconds, adhesion: interruptionAdvice(seconds) }];
}

const rampTold: Readonly<Record<number, string>> = {
  1: 'The ramp was paused at the bath.',
  2: 'The ramp was let go on at the bath.',
  3: 'The rest of the phase was skipped at the bath.',
  4: 'The phase was lengthened at the bath.',
  5: 'The lowering was lifted at the bath.',
};
const restartCause: Readonly<Record<number, string>> = {
  1: 'an exception in its control step',
  2: 'a control step that never ended',
  3: 'an exception',
  4: 'one restart after the other',
};

function happeningWords({ kind, code, a }: ToldEvent): string | undefined {
  switch (kind) {
    case EventKind.acknowledged:
      return 'Somebody acknowledged at the bath.';
    case EventKind.rampTold:
      return rampTold[code];
    case EventKind.lowered:
      return `The current was lowered from afar to ${shown(a / 1000)} A.`;
    case EventKind.rotationRestart:
      return `The motor was started again, try ${String(code)}.`;
    case EventKind.secondMeansOpened:
      return 'The second means was opened.';
    case EventKind.restartedAfterFault:
      return `The controller restarted after ${restartCause[code] ?? 'a fault that nobody knows'}.`;
    default:
      return undefined;
  }
}

/** What happened beside phases, interruptions and alarms. Example: "The current was lowered from afar to 12 A." */
export function happenedInRun(events: readonly ToldEvent[]): RunHappening[] {
  return events.flatMap((event) => {
    const words = happeningWords(event);
    return words === undefined ? [] : [{ atMs: event.atMs, words }];
  });
}
