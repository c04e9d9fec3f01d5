/*
 * The life of alarms in the list, whatever happens in whatever order: raised, returned, acknowledged, reset at the bath, shelved, out of
 * service, suppressed by the plant's state, the clock going on, and the dashboard starting anew in mid-sequence. Judged by a model that
 * holds the standard's states as a table and knows nothing of the store.
 */
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { Phase } from '@bathkeeper/shared-core/control';
import type { AlarmName, AlarmState } from '@bathkeeper/shared-core/messages';
import { openStore, type Store } from '../../../dashboard/server/store/store.js';
import { type AlarmList, openAlarmList } from '../../../dashboard/server/watch/alarm-list.js';
import { CONTROLLER, EVENING_MS, folderOnTrial } from './dashboard-on-trial.js';

type Happening = 'cause comes' | 'cause goes' | 'acknowledged' | 'reset';

/**
 * The states and transitions of ISA-18.2 / IEC 62682 (normal, unacknowledged, acknowledged, returned to normal unacknowledged, latched), from
 * memory; that acknowledging, returning and being reset are facts of their own is OPC UA Part 9, 5.8.2 (AckedState, ActiveState,
 * LatchedState). What is not in a row changes nothing.
 */
const ordinary: Readonly<Record<AlarmState, Readonly<Partial<Record<Happening, AlarmState>>>>> = {
  normal: { 'cause comes': 'unacknowledged' },
  unacknowledged: { 'cause goes': 'returned-unacknowledged', acknowledged: 'acknowledged' },
  acknowledged: { 'cause goes': 'normal' },
  'returned-unacknowledged': { 'cause comes': 'unacknowledged', acknowledged: 'normal' },
  latched: {},
};
/** While it waits for its reset. Afterwards it is as any other. */
const latching: typeof ordinary = {
  ...ordinary,
  acknowledged: { 'cause goes': 'latched' },
  'returned-unacknowledged': {
    'cause comes': 'unacknowledged',
    acknowledged: 'latched',
    reset: 'returned-unacknowledged',
  },
  latched: { 'cause comes': 'unacknowledged', reset: 'normal' },
};

/** Ours, no source: a cause that returns unacknowledged within ten minutes is the same alarm, and calls nobody anew. */
const SAME_ALARM_MS = 600_000;
/** Ours, no source: what was acknowledged within the hour and is gone for less than ten minutes comes back acknowledged, and calls when it stays for two minutes. */
const SEEN_MS = 3_600_000;
const CHATTER_MS = 120_000;
const withoutRun: readonly Phase[] = [Phase.idle, Phase.ready, Phase.done];
/** What is asked of each: may a person silence it, does the plant's state, does it latch, may it be held back when it comes back? */
const names = {
  trip: { isShelvable: false, isOfTheRun: false, latches: true, chatters: false },
  'rotation-stalled': { isShelvable: false, isOfTheRun: true, latches: false, chatters: false },
  'filter-stopped': { isShelvable: true, isOfTheRun: true, latches: false, chatters: true },
  'sensor-fault': { isShelvable: true, isOfTheRun: false, latches: false, chatters: true },
} as const;
type Name = keyof typeof names;
const allNames = Object.keys(names) as Name[];

interface Alarm {
  state: AlarmState;
  awaitsReset: boolean;
  returnedAtMs: number;
  acknowledgedAtMs: number;
  /** Since when it is held back. */
  heldSinceMs: number | undefined;
  wasTold: boolean;
  isSilent: boolean;
  isSuppressed: boolean;
}

/** One name of one controller, as a person would keep it on paper. */
class Point {
  readonly alarms: Alarm[] = [];
  shelfUntilMs: number | undefined;
  isOutOfService = false;
  /** What whoever calls people must have been told, and what the journal must hold. */
  readonly told: string[] = [];
  readonly journal: string[] = [];

  constructor(readonly name: Name) {}

  #stands(alarm: Alarm): boolean {
    return alarm.state === 'unacknowledged' || alarm.state === 'acknowledged';
  }
  #after(alarm: Alarm, happening: Happening): AlarmState | undefined {
    return (alarm.awaitsReset ? latching : ordinary)[alarm.state][happening];
  }
  silences(alarm: Alarm): string[] {
    if (!this.#stands(alarm)) return [];
    return [
      ...(this.shelfUntilMs === undefined ? [] : ['shelved']),
      ...(this.isOutOfService ? ['out-of-service'] : []),
      ...(alarm.isSuppressed ? ['suppressed-by-design'] : []),
    ];
  }

  raise(nowMs: number, phase: Phase | undefined): void {
    const newest = this.alarms.at(-1);
    if (newest !== undefined && this.#stands(newest)) return;
    const isSuppressed = names[this.name].isOfTheRun && phase !== undefined && withoutRun.includes(phase);
    const wouldBeSilent = isSuppressed || this.shelfUntilMs !== undefined || this.isOutOfService;
    const isSame =
      newest?.state === 'returned-unacknowledged' &&
      (newest.awaitsReset || (!names[this.name].latches && nowMs - newest.returnedAtMs < SAME_ALARM_MS)) &&
      (newest.wasTold || wouldBeSilent);
    if (isSame) {
      newest.state = this.#after(newest, 'cause comes')!;
      const wasSilent = newest.isSilent;
      this.refresh(newest, phase);
      this.journal.push('raised-again');
      if (!wasSilent && !newest.isSilent) this.told.push('again');
      return;
    }
    const isSeen =
      newest?.state === 'normal' &&
      names[this.name].chatters &&
      nowMs - newest.returnedAtMs < SAME_ALARM_MS &&
      nowMs - newest.acknowledgedAtMs < SEEN_MS;
    if (isSeen && newest !== undefined) {
      newest.state = 'acknowledged';
      newest.heldSinceMs = nowMs;
      this.refresh(newest, phase);
      this.journal.push('raised-again');
      return;
    }
    this.alarms.push({
      state: ordinary.normal['cause comes']!,
      awaitsReset: names[this.name].latches,
      returnedAtMs: NaN,
      acknowledgedAtMs: NaN,
      heldSinceMs: undefined,
      wasTold: !wouldBeSilent,
      isSilent: wouldBeSilent,
      isSuppressed,
    });
    this.journal.push('raised', ...(isSuppressed ? ['suppressed'] : []));
    if (!wouldBeSilent) this.told.push('raised');
  }
  return(nowMs: number): void {
    const newest = this.alarms.at(-1);
    const after = newest && this.#after(newest, 'cause goes');
    if (newest === undefined || after === undefined) return;
    newest.state = after;
    newest.returnedAtMs = nowMs;
    newest.heldSinceMs = undefined;
    this.journal.push('returned');
    if (!newest.awaitsReset) this.told.push('returned');
  }
  /** It came back, and stays. */
  callWhatStays(nowMs: number, phase: Phase | undefined): void {
    const newest = this.alarms.at(-1);
    if (newest?.state !== 'acknowledged' || newest.heldSinceMs === undefined) return;
    if (nowMs - newest.heldSinceMs < CHATTER_MS) return;
    this.return(nowMs);
    // Taken for seen no more, by whatever comes now.
    newest.acknowledgedAtMs = -Infinity;
    this.raise(nowMs, phase);
  }
  acknowledge(nowMs: number): void {
    const newest = this.alarms.at(-1);
    const after = newest && this.#after(newest, 'acknowledged');
    if (newest === undefined || after === undefined) return;
    newest.state = after;
    newest.acknowledgedAtMs = nowMs;
    this.journal.push('acknowledged');
    this.told.push('acknowledged');
  }
  /** Only with its cause gone can it be reset at the bath. */
  reset(nowMs: number): void {
    for (const alarm of this.alarms) {
      if (alarm === this.alarms.at(-1)) this.return(nowMs);
      const after = this.#after(alarm, 'reset');
      if (after === undefined) continue;
      alarm.state = after;
      alarm.awaitsReset = false;
      this.journal.push('reset');
      this.told.push('returned');
    }
  }
  refresh(alarm: Alarm, phase: Phase | undefined): void {
    if (!this.#stands(alarm)) return;
    // A phase that nobody can tell changes nothing.
    const isSuppressed =
      phase === undefined ? alarm.isSuppressed : names[this.name].isOfTheRun && withoutRun.includes(phase);
    if (isSuppressed !== alarm.isSuppressed) this.journal.push(isSuppressed ? 'suppressed' : 'unsuppressed');
    alarm.isSuppressed = isSuppressed;
    const isSilent = this.silences(alarm).length > 0;
    if (isSilent === alarm.isSilent) return;
    alarm.isSilent = isSilent;
    if (alarm.state === 'acknowledged') return;
    this.told.push(isSilent ? 'silenced' : 'unsilenced');
    alarm.wasTold ||= !isSilent;
  }
  refreshAll(phase: Phase | undefined): void {
    for (const alarm of this.alarms) this.refresh(alarm, phase);
  }
}

interface Model {
  nowMs: number;
  phase: Phase | undefined;
  readonly points: Readonly<Record<Name, Point>>;
}

class Real {
  nowMs = EVENING_MS;
  phase: Phase | undefined;
  list!: AlarmList;
  store!: Store;
  readonly told: Record<string, string[]> = {};

  constructor(readonly file: string) {
    this.open();
  }
  open(): void {
    this.store = openStore(this.file);
    // The disk is not what is tried here.
    this.store.database.pragma('synchronous = OFF');
    const tell = (what: string) => (alarm: { name: AlarmName }) => {
      (this.told[alarm.name] ??= []).push(what);
    };
    this.list = openAlarmList(
      this.store,
      {
        onRaised: tell('raised'),
        onRaisedAgain: tell('again'),
        onUnsilenced: tell('unsilenced'),
        onSilenced: tell('silenced'),
        onReturned: tell('returned'),
        onAcknowledged: tell('acknowledged'),
      },
      () => this.phase,
    );
  }
  newest(name: Name) {
    return this.list
      .views(this.nowMs)
      .filter((alarm) => alarm.name === name)
      .sort((a, b) => b.alarmId - a.alarmId)[0];
  }
}

/** One thing that happens to model and list alike; afterwards both must tell the same. */
class Step implements fc.Command<Model, Real> {
  constructor(
    readonly words: string,
    readonly onModel: (model: Model) => void,
    readonly onReal: (real: Real) => void,
  ) {}
  check(): boolean {
    return true;
  }
  run(model: Model, real: Real): void {
    this.onModel(model);
    this.onReal(real);
    for (const name of allNames) {
      const point = model.points[name];
      const expected = point.alarms.at(-1);
      const view = real.newest(name);
      expect([name, view?.state ?? 'normal']).toEqual([name, expected?.state ?? 'normal']);
      expect([name, view?.isLatched ?? false]).toEqual([name, expected?.awaitsReset ?? false]);
      if (expected !== undefined)
        expect([name, (view?.silences ?? []).map((one) => one.kind)]).toEqual([name, point.silences(expected)]);
      expect([name, ...(real.told[name] ?? [])]).toEqual([name, ...point.told]);
      const journal = real.list.journal({ name, count: 500 }).map((entry) => entry.what);
      expect([name, ...journal.reverse()]).toEqual([name, ...point.journal]);
    }
  }
  toString(): string {
    return this.words;
  }
}

const named = fc.constantFrom(...allNames);
const raise = named.map((name) => new Step(
  `raise ${name}`,
  (model) => { model.points[name].raise(model.nowMs, model.phase); },
  (real) => { real.list.raise({ controllerId: CONTROLLER, name, causeAtMs: real.nowMs, detail: 'seen' }, real.nowMs); },
)); // prettier-ignore
const giveBack = named.map((name) => new Step(
  `return ${name}`,
  (model) => { model.points[name].return(model.nowMs); },
  (real) => { real.list.returnToNormal(CONTROLLER, name, real.nowMs); },
)); // prettier-ignore
const acknowledge = named.map((name) => new Step(
  `acknowledge ${name}`,
  (model) => { model.points[name].acknowledge(model.nowMs); },
  (real) => { real.list.acknowledge(real.newest(name)?.alarmId ?? 0, 'page', real.nowMs); },
)); // prettier-ignore
const reset = fc.constant(new Step(
  'reset at the bath',
  (model) => { model.points.trip.reset(model.nowMs); },
  (real) => { real.list.resetAtBath(CONTROLLER, real.nowMs); },
)); // prettier-ignore
const shelve = fc.tuple(named, fc.constantFrom(1, 10, 720, 721)).map(([name, minutes]) => new Step(
  `shelve ${name} for ${String(minutes)} min`,
  (model) => {
    // Twelve hours at most, ours.
    if (!names[name].isShelvable || minutes > 720) return;
    const point = model.points[name];
    point.shelfUntilMs = model.nowMs + minutes * 60_000;
    point.journal.push('shelved');
    point.refreshAll(model.phase);
  },
  (real) => { real.list.shelve(CONTROLLER, name, { reason: 'the filter is being cleaned', minutes }, 'page', real.nowMs); },
)); // prettier-ignore
const unshelve = named.map((name) => new Step(
  `unshelve ${name}`,
  (model) => {
    const point = model.points[name];
    if (point.shelfUntilMs === undefined) return;
    point.shelfUntilMs = undefined;
    point.journal.push('unshelved');
    point.refreshAll(model.phase);
  },
  (real) => { real.list.unshelve(CONTROLLER, name, 'page', real.nowMs); },
)); // prettier-ignore
const outOfService = fc.tuple(named, fc.boolean()).map(([name, isOut]) => new Step(
  `${isOut ? 'take out of service' : 'put back in service'} ${name}`,
  (model) => {
    const point = model.points[name];
    if (!names[name].isShelvable || (!isOut && !point.isOutOfService)) return;
    point.isOutOfService = isOut;
    point.journal.push(isOut ? 'taken-out-of-service' : 'put-back-in-service');
    point.refreshAll(model.phase);
  },
  (real) => {
    if (isOut) real.list.takeOutOfService(CONTROLLER, name, 'the probe is away for repair', 'page', real.nowMs);
    else real.list.putBackInService(CONTROLLER, name, 'page', real.nowMs);
  },
)); // prettier-ignore
const pass = fc
  .record({
    seconds: fc.constantFrom(1, 59, 60, 599, 600, 43_199, 43_200),
    phase: fc.constantFrom(undefined, Phase.plate, Phase.done, Phase.idle),
  })
  .map(({ seconds, phase }) => new Step(
    `${String(seconds)} s pass, phase ${String(phase)}`,
    (model) => {
      model.nowMs += seconds * 1000;
      model.phase = phase;
      for (const point of Object.values(model.points)) {
        if (point.shelfUntilMs !== undefined && model.nowMs >= point.shelfUntilMs) {
          point.shelfUntilMs = undefined;
          point.journal.push('shelf-ended');
        }
        point.refreshAll(phase);
        point.callWhatStays(model.nowMs, phase);
      }
    },
    (real) => {
      real.nowMs += seconds * 1000;
      real.phase = phase;
      real.list.tick(real.nowMs);
    },
  )); // prettier-ignore
/** The dashboard is gone for a while, and knows the phase of no controller when it comes back. */
const restart = fc.constantFrom(1, 700).map((seconds) => new Step(
  `restart after ${String(seconds)} s`,
  (model) => {
    model.nowMs += seconds * 1000;
    model.phase = undefined;
    for (const point of Object.values(model.points)) {
      if (point.shelfUntilMs !== undefined && model.nowMs >= point.shelfUntilMs) {
        point.shelfUntilMs = undefined;
        point.journal.push('shelf-ended');
      }
      point.refreshAll(undefined);
      point.callWhatStays(model.nowMs, undefined);
    }
  },
  (real) => {
    real.store.close();
    real.nowMs += seconds * 1000;
    real.phase = undefined;
    real.open();
    real.list.tick(real.nowMs);
  },
)); // prettier-ignore

it('lives as the standard has it, tells whoever calls, and keeps its journal, in any order and over restarts', { timeout: 120_000 }, () => {
  let serial = 0;
  const folder = folderOnTrial();
  fc.assert(
    fc.property(
      fc.commands(
        // Twice what makes alarms: most sequences should have some.
        [raise, raise, giveBack, acknowledge, reset, shelve, unshelve, outOfService, pass, pass, restart],
        { maxCommands: 60, size: 'max' },
      ),
      (commands) => {
        const model: Model = {
          nowMs: EVENING_MS,
          phase: undefined,
          points: {
            trip: new Point('trip'),
            'rotation-stalled': new Point('rotation-stalled'),
            'filter-stopped': new Point('filter-stopped'),
            'sensor-fault': new Point('sensor-fault'),
          },
        };
        const real = new Real(join(folder, `${String(++serial)}.sqlite`));
        try {
          fc.modelRun(() => ({ model, real }), commands);
        } finally {
          real.store.close();
        }
      },
    ),
    { numRuns: 60 },
  );
}); // prettier-ignore
