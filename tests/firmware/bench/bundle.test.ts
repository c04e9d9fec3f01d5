/*
 * The bundle that is flashed in the virtual bath, with the stand-in dashboard: that the two fit together, and what only
 * the two together can show. Whole nights and every fault have their own tests. Needs firmware/dist/bathkeeper.js.
 */
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import {
  bundleText,
  simulatedBoardSettings,
  StandInDashboard,
  startNight,
  VirtualBath,
  type VirtualBathOptions,
} from '@bathkeeper/firmware/bench';
import { Phase } from '@bathkeeper/shared-core/control';

/** A short run: strike 1 min, ramp 2 min, 19.2 A on 12 dm2 up to 60 Ah. */
const recipeRow = [7, 12, 3.6, 60, 120, 19.2, 216_000_000, 1.8, 600, 3.6, 20_000, 6, 18, 28, 32];
const bundle = bundleText();

function bathWithBundle(options: Partial<VirtualBathOptions> = {}): { bath: VirtualBath; standIn: StandInDashboard } {
  const settings = simulatedBoardSettings();
  const standIn = new StandInDashboard(settings);
  return { bath: new VirtualBath({ bundle, seed: 1, settings, network: standIn, ...options }), standIn };
}

function startedNight(options: Partial<VirtualBathOptions> = {}) {
  const night = bathWithBundle(options);
  expect(startNight(night.bath, night.standIn, recipeRow)).toBeUndefined();
  return night;
}

/** Everything that leaves the controller, and what really happened. */
function traceOf({ bath, standIn }: { bath: VirtualBath; standIn: StandInDashboard }): string {
  const { ledger, live } = standIn;
  return JSON.stringify([bath.truth, bath.contactorLog, live, ledger?.events, ledger?.records, bath.consoleText]);
}

describe('the bundle in the virtual bath', () => {
  describe('in an hour of its own', () => {
    const night = { ...bathWithBundle(), problem: '' as string | undefined };
    beforeAll(() => {
      night.problem = startNight(night.bath, night.standIn, recipeRow);
      night.standIn.play(night.bath, 3600);
    });

    it('throws nothing, gives its peer nothing to complain about, and delivers every record once', () => {
      const { bath, standIn } = night;
      expect(night.problem).toBeUndefined();
      expect(bath.consoleText).not.toContain('Uncaught');
      expect(bath.exceptionCount).toBe(0);
      expect(standIn.complaints).toEqual([]);
      expect(standIn.live!.phase).toBe(Phase.plate);
      expect(standIn.ledger!.records).toMatchObject({ missing: 0, doubled: 0, overlapped: 0 });
      expect(standIn.ledger!.records.delivered).toBeGreaterThan(3590);
    });

    it('accounts for the charge within half a per cent of what really flowed', () => {
      const accounted = night.standIn.live!.chargeMilliCoulombs;
      expect(accounted).toBeGreaterThan(0);
      expect(Math.abs(accounted / night.bath.truth.chargeMilliCoulombs - 1)).toBeLessThan(0.005);
    });

    it('counts the pulses that the shaft gave', () => {
      expect(night.bath.truth.rotationPulses).toBeGreaterThan(350);
      expect(Math.abs(night.standIn.ledger!.rotationPulses - night.bath.truth.rotationPulses)).toBeLessThanOrEqual(2);
    });
  });

  it('plays the same night for the same seed, to the last record', () => {
    const faults = [
      { name: 'network-loss', scope: 'bath', atSeconds: 300, durationSeconds: 120 },
      { name: 'rotation-stall', scope: 'bath', atSeconds: 500, durationSeconds: 60 },
      { name: 'power-cut', scope: 'bath', atSeconds: 700 },
    ] as const;
    const play = (seed: number): string => {
      const night = startedNight({ seed, faults });
      night.standIn.play(night.bath, 800);
      return traceOf(night);
    };
    expect(play(5)).toBe(play(5));
    expect(play(5)).not.toBe(play(6));
  });

  it('joins a wireless network again after every loss, with the board’s console and access point closed to strangers', () => {
    const settings = simulatedBoardSettings();
    settings.wifi = { ssid: 'workshop', password: 'not a real one' };
    const { bath, standIn } = bathWithBundle({ hasWifi: true, settings });
    expect(standIn.playUntil(bath, () => standIn.live !== undefined, 60)).toBe(true);
    expect(bath.isTelnetOn).toBe(false);
    expect(bath.isAccessPointOpen).toBe(false);
    bath.injectFault('network-loss', 120);
    standIn.play(bath, 300);
    expect(standIn.connectionCount).toBe(2);
    expect(standIn.isOnline).toBe(true);
    expect(standIn.ledger!.records).toMatchObject({ missing: 0, overlapped: 0 });
  });

  it('loses and doubles nothing when the power fails between any two bytes on their way into the FRAM', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 4000 }), fc.boolean(), (bytes, isCutOff) => {
        const night = startedNight();
        const { bath, standIn } = night;
        if (isCutOff) standIn.reachable = 'refused';
        if (isCutOff) standIn.dropConnection();
        bath.cutPowerAfterMemoryBytes(bytes);
        standIn.play(bath, 120);
        standIn.reachable = 'yes';
        standIn.play(bath, 120);
        expect(bath.bootLog).toHaveLength(2);
        expect(standIn.ledgers.size).toBe(1);
        expect(standIn.ledger!.records).toMatchObject({ missing: 0, overlapped: 0 });
        expect(standIn.ledger!.eventCount).toMatchObject({ missing: 0, overlapped: 0 });
        // Restarted in mid-run: open, and open it stays.
        expect(bath.truth.isContactorClosed).toBe(false);
        expect(standIn.live!.phase).toBe(Phase.trip);
      }),
      { numRuns: 15 },
    );
  });

  it('lives through a host that vanishes at the worst moment without opening the contactor', () => {
    const { bath, standIn } = startedNight();
    standIn.play(bath, 300);
    bath.injectFault('host-vanish', 900);
    standIn.play(bath, 1500);
    expect(bath.contactorLog).toHaveLength(1);
    expect(bath.truth.isContactorClosed).toBe(true);
    expect(standIn.ledger!.records).toMatchObject({ missing: 0, overlapped: 0 });
  });

  it('never energises a part with settings that are not valid', () => {
    const settings = simulatedBoardSettings();
    const broken = { ...settings, rig: { ...settings.rig, currentAmpsMax: 900 } };
    const { bath, standIn } = bathWithBundle({ settings: broken });
    bath.press('latch-reset');
    standIn.playUntil(bath, () => standIn.live !== undefined, 60);
    standIn.sendRecipe(recipeRow);
    standIn.play(bath, 60);
    bath.press('start');
    standIn.play(bath, 60);
    expect(bath.contactorLog).toEqual([]);
    expect(bath.truth.largestCurrentAmps).toBe(0);
  });
});
