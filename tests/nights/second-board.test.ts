/*
 * The program of the second board, Espruino WiFi, in the virtual bath: its own pins and serial line, a network on a chip of its own, no datagrams, no raw
 * flash. Whole runs of each kind of supply, and what must not hold it up.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import {
  type BenchSupplyKind,
  simulatedBoardSettings,
  StandInDashboard,
  startNight,
  VirtualBath,
} from '@bathkeeper/firmware/bench';
import { recipeRow } from '@bathkeeper/dashboard';
import { Phase } from '@bathkeeper/shared-core/control';
import { builtOnce } from '../firmware/build/built-once.js';
import { nightRecipe } from './night-recipe.js';

const kinds: readonly BenchSupplyKind[] = ['analogue', 'scpi', 'by-hand'];
const bundles = new Map<BenchSupplyKind, string>();
beforeAll(async () => {
  for (const supply of kinds) bundles.set(supply, (await builtOnce({ board: 'espruino-wifi', supply })).code);
}, 600_000);

interface Evening {
  readonly bath: VirtualBath;
  readonly standIn: StandInDashboard;
}

/** In the evening, after the start; the datagrams that the dashboard sends reach nobody. */
function started(supplyKind: BenchSupplyKind, hours: number): Evening {
  const settings = simulatedBoardSettings();
  for (const contact of ['leak', 'smoke', 'agitation', 'filter', 'level'] as const) settings.fitted[contact] = 1;
  const standIn = new StandInDashboard(settings);
  const bath = new VirtualBath({
    bundle: bundles.get(supplyKind)!,
    ...{ seed: 5, settings, network: standIn, supplyKind },
    board: 'espruino-wifi',
    hasWifi: true,
  });
  expect(startNight(bath, standIn, recipeRow(nightRecipe(hours, 1, 0).recipe))).toBeUndefined();
  return { bath, standIn };
}

describe('the program of Espruino WiFi', () => {
  it.each(kinds)('plates with a supply of kind %s, keeps its books and throws nothing', (supplyKind) => {
    const { bath, standIn } = started(supplyKind, 1);
    standIn.play(bath, 3000);
    expect(standIn.live?.phase).toBe(Phase.plate);
    expect(bath.truth.currentAmps).toBeGreaterThan(18);
    expect(standIn.playUntil(bath, () => (standIn.live?.recordsWaiting ?? 99) < 10, 120)).toBe(true);
    expect(standIn.ledger!.records).toMatchObject({ missing: 0, overlapped: 0 });
    expect(bath.exceptionCount).toBe(0);
    expect(standIn.complaints).toEqual([]);
    expect(standIn.live!.chargeMilliCoulombs / bath.truth.chargeMilliCoulombs).toBeCloseTo(1, 2);
  });

  it('runs on at five steps a second while nobody answers its dials, and comes back to the link', () => {
    const { bath, standIn } = started('analogue', 1);
    standIn.play(bath, 600);
    let longest = 0;
    let before = bath.parts.watchdog.kickedAtSeconds;
    bath.parts.watchdog.onKick = (nowSeconds) => {
      longest = Math.max(longest, nowSeconds - before);
      before = nowSeconds;
    };
    bath.setNetworkTrouble('unanswered');
    standIn.play(bath, 120);
    const connectionsBefore = standIn.connectionCount;
    bath.setNetworkTrouble('none');
    expect(standIn.playUntil(bath, () => standIn.connectionCount > connectionsBefore, 1200)).toBe(true);
    expect(longest).toBeLessThan(0.4);
    expect(bath.truth.isContactorClosed).toBe(true);
  });

  it('opens the contactor at a press of stop, at the emergency stop, at a leak, and when its control step stops', () => {
    const opened = (act: (bath: VirtualBath) => void, withinSeconds: number): void => {
      const { bath, standIn } = started('analogue', 1);
      standIn.play(bath, 120);
      expect(bath.truth.isContactorClosed).toBe(true);
      act(bath);
      standIn.play(bath, withinSeconds);
      expect(bath.truth.isContactorClosed).toBe(false);
      expect(bath.truth.currentAmps).toBe(0);
    };
    opened((bath) => bath.press('stop'), 2);
    opened((bath) => bath.press('emergency-stop'), 1);
    opened((bath) => bath.injectFault('leak', 60), 4);
    opened((bath) => bath.injectFault('control-loop-lost'), 25);
  });

  it('keeps its run through a power cut in FRAM, and starts with an open contactor', () => {
    const { bath, standIn } = started('analogue', 1);
    standIn.play(bath, 1800);
    const before = bath.truth.chargeMilliCoulombs;
    bath.powerCut();
    standIn.playUntil(bath, () => standIn.live?.boot === 2, 120);
    expect(bath.bootLog).toHaveLength(2);
    expect(bath.truth.isContactorClosed).toBe(false);
    // At most 60 s of charge may be lost.
    expect(standIn.live!.chargeMilliCoulombs).toBeGreaterThan(before - 60 * 20 * 1000);
    expect(standIn.live!.chargeMilliCoulombs).toBeLessThan(before * 1.01);
  });
});
