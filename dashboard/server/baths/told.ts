/*
 * What controllers told in their events and no live message repeats: steps of bring-up, interruptions, the second means.
 * Kept in memory and read once from the store, so that a view costs no search. Called by the book of baths; changes nothing.
 */
import { EventKind, Phase } from '@bathkeeper/shared-core/control';
import { type BringUpDone, EventColumn, type InterruptionView, type ToldView } from '@bathkeeper/shared-core/messages';
import type { Row, Store } from '../store/store.js';

export interface Told {
  /** A new event of a controller, in the order in which they happened. */
  take(controllerId: string, row: Row, takenAtMs: number): void;
  /** `runNumber`: whose interruptions are asked for; undefined: there is no run. */
  view(controllerId: string, runNumber: number | undefined): ToldView;
}

interface ToldOfOne {
  readonly bringUp: Map<number, BringUpDone>;
  /** Of the newest run that had any. */
  interruptedRun: number;
  interruptions: InterruptionView[];
  secondMeansOpened: ToldView['secondMeansOpened'];
}

/** A run that was interrupted more often has other troubles. */
const INTERRUPTIONS_KEPT = 20;

interface EventRow {
  kind: number;
  code: number;
  a: number;
  b: number;
  run: number;
  taken_at_ms: number;
}

export function openTold(store: Store): Told {
  const known = new Map<string, ToldOfOne>();
  const earlier = store.database.prepare<[string], EventRow>(
    `SELECT kind, code, a, b, run, taken_at_ms FROM events WHERE controller_id = ?
     AND kind IN (${[EventKind.bringUpDone, EventKind.interruption, EventKind.secondMeansOpened, EventKind.phaseEntered].join(', ')})
     ORDER BY taken_at_ms, sequence`,
  );

  const put = (told: ToldOfOne, event: EventRow): void => {
    const { kind, code, a, b, run, taken_at_ms: atMs } = event;
    if (kind === EventKind.bringUpDone) {
      told.bringUp.delete(code);
      told.bringUp.set(code, { step: code, atMs, a, b });
    } else if (kind === EventKind.interruption) {
      if (run !== told.interruptedRun) told.interruptions = [];
      told.interruptedRun = run;
      // What was just stored may have been read with the earlier ones, and is then taken as well.
      const others = told.interruptions.filter((one) => one.atMs !== atMs);
      told.interruptions = [...others, { atMs, seconds: a < 0 ? null : a }].slice(-INTERRUPTIONS_KEPT);
    } else if (kind === EventKind.secondMeansOpened) told.secondMeansOpened = { atMs, condition: code };
    // It closes again only by the reset that ends the trip.
    else if (kind === EventKind.phaseEntered && a === Phase.trip && code !== Phase.trip) told.secondMeansOpened = null;
  };
  const of = (controllerId: string): ToldOfOne => {
    let told = known.get(controllerId);
    if (told === undefined) {
      told = { bringUp: new Map(), interruptedRun: -1, interruptions: [], secondMeansOpened: null };
      for (const event of earlier.iterate(controllerId)) put(told, event);
      known.set(controllerId, told);
    }
    return told;
  };

  return {
    take: (controllerId, row, takenAtMs) => {
      const told = known.get(controllerId);
      // Not asked for yet: it will be read with the others from the store.
      if (told === undefined) return;
      put(told, {
        kind: row[EventColumn.kind]!,
        code: row[EventColumn.code]!,
        a: row[EventColumn.a]!,
        b: row[EventColumn.b]!,
        run: row[EventColumn.run]!,
        taken_at_ms: takenAtMs,
      });
    },
    view: (controllerId, runNumber) => {
      const told = of(controllerId);
      return {
        bringUp: [...told.bringUp.values()],
        interruptions: told.interruptedRun === runNumber ? told.interruptions : [],
        secondMeansOpened: told.secondMeansOpened,
      };
    },
  };
}
