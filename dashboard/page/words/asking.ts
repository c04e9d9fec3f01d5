/*
 * What the two buttons ask before they act, and why one of them has nothing to do.
 * Used by the bath page only. The words after the act come from the dashboard (CommandView.words).
 */
import { Phase } from '@bathkeeper/shared-core/control';
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
    if (live && !canBeHeld(live.phase)) return null;
    const keepAlive = run ? ` of about 0.3\u00a0A/dm² (${ampsWords(0.3 * run.recipe.areaDm2)})` : '';
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
  if (phase === Phase.trip) return 'Tripped: no current flows.';
  return kind === 'hold' ? 'Nothing runs that could be held.' : 'Nothing runs that could be stopped.';
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
