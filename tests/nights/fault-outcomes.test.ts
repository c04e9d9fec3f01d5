/*
 * Every fault of the bath that can be scheduled, with what the controller must make of it: which condition it tells first, and in which phase
 * the night stands ten minutes later. Firmware and bath alone, the bundle built for the kind of supply that the fault belongs to.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import {
  BATH_PROBE_ROM,
  type BenchSupplyKind,
  CLIP_ROMS,
  faultKinds,
  type FaultName,
  faultNames,
  simulatedBoardSettings,
  StandInDashboard,
  startNight,
  VirtualBath,
} from '@bathkeeper/firmware/bench';
import { Condition, Phase } from '@bathkeeper/shared-core/control';
import { builtOnce } from '../firmware/build/built-once.js';
import { campaignBundles } from './campaign/bundles.js';
import type { Bundles } from './campaign/play-night.js';
import { timeline, TimelineNotes } from './campaign/timeline.js';
import { conditionName, phaseName } from './code-names.js';

/** Strike 1 min, ramp 2 min, 19.2 A on 12 dm2. */
const recipeRow = [7, 12, 3.6, 60, 120, 19.2, 216_000_000, 1.8, 600, 3.6, 20_000, 6, 18, 28, 32];
const AFTER_MINUTES = 10;

interface Outcome {
  /** What it tells; the first of these that is told counts. Empty: nothing. */
  readonly tells: readonly Condition[];
  readonly ends: Phase;
  readonly supply?: BenchSupplyKind;
  /** Before the fault; 0: it is there before the evening begins. */
  readonly afterMinutes?: number;
  /** How long it is looked at; ten when nothing is said. */
  readonly minutes?: number;
}

const plate = Phase.plate;
const { hold, trip } = Phase;
const tells = (ends: Phase, ...conditions: Condition[]): Outcome => ({ tells: conditions, ends });
const restarts = tells(trip, Condition.restartedInRun);

const outcomes: Partial<Record<FaultName, Outcome>> = {
  'rotation-stall': tells(plate, Condition.rotationStopped),
  'rotation-slow': tells(plate, Condition.rotationStopped, Condition.rotationSlow),
  'rotation-dragging': tells(plate, Condition.rotationSlow),
  'contact-loss': tells(hold, Condition.contactLost),
  'contact-weak': tells(plate),
  'anode-touches': tells(trip, Condition.shortCircuit),
  'anode-passivates': { tells: [Condition.anodePassivating], ends: plate, minutes: 30 },
  'leads-reversed': tells(trip, Condition.reverseCurrent, Condition.senseImplausible),
  'bath-heating': { tells: [Condition.bathWillOverheat, Condition.bathWarm], ends: trip, minutes: 150 },
  'bath-chilled': { tells: [Condition.bathCold], ends: plate, minutes: 60 },
  leak: tells(trip, Condition.leak),
  smoke: tells(trip, Condition.smoke),
  'agitation-stops': tells(plate, Condition.agitationStopped),
  'filter-stops': tells(plate, Condition.filterStopped),
  'level-low': tells(hold, Condition.liquidLow),
  'clip-hot': tells(plate, Condition.clipHot),
  'clip-overheats': tells(trip, Condition.clipHot, Condition.clipOverheated),
  overcurrent: tells(trip, Condition.alertLatch),
  'supply-drift': tells(plate),
  'supply-weak': tells(plate, Condition.currentOutsideBand),
  'supply-deaf': tells(plate),
  'voltage-high': tells(trip, Condition.voltageHigh),
  'converter-silent': tells(plate, Condition.supplyFault),
  'scpi-silent': { ...tells(plate, Condition.supplyFault), supply: 'scpi' },
  'scpi-restarts': { ...tells(plate, Condition.supplyFault, Condition.currentOutsideBand), supply: 'scpi' },
  'display-silent': { ...tells(plate, Condition.supplyFault), supply: 'by-hand', afterMinutes: 25 },
  'person-away': { ...tells(plate), supply: 'by-hand', afterMinutes: 25 },
  'emergency-stop': tells(trip, Condition.emergencyStop),
  'stop-press': tells(Phase.done),
  'reset-press': tells(plate),
  'start-press': tells(plate),
  'contactor-drop': tells(trip, Condition.contactorDropped),
  'contactor-welds': tells(plate),
  'auxiliary-stuck-closed': tells(plate),
  'auxiliary-stuck-open': tells(trip, Condition.contactorDropped),
  'latch-stuck': { tells: [Condition.alertLatchNotOpening], ends: Phase.ready, afterMinutes: 0 },
  'monitor-silent': tells(trip, Condition.monitorSilent),
  'monitor-frozen': tells(trip, Condition.monitorSilent),
  'monitor-brown-out': tells(trip, Condition.monitorChanged),
  'sense-lead-loose': tells(trip, Condition.senseImplausible),
  'shunt-lead-loose': tells(trip, Condition.senseImplausible),
  'probe-absent': { ...tells(hold, Condition.probeFault), minutes: 12 },
  'probe-power-on-value': { ...tells(hold, Condition.probeFault), minutes: 12 },
  'probe-zero-frame': { ...tells(hold, Condition.probeFault), minutes: 12 },
  'probe-damaged-frame': { ...tells(hold, Condition.probeFault), minutes: 12 },
  'probe-stuck': { tells: [Condition.probeStuck], ends: plate, minutes: 123 },
  'clip-probe-absent': tells(plate, Condition.clipHot),
  'power-cut': restarts,
  'power-cut-in-memory': restarts,
  'memory-silent': tells(plate, Condition.memoryFault),
  'control-loop-lost': restarts,
  'beat-lost': restarts,
  'intervals-lost': restarts,
  'rotation-watch-lost': restarts,
  'start-watch-lost': restarts,
  'stop-watch-lost': restarts,
  'reset-watch-lost': restarts,
  'socket-data-lost': restarts,
  'socket-close-lost': restarts,
  'datagram-lost': restarts,
  'serial-data-lost': { ...restarts, supply: 'scpi' },
  // The console is taken away while the contactor may be closed.
  'console-byte': tells(plate),
  'network-loss': tells(plate),
  'host-vanish': tells(plate),
};

let bundles: Bundles;
beforeAll(async () => {
  bundles = await campaignBundles(builtOnce);
}, 600_000);

describe('a fault of the bath', () => {
  const ofBath = faultNames.filter((name) => faultKinds[name].scope === 'bath');

  it('has an expected outcome, each of them', () => {
    expect(Object.keys(outcomes).sort()).toEqual([...ofBath].sort());
  });

  for (const name of ofBath) {
    const outcome = outcomes[name]!;
    const told = outcome.tells.length === 0 ? 'nothing' : outcome.tells.map(conditionName).join(' or ');
    it(`${name}: tells ${told} and ends in ${phaseName(outcome.ends)}`, () => {
      const { supply = 'analogue', afterMinutes = 5, minutes = AFTER_MINUTES } = outcome;
      const settings = simulatedBoardSettings();
      settings.probe.rom = BATH_PROBE_ROM;
      settings.fitted = {
        ...settings.fitted,
        leak: 1,
        smoke: 1,
        agitation: 1,
        filter: 1,
        level: 1,
        clips: [...CLIP_ROMS],
      };
      const standIn = new StandInDashboard(settings);
      const bath = new VirtualBath({
        bundle: bundles[supply],
        seed: 4,
        settings,
        network: standIn,
        supplyKind: supply,
      });
      const notes = new TimelineNotes();
      if (afterMinutes === 0) {
        bath.advance(1);
        bath.injectFault(name);
      }
      const problem = startNight(bath, standIn, recipeRow);
      if (afterMinutes > 0) expect(problem).toBeUndefined();
      standIn.play(bath, afterMinutes * 60);
      const faultAt = afterMinutes === 0 ? 0 : bath.nightSeconds;
      if (afterMinutes > 0) bath.injectFault(name);
      for (let passed = 0; passed < minutes * 60; passed++) {
        standIn.play(bath, 1);
        notes.note(bath, standIn);
      }
      const since = timeline(bath, standIn, notes).standings.filter(
        ({ fromSeconds, condition }) => fromSeconds >= faultAt - 1.5 && condition !== Condition.notAcknowledged,
      );
      const first = [...since].sort((one, other) => one.fromSeconds - other.fromSeconds)[0]?.condition;
      if (outcome.tells.length === 0) expect(conditionName(first)).toBe('unknown');
      else expect(outcome.tells.map(conditionName)).toContain(conditionName(first));
      expect(phaseName(standIn.live?.phase)).toBe(phaseName(outcome.ends));
      expect(bath.exceptionCount).toBe(0);
      if (outcome.ends === trip) expect(bath.truth.currentAmps).toBe(0);
    });
  }
});
