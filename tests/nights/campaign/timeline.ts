/*
 * What a controller told in a night, on the night's own clock: its events, and for each condition when it stood. From the stand-in's books
 * and, for what a silent memory kept from the outbox, from the live messages. Read by the judges of the campaign.
 */
import type { StandInDashboard, VirtualBath } from '@bathkeeper/firmware/bench';
import { EventKind } from '@bathkeeper/shared-core/control';
import { EventColumn } from '@bathkeeper/shared-core/messages';

export interface ToldEvent {
  readonly atSeconds: number;
  readonly kind: number;
  readonly code: number;
  readonly a: number;
  readonly b: number;
}

export interface Standing {
  readonly condition: number;
  readonly fromSeconds: number;
  toSeconds: number;
}

/** Boots, and conditions in live messages, noted while the night is played. */
export class TimelineNotes {
  /** When each boot began, by incarnation and number. */
  readonly boots = new Map<string, number>();
  readonly seenLive: Standing[] = [];
  readonly #open = new Map<number, Standing>();
  #lastUptime = -1;

  /** Once a second. */
  note(bath: VirtualBath, standIn: StandInDashboard): void {
    const { live } = standIn;
    if (live === undefined || live.uptimeSeconds === this.#lastUptime) return;
    this.#lastUptime = live.uptimeSeconds;
    const key = `${String(live.incarnation)}/${String(live.boot)}`;
    const bootedAt = bath.nightSeconds - live.uptimeSeconds;
    this.boots.set(key, Math.min(bootedAt, this.boots.get(key) ?? Infinity));
    const stood = this.#open.size;
    if (stood === 0 && live.conditions === 0 && live.conditionsHigh === 0) return;
    for (let code = 1; code <= 64; code++) {
      const stands = (((code > 32 ? live.conditionsHigh : live.conditions) >>> ((code - 1) & 31)) & 1) === 1;
      const open = this.#open.get(code);
      if (stands && open !== undefined) open.toSeconds = bath.nightSeconds;
      else if (stands) {
        const standing = { condition: code, fromSeconds: bath.nightSeconds, toSeconds: bath.nightSeconds };
        this.seenLive.push(standing);
        this.#open.set(code, standing);
      } else if (open !== undefined) this.#open.delete(code);
    }
  }
}

export interface Timeline {
  readonly events: readonly ToldEvent[];
  readonly standings: readonly Standing[];
}

export function timeline(bath: VirtualBath, standIn: StandInDashboard, notes: TimelineNotes): Timeline {
  const events: ToldEvent[] = [];
  for (const [incarnation, ledger] of standIn.ledgers) {
    for (const row of ledger.events) {
      const boot = row[EventColumn.boot]!;
      // A boot that was never heard live: as many boots as the bath had by then.
      const bootedAt =
        notes.boots.get(`${String(incarnation)}/${String(boot)}`) ?? bath.bootLog[boot - 1]?.atSeconds ?? 0;
      events.push({
        atSeconds: bootedAt + row[EventColumn.uptime]! / 10,
        kind: row[EventColumn.kind]!,
        code: row[EventColumn.code]!,
        a: row[EventColumn.a]!,
        b: row[EventColumn.b]!,
      });
    }
  }
  const standings: Standing[] = [...notes.seenLive];
  const open = new Map<number, Standing>();
  const close = (condition: number, atSeconds: number): void => {
    const standing = open.get(condition);
    if (standing !== undefined) standing.toSeconds = atSeconds;
    open.delete(condition);
  };
  for (const event of events) {
    if (event.kind === EventKind.conditionRaised) {
      close(event.code, event.atSeconds);
      const standing = { condition: event.code, fromSeconds: event.atSeconds, toSeconds: Infinity };
      standings.push(standing);
      open.set(event.code, standing);
    } else if (event.kind === EventKind.conditionCleared) close(event.code, event.atSeconds);
    else if (event.kind === EventKind.booted) {
      // A restart forgets all but what it raises itself, which is told before or after this event within the same second.
      for (const condition of [...open.keys()])
        if (open.get(condition)!.fromSeconds < event.atSeconds - 2) close(condition, event.atSeconds);
    }
  }
  return { events, standings };
}
