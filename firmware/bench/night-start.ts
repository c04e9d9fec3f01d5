/*
 * The evening's work at the bath, played on a virtual one: wait for the link, send the recipe, close the alert latch, let its test open it,
 * close it again, wait until the part turns, press start. Used before every night that has no person in it: demonstration,
 * rehearsal of the bath alone, campaign, tests.
 */
import { Phase } from '@bathkeeper/shared-core/control';
import type { Row } from './peer/outbox-ledger.js';
import type { StandInDashboard } from './peer/stand-in-dashboard.js';
import type { VirtualBath } from './virtual-bath.js';

/** Between two looks at the latch's lamp. */
const LATCH_SECONDS = 2;

/**
 * What a person does about the latch until the start: whenever its lamp shows it open, its own button is pressed. The test before a run
 * opens it once; the second press follows it. Call it once a second.
 */
export function tendLatch(bath: VirtualBath): void {
  if (!bath.truth.isLatchClosed && Math.floor(bath.nightSeconds) % LATCH_SECONDS === 0) bath.press('latch-reset');
}

/** Undefined when the first current flows; otherwise the step that did not come about and what was seen instead. */
export function startNight(bath: VirtualBath, standIn: StandInDashboard, recipeRow: Row): string | undefined {
  const wait = (what: string, holds: () => boolean, mostSeconds: number): string | undefined =>
    standIn.playUntil(bath, holds, mostSeconds)
      ? undefined
      : `The night did not start: waited ${String(mostSeconds)} s for ${what}; the last live message was ` +
        `${JSON.stringify(standIn.live)}. Console:\n${bath.consoleText.slice(-1000)}`;
  const permissivesAreThere = (): boolean => {
    if (standIn.live?.permissivesMissing === 0) return true;
    tendLatch(bath);
    return false;
  };

  return (
    wait('the first live message', () => standIn.live !== undefined && standIn.sendRecipe(recipeRow), 90) ??
    wait('the recipe to be taken', () => standIn.live?.phase === Phase.ready, 30) ??
    wait('every permissive', permissivesAreThere, 180) ??
    pressStart(bath) ??
    wait('a live phase after the press', () => isStarted(standIn), 20)
  );
}

function isStarted({ live }: StandInDashboard): boolean {
  return live?.phase === Phase.polarity || live?.phase === Phase.strike;
}

function pressStart(bath: VirtualBath): undefined {
  bath.press('start');
}
