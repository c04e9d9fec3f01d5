/* What a run sheet is asked for: the lampshade's night with a series that fits it, and nights that want too much room. Used by the tests of sheet and print. */
import { Phase } from '@bathkeeper/shared-core/control';
import type { AlarmView, Series } from '@bathkeeper/shared-core/messages';
import { type RunEntry, type RunRecord, weighedDeposit } from '@bathkeeper/shared-core/trade';
import type { SheetAsked } from '../../../../dashboard/server/sheet/made-sheet.js';
import { stalled } from '../../../browser/canned-night.js';
import { aRecord, ENDED_MS, STARTED_MS } from '../../../shared-core/trade/run-record/a-record.js';

const HOUR = 3_600_000;
export const WRITTEN_MS = ENDED_MS + HOUR;

/** A minute a bucket: strike, ramp, 19.2 A, an interruption, lowered to 12 A, and one second's spike to 21.2 A. */
export function aSeries(change: Partial<Series> = {}, run = 3): Series {
  const minutes = Array.from({ length: 516 }, (_, minute) => minute);
  const asked = (minute: number): number =>
    minute < 10 ? 3.6 : minute < 40 ? 3.6 + ((minute - 10) / 30) * 15.6 : minute > 456 ? 1.8 : minute > 300 ? 12 : 19.2;
  const gone = (minute: number): boolean => minute === 181;
  const amps = (minute: number): number => (gone(minute) ? 0.1 : asked(minute) * (1 - 0.004 * Math.sin(minute / 7)));
  const celsius = (minute: number): number => 21.6 + 3.7 * Math.sin((Math.PI * minute) / 600);
  return {
    controllerId: 'north-bench',
    fromMs: STARTED_MS,
    toMs: ENDED_MS,
    bucketMs: 60_000,
    source: 'records',
    startMs: minutes.map((minute) => STARTED_MS + minute * 60_000),
    seconds: minutes.map(() => 60),
    run: minutes.map(() => run),
    phase: minutes.map(() => Phase.plate),
    permittedAmps: minutes.map(asked),
    setPointAmps: minutes.map(asked),
    currentMeanAmps: minutes.map(amps),
    currentMinAmps: minutes.map((minute) => amps(minute) * 0.985),
    currentMaxAmps: minutes.map((minute) => (minute === 240 ? 21.2 : amps(minute) * 1.012)),
    voltageVolts: minutes.map(() => 2.1),
    voltageMinVolts: minutes.map(() => 2.08),
    voltageMaxVolts: minutes.map(() => 2.12),
    resistanceMinMilliohms: minutes.map((minute) => 2080 / amps(minute)),
    resistanceMaxMilliohms: minutes.map((minute) => 2120 / amps(minute)),
    temperatureCelsius: minutes.map(celsius),
    temperatureMinCelsius: minutes.map((minute) => celsius(minute) - 0.05),
    temperatureMaxCelsius: minutes.map((minute) => celsius(minute) + 0.05),
    rotationPulsesPerMinute: minutes.map(() => 12),
    chargeAmpereHours: minutes.map((minute) => minute * 0.3),
    ...change,
  };
}

export const noSeries = (): Series =>
  Object.fromEntries(Object.entries(aSeries()).map(([name, value]) => [name, Array.isArray(value) ? [] : value])) as unknown as Series; // prettier-ignore

const entry = (entryId: number, change: Partial<RunEntry>): RunEntry => ({
  entryId,
  atMs: ENDED_MS + entryId * 60_000,
  writtenAtMs: ENDED_MS,
  who: 'Robin',
  note: '',
  body: { kind: 'note' },
  undone: null,
  ...change,
});

/** Weighed before and after, with two notes. */
export function weighedRecord(change: Partial<RunRecord> = {}): RunRecord {
  const entries = [
    entry(1, { atMs: STARTED_MS - HOUR, body: { kind: 'weighing', when: 'before', grams: 812, uncertaintyGrams: 0.1 } }),
    entry(2, { body: { kind: 'weighing', when: 'after', grams: 989.4, uncertaintyGrams: 0.1 } }),
    entry(3, { note: 'A few nodules at the rim, ground off.' }),
    entry(4, { note: 'Wrong piece.', undone: { atMs: ENDED_MS, who: 'Robin', reason: 'another run' } }),
    entry(5, { note: 'The rim, bright all around', body: { kind: 'photograph', type: 'image/jpeg', widthPixels: 9, heightPixels: 9, byteCount: 9 } }),
  ]; // prettier-ignore
  const record = aRecord({ entries, ...change });
  const [before, after] = entries as unknown as Parameters<typeof weighedDeposit>[0]['before'][];
  return {
    ...record,
    weighed: weighedDeposit({ before: before!, after: after! }, { recipe: record.recipe, chargeAmpereHours: 154.2 }),
  };
}

/** So many alarms over the night, every fourth of which nobody acknowledged. */
export function alarmsOf(count: number): RunRecord['alarms'] {
  return Array.from({ length: count }, (_, index) => {
    const raisedAtMs = STARTED_MS + (index + 1) * Math.floor((8 * HOUR) / count);
    const seen = index % 4 === 3 ? { acknowledgedAtMs: null, acknowledgedBy: null } : { acknowledgedAtMs: raisedAtMs + 60_000, acknowledgedBy: 'Robin' }; // prettier-ignore
    const alarm: AlarmView = { ...stalled, ...seen, alarmId: 1000 + index, title: index % 3 === 0 ? 'Bath warm' : 'Rotation stopped', priority: index % 3 === 0 ? 'medium' : 'high', raisedAtMs, returnedAtMs: raisedAtMs + 90_000 }; // prettier-ignore
    return { alarm, journal: [] };
  });
}

export function sheetAsked(change: Partial<SheetAsked> = {}): SheetAsked {
  return {
    format: 'pdf',
    paper: 'a4',
    record: weighedRecord(),
    series: aSeries(),
    around: {
      bathAge: { bathId: 1, bathName: 'Copper 60 L', madeUpAtMs: STARTED_MS - 90 * 24 * HOUR, litres: 58.5, beforeAmpereHours: 2210, afterAmpereHours: 2364.2 },
      imported: null,
    },
    reader: { units: 'metric', zone: 'UTC', writtenAtMs: WRITTEN_MS },
    ...change,
  }; // prettier-ignore
}

/** Every name as long as the page takes it, with letters from everywhere; much of everything. */
export function crowdedRecord(): RunRecord {
  const long = 'Ünïcödé fluted bell — Ωmega µ², Łódź, Ἀθῆναι, Москва '.repeat(2).slice(0, 80);
  const record = weighedRecord({ alarms: alarmsOf(200), bathName: 'W'.repeat(40), controllerId: 'w'.repeat(40) });
  return {
    ...record,
    recipe: { ...record.recipe!, partName: long },
    plan: { parts: Array.from({ length: 24 }, (_, index) => ({ name: `leaf of the canopy, number ${String(index)}`, pieces: 1, areaDm2: 0.5 })) },
    interruptions: Array.from({ length: 30 }, (_, index) => ({ ...record.interruptions[0]!, fromMs: STARTED_MS + index * 900_000, untilMs: STARTED_MS + index * 900_000 + 80_000 })),
    happened: Array.from({ length: 40 }, (_, index) => ({ atMs: STARTED_MS + index * 600_000, words: `The motor was started again, try ${String(index)}.` })),
    entries: [...record.entries, ...Array.from({ length: 12 }, (_, index) => entry(20 + index, { note: `${'The surface is dull near the clip and bright elsewhere. '.repeat(12)}` }))],
  }; // prettier-ignore
}
