/*
 * Sends what a person asks to the controller: stop, hold, acknowledge, a recipe. Each carries an id and an expiry in the
 * controller's own boot and uptime, and is shown until it is answered or too late. Called by the page's routes; it can only lower risk.
 */
import { Command } from '@bathkeeper/shared-core/control';
import type { Recipe } from '@bathkeeper/shared-core/control';
import { LINK_VERSION, RECIPE_COLUMNS, RecipeColumn, topicOf } from '@bathkeeper/shared-core/messages';
import type { CommandKind, CommandView, LiveView, RecipeView } from '@bathkeeper/shared-core/messages';
import type { BathBook } from '../baths/bath-book.js';
import type { DashboardClock } from '../clock.js';
import type { LiveMessage } from '../ingest/schemas.js';

/** A command that the bath has not seen by then is worth nothing. */
const EXPIRES_SECONDS = 20;
/** A live message older than this cannot tell the controller's uptime. */
const LIVE_AGE_MS_MAX = 15_000;
/** On a clock that runs faster than real time, the network's own seconds count for more of the bath's. */
const REAL_SECONDS_ALLOWED = 2;

const codes = { stop: Command.stop, hold: Command.hold, acknowledge: Command.acknowledge, recipe: Command.recipe };

export interface CommandDesk {
  /** The command, or why it cannot be sent, in a whole sentence. */
  send(controllerId: string, kind: Exclude<CommandKind, 'recipe'>): CommandView | string;
  sendRecipe(controllerId: string, recipe: Recipe, view: RecipeView): CommandView | string;
}

/** The columns of wire.ts, from a recipe. */
export function recipeRow(recipe: Recipe): number[] {
  const row = new Array<number>(RECIPE_COLUMNS).fill(0);
  for (const [name, column] of Object.entries(RecipeColumn)) row[column] = recipe[name as keyof Recipe];
  return row;
}

export function openCommandDesk(options: {
  book: BathBook;
  clock: DashboardClock;
  publish: (topic: string, payload: string) => void;
  changed: () => void;
}): CommandDesk {
  const { book, clock } = options;
  const allowanceSeconds = REAL_SECONDS_ALLOWED * (clock.speed - 1);
  const expiresSeconds = EXPIRES_SECONDS + allowanceSeconds;
  const unheard = (controllerId: string): string | undefined => {
    const bath = book.bath(controllerId);
    if (bath === undefined) return `No controller ${controllerId} is paired.`;
    const isHeard =
      bath.isOnline &&
      bath.live !== undefined &&
      clock.nowMs() - bath.live.takenAtMs <= LIVE_AGE_MS_MAX + allowanceSeconds * 1000;
    return isHeard
      ? undefined
      : 'The controller is not heard, so nothing can be sent to it. Act at the bath: the buttons there always work.';
  };
  const send = (
    controllerId: string,
    kind: CommandKind,
    words: string,
    row?: readonly number[],
  ): CommandView | string => {
    const problem = unheard(controllerId);
    if (problem !== undefined) return problem;
    const { liveMessage, live } = book.bath(controllerId) as { liveMessage: LiveMessage; live: LiveView };
    const command = book.addCommand(controllerId, kind, clock.nowMs(), words);
    const uptimeTenths = liveMessage.u + Math.round((clock.nowMs() - live.takenAtMs) / 100);
    options.publish(
      topicOf(controllerId, 'command'),
      JSON.stringify({
        v: LINK_VERSION,
        d: command.commandId,
        k: codes[kind],
        b: liveMessage.b,
        x: Math.round(uptimeTenths + expiresSeconds * 10),
        ...(row === undefined ? {} : { g: row }),
      }),
    );
    clock.after((expiresSeconds + 5) * 1000, () => {
      book.commandTimedOut(command.commandId);
      options.changed();
    });
    options.changed();
    return command;
  };
  const sentWords = {
    stop: 'Stop is on its way to the bath.',
    hold: 'Hold is on its way to the bath.',
    acknowledge: 'The acknowledgement is on its way to the bath.',
  };
  return {
    send: (controllerId, kind) => send(controllerId, kind, sentWords[kind]),
    sendRecipe: (controllerId, recipe, view) => {
      const problem = unheard(controllerId);
      if (problem !== undefined) return problem;
      const row = recipeRow(recipe);
      book.saveRecipe(controllerId, view, row, clock.nowMs());
      return send(controllerId, 'recipe', 'The recipe is on its way to the bath.', row);
    },
  };
}
