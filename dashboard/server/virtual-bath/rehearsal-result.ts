/* What came of a rehearsal: the played night beside the planned one, what the controller told in words, and how it ended. Called by the rehearsal's desk; pure. */
import { Condition, EventKind, Phase } from '@bathkeeper/shared-core/control';
import type { RehearsalResult, RehearsalTold } from '@bathkeeper/shared-core/trade';
import { MILLICOULOMBS_PER_AMPERE_HOUR } from '@bathkeeper/shared-core/trade';
import { conditionWords } from '../watch/condition-words.js';
import { holdConditions, tripConditions } from '../watch/controller-conditions.js';
import type { NightOfPlan } from './rehearsal-night.js';
import type { PlayedEvent, PlayedNight } from './rehearsed-night.js';

/** Less than this short of its charge is as planned. */
const REACHED = 0.999;

const phaseWords: Partial<Record<number, string>> = {
  [Phase.polarity]: 'Proves with a low current that it flows the right way.',
  [Phase.strike]: 'Strike begins.',
  [Phase.ramp]: 'The ramp begins.',
  [Phase.plate]: 'Full current.',
  [Phase.finish]: 'Finish: only the low current at the end flows.',
  [Phase.done]: 'Done: the contactor is open.',
  [Phase.hold]: 'Held: a keep-alive current until somebody presses at the bath.',
  [Phase.trip]: 'Tripped: the contactor opens, until it is reset at the bath.',
};

export function rehearsalResult({ preview, faults, notes }: NightOfPlan, played: PlayedNight): RehearsalResult {
  const { recipe } = preview;
  const chargeAmpereHours = (played.points.at(-1)?.chargeMilliCoulombs ?? 0) / MILLICOULOMBS_PER_AMPERE_HOUR;
  const micrometresPerAmpereHour = recipe.averageThicknessMicrometres / recipe.chargeAmpereHours;
  const isAsPlanned = played.phase === Phase.done && chargeAmpereHours >= REACHED * recipe.chargeAmpereHours;
  return {
    points: played.points.map(({ afterSeconds, chargeMilliCoulombs, ...readings }) => ({
      ...readings,
      afterHours: afterSeconds / 3600,
      averageThicknessMicrometres: (chargeMilliCoulombs / MILLICOULOMBS_PER_AMPERE_HOUR) * micrometresPerAmpereHour,
    })),
    phases: played.events
      .filter(({ kind }) => kind === EventKind.phaseEntered)
      .map(({ code, afterSeconds }) => ({ phase: code as Phase, afterHours: Math.max(0, afterSeconds) / 3600 })),
    planned: preview.planned.map(({ atMs, currentAmps }) => ({ afterHours: atMs / 3.6e6, currentAmps })),
    faults: faults.filter(({ afterHours }) => afterHours * 3600 <= played.playedSeconds),
    told: toldOf(played.events),
    ended: endWords(played, isAsPlanned),
    isAsPlanned,
    chargeAmpereHours: { planned: recipe.chargeAmpereHours, played: chargeAmpereHours },
    averageThicknessMicrometres: {
      planned: recipe.averageThicknessMicrometres,
      played: chargeAmpereHours * micrometresPerAmpereHour,
    },
    hours: { planned: recipe.plannedSeconds / 3600, played: played.playedSeconds / 3600 },
    metal: recipe.metal,
    notes: [
      ...notes,
      ...faults
        .filter(({ afterHours }) => afterHours * 3600 > played.playedSeconds)
        .map(({ words }) => `Not played, since the night was over by then: ${words}.`),
    ],
  };
}

/** What is over because the run is over is not told. */
function toldOf(events: readonly PlayedEvent[]): RehearsalTold[] {
  const ended = events.findIndex(({ kind }) => kind === EventKind.runEnded);
  return events.flatMap((event, index) => {
    const isAftermath = ended >= 0 && index > ended && event.kind === EventKind.conditionCleared;
    const words = isAftermath ? undefined : eventWords(event);
    return words === undefined
      ? []
      : [{ afterHours: Math.max(0, event.afterSeconds) / 3600, words, isGrave: isGrave(event) }];
  });
}

function eventWords({ kind, code, a, b }: PlayedEvent): string | undefined {
  switch (kind) {
    case EventKind.phaseEntered:
      return phaseWords[code];
    case EventKind.conditionRaised:
      return sentence(conditionWords(code, a, b));
    case EventKind.conditionCleared:
      return `Over: ${conditionWords(code)}.`;
    case EventKind.interruption:
      return a < 0 ? 'The current was interrupted and came back.' : `The current was interrupted for ${String(a)} s.`;
    case EventKind.booted:
      return 'The controller started anew.';
    case EventKind.rotationRestart:
      return `The motor is started again, try ${String(code)}.`;
    case EventKind.secondMeansOpened:
      return 'The second means cuts the supply off.';
    default:
      return undefined;
  }
}

function isGrave({ kind, code }: PlayedEvent): boolean {
  if (kind === EventKind.phaseEntered) return code === Phase.hold || code === Phase.trip;
  if (kind === EventKind.conditionRaised) return isEnding(code);
  return kind === EventKind.secondMeansOpened;
}

function isEnding(condition: number): boolean {
  return tripConditions.has(condition) || holdConditions.has(condition);
}

/** Why the run came to its end by itself, and what had taken its current before. */
function shortWords(events: readonly PlayedEvent[]): string {
  const code = events.findLast(({ kind }) => kind === EventKind.runEnded)?.code ?? 0;
  const ended = code === 0 ? 'a stop was asked' : conditionWords(code);
  const cause = causeOf(events);
  return cause === undefined || cause === ended ? ended : `${ended}. Before that: ${cause}`;
}

/** The last that took the current away; what only follows from a restart says less than what came before it. */
function causeOf(events: readonly PlayedEvent[]): string | undefined {
  const causes = events.filter(({ kind, code }) => kind === EventKind.conditionRaised && isEnding(code));
  const cause = causes.findLast(({ code }) => code !== Condition.restartedInRun) ?? causes.at(-1);
  return cause && conditionWords(cause.code, cause.a, cause.b);
}

function endWords(played: PlayedNight, isAsPlanned: boolean): string {
  const { phase, events, isContactorClosed } = played;
  const cause = causeOf(events) ?? 'it was asked for';
  if (isAsPlanned) return 'It ended as planned: the charge was reached, and the contactor opened.';
  switch (phase) {
    case Phase.hold:
      return `It is held: ${cause}. Only a press at the bath goes on.`;
    case Phase.trip:
      return isContactorClosed
        ? `It tripped: ${cause}. The contactor did not open: only the second means keeps the current away.`
        : `It tripped: ${cause}. The contactor is open until somebody resets it at the bath.`;
    case Phase.done:
    case Phase.idle:
      return `It ended short of its charge: ${shortWords(events)}.`;
    default:
      return 'It was still going on when the longest time that is played was over.';
  }
}

function sentence(words: string): string {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;
}
