/*
 * Whole nights over the built bundle: firmware, broker, ingest, store, watch and calls in lockstep on the bath's clock. Clean, with
 * each fault, with two at once, with the network and the dashboard gone. Expected charge and mass come from Faraday's law (CODATA).
 */
import { describe, expect, it } from 'vitest';
import { faultNames, type FaultName, parseFault, type ScheduledFault } from '@bathkeeper/firmware/bench';
import { type PlayedNight, playWholeNight } from './whole-night.js';

function faults(...texts: string[]): ScheduledFault[] {
  return texts.map((text) => {
    const parsed = parseFault(text);
    if (typeof parsed === 'string') throw new Error(parsed);
    return parsed;
  });
}

/** What must hold in every night, whatever went wrong. */
function expectSoundBooks({ summary }: PlayedNight): void {
  expect(summary.problems).toEqual([]);
  expect(summary.records.lost).toBe(0);
  expect(summary.records.doubled).toBe(0);
  expect(summary.records.sent).toBeGreaterThan(0);
  const error = Math.abs(summary.accountedChargeAmpereHours / summary.trueChargeAmpereHours - 1);
  expect(error, 'accounted against true charge').toBeLessThan(0.005);
}

describe('a clean night', () => {
  it('accounts its charge within half a per cent, loses nothing, raises nothing, and calls nobody', async () => {
    const night = await playWholeNight({ hours: 2, seed: 11 });
    expectSoundBooks(night);
    expect(night.summary.alarms).toEqual([]);
    expect(night.summary.trips).toEqual([]);
    expect(night.summary.largestCurrentAmps).toBeLessThan(1.2 * 19.2);
  });

  it('is the same to the last record when it is played again with the same seed', async () => {
    const [one, two] = [await playWholeNight({ hours: 0.4, seed: 5 }), await playWholeNight({ hours: 0.4, seed: 5 })];
    expect(two.recordRows).toEqual(one.recordRows);
    expect(two.eventRows).toEqual(one.eventRows);
    expect((await playWholeNight({ hours: 0.4, seed: 6 })).recordRows).not.toEqual(one.recordRows);
  });
});

/** What each fault of the bath must lead to: alarms by name, and how the night stands at its end. */
const outcomes: Readonly<Partial<Record<FaultName, { alarms: readonly string[]; trip?: string; hours?: number }>>> = {
  'rotation-stall': { alarms: ['rotation-stalled'] },
  'rotation-slow': { alarms: ['rotation-stalled'] },
  overcurrent: { alarms: ['trip'], trip: 'alertLatch' },
  // Trimmed by the shunt to within its band, and nevertheless seen to drift.
  'supply-drift': { alarms: ['current-drifting'] },
  'supply-weak': { alarms: ['current-off-permitted'] },
  'contact-loss': { alarms: ['held'] },
  'bath-heating': { alarms: ['bath-temperature-out-of-band', 'held', 'trip'], trip: 'bathOverheated', hours: 1.5 },
  'monitor-silent': { alarms: ['trip'], trip: 'monitorSilent' },
  'monitor-frozen': { alarms: ['trip'], trip: 'monitorSilent' },
  'monitor-brown-out': { alarms: ['trip'], trip: 'monitorChanged' },
  'probe-absent': { alarms: ['sensor-fault', 'held'], hours: 0.6 },
  'probe-power-on-value': { alarms: ['sensor-fault', 'held'], hours: 0.6 },
  'probe-zero-frame': { alarms: ['sensor-fault', 'held'], hours: 0.6 },
  'probe-damaged-frame': { alarms: ['sensor-fault', 'held'], hours: 0.6 },
  'emergency-stop': { alarms: ['trip'], trip: 'emergencyStop' },
  'stop-press': { alarms: [] },
  'contactor-drop': { alarms: ['trip'], trip: 'contactorDropped' },
  'power-cut': { alarms: ['trip'], trip: 'restartedInRun' },
  'control-loop-lost': { alarms: ['trip'], trip: 'restartedInRun' },
  'rotation-watch-lost': { alarms: ['trip'], trip: 'restartedInRun' },
  'network-loss': { alarms: ['controller-silent'] },
  'host-vanish': { alarms: ['controller-silent'] },
  'broker-restart': { alarms: [] },
  'dashboard-kill': { alarms: [] },
};

describe('a night with one fault', () => {
  for (const name of faultNames) {
    // What the controller tells of every other fault: fault-outcomes.test.ts.
    const outcome = outcomes[name];
    if (outcome === undefined) continue;
    const { alarms, trip, hours = 0.5 } = outcome;
    it(`${name}: ${alarms.length === 0 ? 'raises no alarm' : `raises and calls ${alarms.join(', ')}`}${trip === undefined ? '' : `, trips on ${trip} with the contactor open`}`, async () => {
      const night = await playWholeNight({ hours, seed: 3, faults: faults(`${name}@00:15`) });
      expectSoundBooks(night);
      const { summary } = night;
      expect(summary.faults.map((fault) => fault.name)).toEqual([name]);
      for (const alarm of alarms) {
        // (A drift is shown first, and called by a second alarm once it is graver.)
        const raised = alarm.endsWith('-drifting')
          ? summary.alarms.findLast((one) => one.name === alarm)
          : summary.alarms.find((one) => one.name === alarm);
        expect(raised, `${alarm} among ${JSON.stringify(summary.alarms)}`).toBeDefined();
        expect(raised!.notifiedAtSeconds, `${alarm} reached the phone`).not.toBeNull();
        expect(raised!.notifiedAtSeconds! - raised!.raisedAtSeconds).toBeLessThan(5);
      }
      if (alarms.length === 0) expect(summary.alarms.map((one) => one.name)).toEqual([]);
      expect(summary.trips.map((one) => one.name)).toEqual(trip === undefined ? [] : [trip]);
      for (const one of summary.trips) expect(one.contactorOpenAtSeconds).not.toBeNull();
    });
  }
});

describe('a night with trouble on the way to the phone', () => {
  it('calls within 30 s of a stall at six pulses a minute', async () => {
    const { summary } = await playWholeNight({ hours: 0.4, seed: 2, faults: faults('rotation-stall@00:15') });
    const alarm = summary.alarms.find((one) => one.name === 'rotation-stalled')!;
    expect(alarm.notifiedAtSeconds! - alarm.causeAtSeconds).toBeLessThan(30);
  });

  it('loses and doubles no record over two broker restarts and ten minutes without network', async () => {
    const night = await playWholeNight({
      hours: 1,
      seed: 4,
      faults: faults('broker-restart@00:10', 'network-loss@00:20+10m', 'broker-restart@00:45'),
    });
    expectSoundBooks(night);
    expect(night.summary.records.stored).toBe(night.summary.records.sent);
  });

  it('tells of a stall that happened without network as soon as it is back, and protects the bath meanwhile', async () => {
    const night = await playWholeNight({
      hours: 0.6,
      seed: 7,
      faults: faults('network-loss@00:12+10m', 'rotation-stall@00:14'),
    });
    expectSoundBooks(night);
    const stalled = night.summary.alarms.find((one) => one.name === 'rotation-stalled')!;
    expect(stalled.raisedAtSeconds).toBeGreaterThan(22 * 60);
    expect(stalled.notifiedAtSeconds).not.toBeNull();
    // Two minutes after the stall the controller lowers the current to 40 % by itself.
    const duringLoss = night.recordRows.filter(
      (row) =>
        (row.permitted_sum as number) / (row.span as number) < 0.5 * 1920 && (row.uptime_tenths as number) > 18 * 600,
    );
    expect(duringLoss.length).toBeGreaterThan(0);
  });

  it('goes on where it was when the dashboard is killed and started again, and loses nothing', async () => {
    const night = await playWholeNight({
      hours: 0.6,
      seed: 8,
      faults: faults('dashboard-kill@00:15+2m', 'rotation-stall@00:16'),
    });
    expectSoundBooks(night);
    const stalled = night.summary.alarms.find((one) => one.name === 'rotation-stalled')!;
    expect(stalled.raisedAtSeconds).toBeGreaterThanOrEqual(17 * 60);
    expect(stalled.notifiedAtSeconds).not.toBeNull();
  });

  it('handles a stall and a warming bath at once, each with its own call', async () => {
    const night = await playWholeNight({
      hours: 1.5,
      seed: 9,
      faults: faults('bath-heating@00:15', 'rotation-stall@00:40'),
    });
    expectSoundBooks(night);
    const names = night.summary.alarms.map((one) => one.name);
    expect(names).toContain('rotation-stalled');
    expect(names).toContain('bath-temperature-out-of-band');
  });
});
