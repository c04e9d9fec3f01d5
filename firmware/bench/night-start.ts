/*
 * The evening's work at the bath, played on a virtual one: wait for the link, send the recipe, reset the alert latch,
 * press start. Used before every night that has no person in it: demonstration, rehearsal of the bath alone, tests.
 */
import { Phase } from '@bathkeeper/shared-core/control';
import type { Row } from './peer/outbox-ledger.js';
import type { StandInDashboard } from './peer/stand-in-dashboard.js';
import type { VirtualBath } from './virtual-bath.js';

/** Undefined when the first current flows; otherwise the step that did not come about and what was seen instead. */
export function startNight(bath: VirtualBath, standIn: StandInDashboard, recipeRow: Row): string | undefined {
  const wait = (what: string, holds: () => boolean, mostSeconds: number): string | undefined =>
    standIn.playUntil(bath, holds, mostSeconds)
      ? undefined
      : `The night did not start: waited ${String(mostSeconds)} s for ${what}; the last live message was ` +
        `${JSON.stringify(standIn.live)}. Console:\n${bath.consoleText.slice(-1000)}`;

  bath.press('latch-reset');
  return (
    wait('the first live message', () => standIn.live !== undefined && standIn.sendRecipe(recipeRow), 90) ??
    wait('the recipe to be taken', () => standIn.live?.phase === Phase.ready, 30) ??
    wait('every permissive', () => standIn.live?.permissivesMissing === 0, 120) ??
    pressStart(bath) ??
    wait('strike after the press', () => standIn.live?.phase === Phase.strike, 20)
  );
}

function pressStart(bath: VirtualBath): undefined {
  bath.press('start');
}
