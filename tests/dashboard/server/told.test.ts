/* What only events tell (bring-up, interruptions, the second means) is the same whether it was heard now or read from the store. */
import { Condition, EventKind, Phase } from '@bathkeeper/shared-core/control';
import { BringUpStep, EventColumn } from '@bathkeeper/shared-core/messages';
import { describe, expect, test } from 'vitest';
import { openTold, type Told } from '../../../dashboard/server/baths/told.js';
import { openStore, type Store } from '../../../dashboard/server/store/store.js';
import { eventRow } from './quiet-bath.js';

const DAY_MS = 1_768_000_000_000;

interface Telling {
  readonly kind: number;
  readonly code?: number;
  readonly a?: number;
  readonly b?: number;
  readonly run?: number;
}

/** Stores events a second apart, as the ingest does, and tells them to `told` when it is given. */
function tell(store: Store, events: readonly Telling[], told?: Told): void {
  const rows = events.map((event, k) => {
    const row = [...eventRow({ sequence: k + 1, kind: event.kind })];
    row[EventColumn.uptime] = 1000 + k * 10;
    row[EventColumn.code] = event.code ?? 0;
    row[EventColumn.a] = event.a ?? 0;
    row[EventColumn.b] = event.b ?? 0;
    row[EventColumn.run] = event.run ?? 0;
    return row;
  });
  store.takeOutbox({
    controllerId: 'north-bench',
    incarnation: 7,
    boot: 1,
    uptimeTenths: 1000 + events.length * 10,
    receivedAtMs: DAY_MS,
    records: [],
    events: rows,
  });
  const taken = store.database.prepare('SELECT taken_at_ms FROM events ORDER BY sequence').pluck().all() as number[];
  rows.forEach((row, k) => told?.take('north-bench', row, taken[k]!));
}

const night: Telling[] = [
  { kind: EventKind.bringUpDone, code: BringUpStep.sensorsSeen, a: 3 },
  { kind: EventKind.bringUpDone, code: BringUpStep.motorTurned, a: 9 },
  { kind: EventKind.interruption, a: 12, run: 1 },
  { kind: EventKind.interruption, a: 240, run: 2 },
  { kind: EventKind.interruption, a: -1, run: 2 },
  { kind: EventKind.secondMeansOpened, code: Condition.currentDoesNotFall, run: 2 },
  { kind: EventKind.bringUpDone, code: BringUpStep.sensorsSeen, a: 4 },
];

describe.each(['heard while it happens', 'read from the store', 'both'] as const)('what was told, %s', (way) => {
  const toldOf = (events: readonly Telling[]) => {
    const store = openStore(':memory:');
    const told = openTold(store);
    // A view before anything is there makes every later event be taken one by one.
    if (way === 'heard while it happens') told.view('north-bench', undefined);
    if (way === 'both') {
      tell(store, events);
      told.view('north-bench', 2);
      tell(store, events, told);
    } else tell(store, events, told);
    return told;
  };
  test('of each step of bring-up the newest stands, in the order in which they were done', () => {
    const { bringUp } = toldOf(night).view('north-bench', 2);
    expect(bringUp.map(({ step, a }) => [step, a])).toEqual([
      [BringUpStep.motorTurned, 9],
      [BringUpStep.sensorsSeen, 4],
    ]);
  });
  test('interruptions are those of the asked run, and an unknown length is none that was made up', () => {
    const told = toldOf(night);
    expect(told.view('north-bench', 2).interruptions.map(({ seconds }) => seconds)).toEqual([240, null]);
    expect(told.view('north-bench', 3).interruptions).toEqual([]);
    expect(told.view('north-bench', undefined).interruptions).toEqual([]);
  });
  test('the second means stands open until the reset that ends the trip', () => {
    expect(toldOf(night).view('north-bench', 2).secondMeansOpened?.condition).toBe(Condition.currentDoesNotFall);
    const reset = [...night, { kind: EventKind.phaseEntered, code: Phase.idle, a: Phase.trip }];
    expect(toldOf(reset).view('north-bench', 2).secondMeansOpened).toBeNull();
  });
  test('another controller was told nothing', () => {
    expect(toldOf(night).view('south-bench', 2)).toEqual({ bringUp: [], interruptions: [], secondMeansOpened: null });
  });
});
