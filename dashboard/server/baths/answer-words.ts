/* What a controller answered to a command, why it refused a recipe, and what ended a run, in words. Called by the bath book and the logbook. */
import { Command, RecipeFault } from '@bathkeeper/shared-core/control';
import type { CommandKind } from '@bathkeeper/shared-core/messages';
import { conditionWords } from '../watch/condition-words.js';

const kindNames: Readonly<Record<number, CommandKind>> = {
  [Command.stop]: 'stop',
  [Command.hold]: 'hold',
  [Command.acknowledge]: 'acknowledge',
  [Command.lower]: 'lower',
  [Command.recipe]: 'recipe',
};

/** What ended a run, as the end of a sentence. Example: `endWords(0)` is "a stop was asked". */
export function endWords(code: number): string {
  return code === 0 ? 'a stop was asked' : conditionWords(code, 0, 0);
}

/** `refusal`: why the newest recipe was refused, where it was. */
export function answerWords(kind: number, answer: number, refusal: string | undefined): string {
  const name = kindNames[kind] ?? 'stop';
  if (answer === 0) {
    return {
      stop: 'The bath has stopped: the contactor is open and the run has ended.',
      hold: 'The bath holds at its keep-alive current. Only a press at the bath goes on.',
      acknowledge: 'The buzzer at the bath is silenced until something new happens.',
      lower: 'The bath has lowered its current. A press of start at the bath lifts it again.',
      recipe: 'The recipe has reached the bath and waits for the press of start.',
    }[name];
  }
  if (name === 'recipe' && refusal !== undefined) return refusal;
  if (answer === 2) return 'It came too late and was not carried out. Ask again if it still matters.';
  if (answer === 3) return 'The controller did not understand it. Its firmware may be older than this dashboard.';
  if (answer === 4)
    return 'The supply is set by hand, so the controller cannot lower it. Turn it down at the bath, or stop.';
  return {
    stop: 'There was nothing to stop: no run is live.',
    hold: 'There was nothing to hold: no run is live, or it is held already.',
    acknowledge: 'There was nothing to acknowledge at the bath.',
    lower: 'There was nothing to lower: no run is live, or the current is as low already.',
    recipe: 'The bath did not take the recipe.',
  }[name];
}

export function recipeRefusalWords(code: number, limitTimes1000: number): string {
  const limit = limitTimes1000 / 1000;
  switch (code) {
    case RecipeFault.aboveRigCurrent:
      return `The controller refused the recipe: its current is above the rig's limit of ${String(limit)} A. Lower the current density.`;
    case RecipeFault.aboveRigRunTime:
      return `The controller refused the recipe: it lasts longer than the rig's limit of ${(limit / 3600).toFixed(1)} h. Plate less, or faster.`;
    case RecipeFault.aboveRigTemperature:
      return `The controller refused the recipe: its hold temperature is above the rig's limit of ${String(limit)} °C.`;
    case RecipeFault.runIsLive:
      return 'The controller refused the recipe: a run is live, or a trip waits for its reset at the bath. Stop or reset it first.';
    default:
      return 'The controller refused the recipe: a field is missing or impossible.';
  }
}
