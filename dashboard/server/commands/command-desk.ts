/*
 * Sends what a person asks to the controller: stop, hold, acknowledge, lower, a recipe. Each carries an id, an expiry in the
 * controller's own boot and uptime, a counter that never falls, and its proof under the controller's secret; it is shown until it is
 * answered or too late. Called by the page's routes; it can only lower risk.
 */
import { Command } from '@bathkeeper/shared-core/control';
import type { Recipe } from '@bathkeeper/shared-core/control';
import { LINK_VERSION, RECIPE_COLUMNS, RecipeColumn, topicOf } from '@bathkeeper/shared-core/messages';
import type { CommandKind, CommandRequest, CommandView, LiveView, RecipeView } from '@bathkeeper/shared-core/messages';
import type { BathBook } from '../baths/bath-book.js';
import type { DashboardClock } from '../clock.js';
import type { LiveMessage } from '../ingest/schemas.js';
import type { Store } from '../store/store.js';
import { provedCommand } from './proof.js';

/** A command that the bath has not seen by then is worth nothing. */
const EXPIRES_SECONDS = 20;
/** A live message older than this cannot tell the controller's uptime. */
const LIVE_AGE_MS_MAX = 15_000;
/** On a clock that runs faster than real time, the network's own seconds count for more of the bath's. */
const REAL_SECONDS_ALLOWED = 2;

const codes: Readonly<Record<CommandKind, Command>> = {
  stop: Command.stop,
  hold: Command.hold,
  acknowledge: Command.acknowledge,
  lower: Command.lower,
  recipe: Command.recipe,
};

export interface CommandDesk {
  /** The command, or why it cannot be sent, in a whole sentence. */
  send(controllerId: string, request: CommandRequest): CommandView | string;
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
  store: Store;
  secretOf: (controllerId: string) => string | undefined;
  publish: (topic: string, payload: string) => void;
  changed: () => void;
}): CommandDesk {
  const { book, clock, store } = options;
  /** Follows the time, so that a new or restored data folder does not fall behind what the controller has taken. */
  const nextCounter = (controllerId: string): number => {
    const name = `commandCounter:${controllerId}`;
    const counter = Math.max(Math.floor(clock.nowMs()), Number(store.setting(name) ?? 0) + 1);
    store.setSetting(name, String(counter));
    return counter;
  };
  const allowanceSeconds = REAL_SECONDS_ALLOWED * (clock.speed - 1);
  const expiresSeconds = EXPIRES_SECONDS + allowanceSeconds;
  const unheard = (controllerId: string): string | undefined => {
    const bath = book.bath(controllerId);
    if (bath === undefined) return `No controller ${controllerId} is paired.`;
    const isHeard =
      bath.isOnline &&
      bath.live !== undefined &&
      clock.nowMs() - bath.live.takenAtMs <= LIVE_AGE_MS_MAX + allowanceSeconds * 1000;
    if (!isHeard)
      return 'The controller is not heard, so nothing can be sent to it. Act at the bath: the buttons there always work.';
    return options.secretOf(controllerId) === undefined
      ? 'The controller must be paired again before it takes a command: this dashboard does not hold its secret. Act at the bath, then pair it in the settings.'
      : undefined;
  };
  const send = (
    controllerId: string,
    kind: CommandKind,
    words: string,
    more: { readonly g?: readonly number[]; readonly c?: number } = {},
  ): CommandView | string => {
    const problem = unheard(controllerId);
    if (problem !== undefined) return problem;
    const { liveMessage, live } = book.bath(controllerId) as { liveMessage: LiveMessage; live: LiveView };
    const command = book.addCommand(controllerId, kind, clock.nowMs(), words);
    const uptimeTenths = liveMessage.u + Math.round((clock.nowMs() - live.takenAtMs) / 100);
    const topic = topicOf(controllerId, 'command');
    options.publish(
      topic,
      provedCommand(options.secretOf(controllerId)!, topic, {
        v: LINK_VERSION,
        d: command.commandId,
        n: nextCounter(controllerId),
        k: codes[kind],
        i: liveMessage.i,
        b: liveMessage.b,
        x: Math.round(uptimeTenths + expiresSeconds * 10),
        ...more,
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
    send: (controllerId, request) =>
      request.kind === 'lower'
        ? send(controllerId, 'lower', `Lower to ${request.toAmps.toFixed(2)} A is on its way to the bath.`, {
            c: Math.round(request.toAmps * 100),
          })
        : send(controllerId, request.kind, sentWords[request.kind]),
    sendRecipe: (controllerId, recipe, view) => {
      const problem = unheard(controllerId);
      if (problem !== undefined) return problem;
      const row = recipeRow(recipe);
      book.saveRecipe(controllerId, view, row, clock.nowMs());
      return send(controllerId, 'recipe', 'The recipe is on its way to the bath.', { g: row });
    },
  };
}
