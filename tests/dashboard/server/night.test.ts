/* The night band's series, and the settings of the program. */
import type { AlarmView } from '@bathkeeper/shared-core/messages';
import fc from 'fast-check';
import { EventKind, Phase } from '@bathkeeper/shared-core/control';
import { describe, expect, it } from 'vitest';
import { nightSeries } from '../../../dashboard/server/night/night-series.js';
import { settingsFrom } from '../../../dashboard/server/settings/settings.js';
import { openStore } from '../../../dashboard/server/store/store.js';
import { eventRow, recordRow } from './quiet-bath.js';

const START_MS = 1_768_000_000_000;

/** A run of one record a second with these currents in centiamperes; null: no good reading. */
function series(currents: readonly (number | null)[], points: number, alarms: readonly AlarmView[] = []) {
  const store = openStore(':memory:');
  store.takeOutbox({
    controllerId: 'north-bench', incarnation: 7, boot: 1, uptimeTenths: 10 * currents.length, receivedAtMs: START_MS + 1000 * currents.length,
    records: currents.map((current, index) =>
      recordRow({
        first: index + 1, uptime: 10 * (index + 1), charge: 10 * index,
        ...(current === null ? { electricCount: 0, currentSum: 0, currentMin: 0, currentMax: 0, voltageSum: 0 } : { currentSum: current, currentMin: current, currentMax: current }),
      }),
    ),
    events: [eventRow({ sequence: 1, kind: EventKind.phaseEntered, code: Phase.strike, uptime: 10 }), eventRow({ sequence: 2, kind: EventKind.phaseEntered, code: Phase.ramp, uptime: 20 })],
  }); // prettier-ignore
  const endMs = START_MS + 1000 * currents.length;
  const run = { controllerId: 'north-bench', incarnation: 7, runNumber: 1, startedAtMs: START_MS, endedAtMs: endMs };
  const night = nightSeries(store, run, points, endMs, [], alarms);
  store.close();
  return night;
}

describe('the night series', () => {
  it('keeps the extremes, however few points are asked', () => {
    fc.assert(
      fc.property(
        fc.array(fc.option(fc.integer({ min: -500, max: 3000 })), { minLength: 1, maxLength: 300 }),
        fc.integer({ min: 10, max: 60 }),
        (currents, points) => {
          const { measured } = series(currents, points);
          expect(measured.length).toBeLessThanOrEqual(points + 1);
          const good = currents.filter((current) => current !== null);
          const mins = measured.map((point) => point.currentAmpsMin).filter((amps) => amps !== null);
          const maxes = measured.map((point) => point.currentAmpsMax).filter((amps) => amps !== null);
          if (good.length === 0) expect([...mins, ...maxes]).toEqual([]);
          else {
            expect(Math.min(...mins)).toBeCloseTo(Math.min(...good) / 100, 9);
            expect(Math.max(...maxes)).toBeCloseTo(Math.max(...good) / 100, 9);
          }
          for (const { currentAmps, currentAmpsMin, currentAmpsMax } of measured) {
            if (currentAmps === null) continue;
            expect(currentAmps).toBeGreaterThanOrEqual(currentAmpsMin! - 1e-9);
            expect(currentAmps).toBeLessThanOrEqual(currentAmpsMax! + 1e-9);
          }
          expect(measured.at(-1)?.chargeAmpereHours).toBeCloseTo((10 * (currents.length - 1)) / 3.6e6, 12);
          for (let index = 1; index < measured.length; index++)
            expect(measured[index]!.atMs).toBeGreaterThan(measured[index - 1]!.atMs);
        },
      ),
      { numRuns: 40 },
    );
  });

  it('has no current where there was no good reading', () => {
    expect(
      series(new Array<null>(20).fill(null), 10).measured.every(
        (point) => point.currentAmps === null && point.terminalVolts === null,
      ),
    ).toBe(true);
  });

  it('marks a trip until it is reset at the bath, and anything else until its cause is gone', () => {
    const alarm = (alarmId: number, fields: object) => ({ alarmId, name: 'trip', causeAtMs: START_MS, returnedAtMs: START_MS + 1000, ...fields }) as AlarmView; // prettier-ignore
    const marks = series([1900], 10, [
      alarm(1, { isLatched: true }),
      alarm(2, { resetAtMs: START_MS + 9000 }),
      alarm(3, { name: 'rotation-stalled' }),
    ]).alarms;
    expect(marks.map((mark) => mark.untilMs)).toEqual([null, START_MS + 9000, START_MS + 1000]);
  });

  it('tells the phases from their events', () => {
    expect(series([1900, 1900, 1900], 10).phases).toEqual([
      { phase: Phase.strike, fromMs: START_MS + 1000 },
      { phase: Phase.ramp, fromMs: START_MS + 2000 },
    ]);
  });
});

describe('the settings', () => {
  it('list every fault at once', () => {
    const problems = settingsFrom(['--port', '99999', '--speed=0', '--frobnicate', '--data='], {
      BATHKEEPER_MQTT_PORT: 'x',
    });
    expect(problems).toHaveLength(5);
    const told = (problems as string[]).join('\n');
    expect(told).toMatch(/--port.*65535.*99999/);
    expect(told).toMatch(/BATHKEEPER_MQTT_PORT.*"x"/);
    expect(told).toMatch(/--frobnicate/);
  });

  it('prefer the command line to the environment, and that to what is usual', () => {
    expect(
      settingsFrom(['--port=4200'], {
        BATHKEEPER_PORT: '4300',
        BATHKEEPER_MQTT_PORT: '1884',
        BATHKEEPER_DATA: '/elsewhere',
      }),
    ).toMatchObject({ port: 4200, mqttPort: 1884, dataFolder: '/elsewhere', speed: 1, virtualBath: true });
    expect(settingsFrom(['--no-virtual-bath'], {})).toMatchObject({ virtualBath: false });
  });

  it('miss the value of an option that has none', () => {
    expect(settingsFrom(['--port'], {})).toEqual(['--port: expected a value after it.']);
  });
});
