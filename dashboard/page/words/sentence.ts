/*
 * The state of a bath in one sentence: what a person woken at night reads first.
 * Called by the bath page, its title and its heading; pure, every phase and every fault has its sentence.
 */
import { Condition, Phase, SupplyKind } from '@bathkeeper/shared-core/control';
import type { ControllerView, LiveView, RunView } from '@bathkeeper/shared-core/messages';
import type { Freshness } from './age.js';
import { gravestCondition, wordsForCondition, wordsForPermissive } from './conditions.js';
import { runChargeAmpereHours, thicknessMicrometresAt } from './deposit.js';
import { FLOWS_AMPS } from './interruption.js';
import { ampsWords, gramsWords, micrometresOf, micrometresWords, percentWords } from './numbers.js';
import type { Reader } from './reader.js';
import { aboutTime, nearTimeWords, spanWords } from './times.js';

/** calm: as planned · waits: for a person · wrong: something must be looked at · unknown: nobody can tell */
export type Tone = 'calm' | 'waits' | 'wrong' | 'unknown';

export interface Sentence {
  readonly text: string;
  readonly tone: Tone;
}

/** Why this page may not know the present: its own line to the dashboard, or the dashboard's line to the bath. */
export interface Hearing extends Reader {
  readonly nowMs: number;
  readonly fresh: Freshness;
  /** False while this page has no connection to the dashboard. */
  readonly isConnected: boolean;
}

/** Example: "Plating, 18.4 A, 212 of 300 µm, done about 06:40." */
export function stateSentence(controller: ControllerView, hearing: Hearing): Sentence {
  const { live } = controller;
  if (live === null || hearing.fresh === 'never') {
    return {
      text: hearing.isConnected
        ? `Nothing has been heard from ${controller.controllerId} yet.`
        : 'No connection to the dashboard, and nothing is known of the bath.',
      tone: 'unknown',
    };
  }
  const present = presentSentence(controller, live, hearing);
  const lastKnown = `Last known at ${nearTimeWords(live.takenAtMs, hearing.nowMs, hearing.timeZone)}: ${lowered(present.text)}`;
  if (!hearing.isConnected) return { text: `No connection to the dashboard. ${lastKnown}`, tone: 'unknown' };
  if (hearing.fresh === 'lost') return { text: `Nothing is heard from the bath. ${lastKnown}`, tone: 'unknown' };
  return present;
}

/** A trip's current may take this long to fall. */
const FALLS_SECONDS = 5;

function presentSentence(controller: ControllerView, live: LiveView, hearing: Hearing): Sentence {
  const { run } = controller;
  const current = live.cathodeCurrentAmps === null ? 'no current reading' : ampsWords(live.cathodeCurrentAmps);
  switch (live.phase) {
    case Phase.idle:
      return idleSentence(controller, live);
    case Phase.ready:
      return readySentence(controller, live);
    case Phase.polarity: {
      const wanted =
        live.supplyKind === SupplyKind.byHand
          ? `${ampsWords(live.permittedAmps)} is to be set on the supply`
          : `${ampsWords(live.permittedAmps)} must flow the right way before strike`;
      return withFault(live, `Proving the polarity, ${current}: ${wanted}`);
    }
    case Phase.strike: {
      const left = run ? run.recipe.strikeSeconds - live.phaseSeconds : 0;
      const then = live.rampState !== 0 ? rampClause(live) : left > 0 ? `, ramp begins in ${spanWords(left)}` : '';
      return withFault(live, `Striking, ${current}${then}`);
    }
    case Phase.ramp: {
      const asked = run ? ` of ${ampsWords(run.recipe.plateAmps)}` : '';
      const rest = live.rampState !== 0 ? rampClause(live) : doneClause(run, hearing);
      return withFault(live, `Ramping up, ${current}${asked}${thicknessClause(run, live, hearing)}${rest}`);
    }
    case Phase.plate:
      return withFault(live, `Plating, ${current}${thicknessClause(run, live, hearing)}${doneClause(run, hearing)}`);
    case Phase.finish: {
      const left = run ? run.recipe.finishSeconds - live.phaseSeconds : 0;
      const why = live.conditions.includes(Condition.longestRun) ? 'Out of time' : 'Thickness reached';
      const end = left > 0 ? `, opens in ${spanWords(left)} at the latest` : '';
      return withFault(live, `${why}${thicknessClause(run, live, hearing)}; finishing at ${current}${end}`);
    }
    case Phase.done:
      return doneSentence(run, live, hearing);
    case Phase.hold: {
      const cause = causeClause(live, 'hold was asked for');
      return {
        text: `Held at ${current} for ${spanWords(live.phaseSeconds)}: ${cause}. Only a press at the bath goes on.`,
        tone: 'wrong',
      };
    }
    case Phase.trip: {
      const cause = causeClause(live, 'the cause is gone');
      // The controller gives it as long to fall.
      const stillFlows =
        live.phaseSeconds >= FALLS_SECONDS &&
        live.cathodeCurrentAmps !== null &&
        Math.abs(live.cathodeCurrentAmps) > FLOWS_AMPS;
      const contactor = stillFlows
        ? `${current} still flows: switch the supply off at the mains now`
        : live.isContactorClosed
          ? 'The contactor still reports closed: switch the supply off at the mains'
          : controller.told?.secondMeansOpened
            ? 'The second means has cut the supply off: look at its ammeter before hands go near'
            : 'The contactor is open; reset at the bath';
      return {
        text: `Tripped ${spanWords(live.phaseSeconds)} ago: ${cause}. ${contactor}.`,
        tone: 'wrong',
      };
    }
    default:
      return {
        text: `Phase ${String(live.phase)}, which this page has no words for. Reload the page.`,
        tone: 'unknown',
      };
  }
}

function idleSentence(controller: ControllerView, live: LiveView): Sentence {
  const gravest = gravestCondition(live.conditions);
  if (gravest) return { text: `Idle, and ${gravest.clause}.`, tone: 'wrong' };
  if (controller.waitingRecipe) {
    return {
      text: `Idle; the recipe for ${partWords(controller.waitingRecipe.partName)} is on its way.`,
      tone: 'waits',
    };
  }
  return { text: 'Idle, no current flows. It wants a recipe.', tone: 'calm' };
}

function readySentence(controller: ControllerView, live: LiveView): Sentence {
  const [first, ...rest] = live.permissivesMissing.map((code) => wordsForPermissive(code).missing);
  const recipe = controller.waitingRecipe ?? controller.run?.recipe;
  const part = recipe ? partWords(recipe.partName) : 'the recipe';
  if (first !== undefined) {
    const more = rest.length > 0 ? `, and ${rest.length} more` : '';
    return { text: `Not ready to start ${part}: ${first}${more}.`, tone: 'waits' };
  }
  return { text: `Ready: ${part} waits for the press at the bath.`, tone: 'waits' };
}

function doneSentence(run: RunView | null, live: LiveView, hearing: Hearing): Sentence {
  if (!run) return { text: 'Done, the contactor is open.', tone: 'waits' };
  const at = run.endedAtMs === null ? '' : ` at ${nearTimeWords(run.endedAtMs, hearing.nowMs, hearing.timeZone)}`;
  const charge = runChargeAmpereHours(run, live);
  if (charge < run.recipe.chargeAmpereHours * 0.999) {
    const reached = micrometresOf(
      thicknessMicrometresAt(run.recipe, charge),
      run.recipe.averageThicknessMicrometres,
      hearing.units,
    );
    const because = run.endedBecause ? `: ${withoutStop(lowered(run.endedBecause))}` : '';
    return { text: `Ended${at} with ${reached}${because}.`, tone: 'waits' };
  }
  return {
    text: `Done${at}: ${micrometresWords(thicknessMicrometresAt(run.recipe, charge), hearing.units)}, ${gramsWords(run.depositMassGrams, hearing.units)} of ${run.recipe.metal}. Take the part out.`,
    tone: 'waits',
  };
}

/** While the run goes on though something is wrong, what is wrong comes first. */
function withFault(live: LiveView, text: string): Sentence {
  const gravest = gravestCondition(live.conditions);
  const eased = live.loweredToAmps === null ? '' : `, eased to ${ampsWords(live.loweredToAmps)}`;
  const reduced = (live.derateFraction < 0.995 ? `, reduced to ${percentWords(live.derateFraction)}` : '') + eased;
  if (gravest) return { text: `${raised(gravest.clause)}. ${text}${reduced}.`, tone: 'wrong' };
  const isWrong = live.derateFraction < 0.995 || live.cathodeCurrentAmps === null || live.rampState === 2;
  return { text: `${text}${reduced}.`, tone: isWrong ? 'wrong' : live.rampState === 3 ? 'waits' : 'calm' };
}

/** Why the start does not go on by itself. */
function rampClause(live: LiveView): string {
  switch (live.rampState) {
    case 1:
      return ', waiting until the first copper has closed the surface';
    case 2:
      return ', backing off: the resistance climbs, contact is being lost';
    case 3:
      return ', paused at the bath: a press of start there goes on';
    default:
      return '';
  }
}

function thicknessClause(run: RunView | null, live: LiveView, { units }: Hearing): string {
  if (!run) return '';
  const { recipe } = run;
  const reached = thicknessMicrometresAt(recipe, runChargeAmpereHours(run, live));
  return `, ${micrometresOf(reached, recipe.averageThicknessMicrometres, units)}`;
}

function doneClause(run: RunView | null, hearing: Hearing): string {
  if (!run || run.plannedFinishAtMs === null) return '';
  return `, done ${aboutTime(run.plannedFinishAtMs, hearing.nowMs, hearing.timeZone)}`;
}

function causeClause(live: LiveView, otherwise: string): string {
  const gravest = gravestCondition(live.conditions);
  if (gravest) return gravest.clause;
  const [note] = live.conditions;
  return note === undefined ? otherwise : wordsForCondition(note).clause;
}

function partWords(partName: string): string {
  return partName.trim() === '' ? 'the part' : `\u201c${partName.trim()}\u201d`;
}

function lowered(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

/** With a capital. */
export function raised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** With a point at its end, once. */
export function withPoint(text: string): string {
  return text.replace(/[^.]$/, '$&.');
}

function withoutStop(text: string): string {
  return text.endsWith('.') ? text.slice(0, -1) : text;
}
