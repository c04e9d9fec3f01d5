/*
 * What the two buttons ask before they act, and why one of them has nothing to do.
 * Used by the bath page only. The words after the act come from the dashboard (CommandView.words).
 */
import { Phase, SupplyKind } from '@bathkeeper/shared-core/control';
import type { CommandKind, CommandView, ControllerView } from '@bathkeeper/shared-core/messages';
import { ampsWords } from './numbers.js';
import { canBeHeld, canBeStopped } from './phases.js';

export interface Question {
  readonly title: string;
  readonly consequence: string;
  readonly yes: string;
  readonly no: string;
}

/** null: nothing that this button could change. Unknown state: the question is still offered, since both only lower risk. */
export function question(kind: 'hold' | 'stop', controller: ControllerView): Question | null {
  const { live, run } = controller;
  if (kind === 'hold') {
    if (live && (!canBeHeld(live.phase) || live.supplyKind === SupplyKind.byHand)) return null;
    const keepAlive = run ? ` of ${ampsWords(run.recipe.holdAmps)}` : '';
    return {
      title: 'Hold the run?',
      consequence: `The current falls to a keep-alive${keepAlive}. Nobody can go on from here: it takes a press at the bath.`,
      yes: 'Hold',
      no: 'Leave it running',
    };
  }
  if (live && !canBeStopped(live.phase)) return null;
  if (live?.phase === Phase.ready) {
    return {
      title: 'Stop before the start?',
      consequence: 'The waiting recipe is put away. Nothing has been plated yet.',
      yes: 'Stop',
      no: 'Leave it waiting',
    };
  }
  return {
    title: 'Stop the run?',
    consequence:
      'The contactor opens and the run ends. Copper that stands without current may laminate: take the part out soon. Hold keeps a little current on it instead.',
    yes: 'Stop',
    no: 'Leave it running',
  };
}

/** Why a button is dull. */
export function nothingToDo(kind: 'hold' | 'stop', controller: ControllerView): string {
  const phase = controller.live?.phase;
  if (kind === 'hold' && phase === Phase.hold) return 'Already held.';
  if (kind === 'hold' && controller.live?.supplyKind === SupplyKind.byHand)
    return 'This supply is set by hand: nothing can lower it from here. Stop opens the contactor.';
  if (phase === Phase.trip) return 'Tripped: no current flows.';
  return kind === 'hold' ? 'Nothing runs that could be held.' : 'Nothing runs that could be stopped.';
}

/**
 * The currents to which the run may be eased from here: the controller takes nothing above what is asked before any derating, nor below the
 * keep-alive. null: not now.
 */
export function easing(controller: ControllerView): { readonly leastAmps: number; readonly mostAmps: number } | null {
  const { live, run } = controller;
  if (live === null || run === null || live.supplyKind === SupplyKind.byHand) return null;
  if (live.phase !== Phase.strike && live.phase !== Phase.ramp && live.phase !== Phase.plate) return null;
  const mostAmps = Math.min(live.permittedAmps / (live.derateFraction || 1), live.loweredToAmps ?? Infinity);
  return mostAmps > run.recipe.holdAmps ? { leastAmps: run.recipe.holdAmps, mostAmps } : null;
}

/** What was typed into the field of the easing, as amperes; or why it cannot be, a whole sentence. A comma is a point. */
export function easedAmps(
  typed: string,
  within: { readonly leastAmps: number; readonly mostAmps: number },
): { readonly amps: number; readonly problem?: undefined } | { readonly problem: string } {
  const text = typed.trim().replace(',', '.');
  const amps = /^\d+(\.\d+)?$/.test(text) ? Number(text) : NaN;
  if (Number.isNaN(amps)) return { problem: `A number of amperes is wanted, got \u201c${typed.trim()}\u201d.` };
  // Hundredths are what the wire carries.
  const rounded = Math.round(amps * 100) / 100;
  if (rounded > within.mostAmps)
    return {
      problem: `Now ${ampsWords(within.mostAmps)} is asked: from here it can only be lowered, got ${ampsWords(amps)}.`,
    };
  if (rounded < Math.round(within.leastAmps * 100) / 100)
    return {
      problem: `Not below the keep-alive current of ${ampsWords(within.leastAmps)}, got ${ampsWords(amps)}. Hold or stop do more.`,
    };
  return { amps: rounded };
}

const kindName: Readonly<Record<CommandKind, string>> = {
  stop: 'Stop',
  hold: 'Hold',
  acknowledge: 'Acknowledge',
  lower: 'Ease',
  recipe: 'Recipe',
};

const stateName: Readonly<Record<CommandView['state'], string>> = {
  sent: 'sent, waiting for the bath',
  done: 'done',
  refused: 'refused',
  'no-answer': 'no answer',
};

/** Example: "Hold, done: Hold reached the bath: 3.6 A keep-alive, contactor closed." */
export function commandWords(command: CommandView): string {
  const words = command.words.trim();
  return `${kindName[command.kind]}, ${stateName[command.state]}${words === '' ? '.' : `: ${words}`}`;
}
