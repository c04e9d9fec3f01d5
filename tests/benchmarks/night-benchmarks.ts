/*
 * Benchmarks of whole nights: how long one takes, whether its charge and its records are right, how soon the phone rings.
 */
import { playBathNight } from '../nights/bath-night.js';
import { type NightSummary } from '../nights/night-summary.js';
import { playWholeNight } from '../nights/whole-night.js';
import { parseFault, type ScheduledFault } from '@bathkeeper/firmware/bench';
import type { Benchmark } from './benchmark.js';

const HOURS = 10;
const SEED = 1;

export function fault(text: string): ScheduledFault {
  const parsed = parseFault(text);
  if (typeof parsed === 'string') throw new Error(parsed);
  return parsed;
}

/** The long night is played once for the rows that look at it. */
let longNight: Promise<NightSummary> | undefined;
function clean(): Promise<NightSummary> {
  longNight ??= playWholeNight({ hours: HOURS, seed: SEED }).then((night) => night.summary);
  return longNight;
}

const STALLS = ['00:20:01', '00:20:03', '00:20:05', '00:20:07', '00:20:09'];

export const nightBenchmarks: readonly Benchmark[] = [
  {
    name: 'night-wall-seconds',
    unit: 's',
    bound: 60,
    run: async () => ({
      value: (await clean()).wallSeconds,
      note: `${String(HOURS)} h, whole path, seed ${String(SEED)}`,
    }),
  },
  {
    name: 'campaign-night-core-seconds',
    unit: 's of one core',
    bound: 6,
    run: () => {
      // Of this thread's process alone, so that what else the machine does counts little.
      const before = process.cpuUsage();
      playBathNight({ hours: HOURS, seed: SEED });
      const { user, system } = process.cpuUsage(before);
      return {
        value: (user + system) / 1e6,
        note: `${String(HOURS)} h of firmware and bath alone, seed ${String(SEED)}`,
      };
    },
  },
  {
    name: 'night-charge-error-percent',
    unit: '%',
    bound: 0.5,
    run: async () => {
      const night = await clean();
      return { value: Math.abs(night.accountedChargeAmpereHours / night.trueChargeAmpereHours - 1) * 100 };
    },
  },
  {
    name: 'night-records-lost-or-doubled',
    unit: 'records',
    bound: 0,
    run: async () => {
      const faults = ['broker-restart@02:00', 'network-loss@04:00+10m', 'broker-restart@06:00'].map(fault);
      const { summary } = await playWholeNight({ hours: HOURS, seed: SEED, faults });
      return {
        value: summary.records.lost + summary.records.doubled,
        note: `${String(summary.records.sent)} sent, two broker restarts and ten minutes without network`,
      };
    },
  },
  {
    name: 'stall-to-notification-seconds',
    unit: 's',
    bound: 30,
    run: async () => {
      let worst = 0;
      for (const at of STALLS) {
        const { summary } = await playWholeNight({ hours: 0.4, seed: SEED, faults: [fault(`rotation-stall@${at}`)] });
        const alarm = summary.alarms.find((one) => one.name === 'rotation-stalled');
        worst = Math.max(
          worst,
          alarm === undefined || alarm.notifiedAtSeconds === null
            ? Infinity
            : alarm.notifiedAtSeconds - alarm.causeAtSeconds,
        );
      }
      return { value: worst, note: `worst of ${String(STALLS.length)} instants within a turn, 6 pulses a minute` };
    },
  },
];
