/*
 * Plays one night of a recipe on the virtual bath, with the bundle that is flashed, as fast as the machine can: the evening's work, the faults at their times, and
 * on until it has ended or waits for a person, whom a rehearsal does not have. Run in a thread of its own; it judges nothing.
 */
import {
  bundleText,
  type FaultName,
  StandInDashboard,
  startNight,
  type TankOptions,
  VirtualBath,
} from '@bathkeeper/firmware/bench';
import { Phase, type RigLimits } from '@bathkeeper/shared-core/control';
import { EventColumn } from '@bathkeeper/shared-core/messages';
import type { RehearsalContact } from './rehearsal-faults.js';
import { rehearsalSettings } from './rehearsal-settings.js';

export interface NightAsked {
  readonly rig: RigLimits;
  /** Those that are fitted. */
  readonly contacts: readonly RehearsalContact[];
  readonly recipeRow: readonly number[];
  readonly tank: Partial<TankOptions>;
  readonly seed: number;
  readonly faults: readonly FaultOfNight[];
  /** What the recipe plans, and the longest that is played, from the first current on. */
  readonly plannedSeconds: number;
  readonly longestSeconds: number;
}

export interface FaultOfNight {
  readonly name: FaultName;
  /** After the first current. */
  readonly afterSeconds: number;
  /** Undefined: its own usual time; Infinity: to the end. */
  readonly seconds: number | undefined;
}

export interface PlayedPoint {
  readonly afterSeconds: number;
  readonly currentAmps: number;
  readonly terminalVolts: number;
  readonly bathCelsius: number;
  readonly chargeMilliCoulombs: number;
}

export interface PlayedEvent {
  readonly afterSeconds: number;
  readonly kind: number;
  readonly code: number;
  readonly a: number;
  readonly b: number;
}

export interface PlayedNight {
  readonly points: readonly PlayedPoint[];
  /** In order, from the first current on. */
  readonly events: readonly PlayedEvent[];
  readonly phase: Phase;
  readonly isContactorClosed: boolean;
  /** Until the contactor opened for good, or nothing more was played. */
  readonly playedSeconds: number;
  /** Why no current flowed, undefined when it did. */
  readonly problem: string | undefined;
}

/** A band of so many points shows every change that a person could see. */
const POINTS = 600;
const SHORTEST_STEP_SECONDS = 10;
/** Without a press nothing more comes after so long with the contactor open or tripped, or held. */
const OPEN_SECONDS = 600;
const HELD_SECONDS = 3600;
/** The controller's last words, once the network is there. */
const FLUSH_SECONDS = 900;

/** `passed` is told after each piece, seconds after the first current. */
export function rehearsedNight(asked: NightAsked, passed: (afterSeconds: number) => void): PlayedNight {
  const settings = rehearsalSettings(asked.rig, asked.contacts);
  const standIn = new StandInDashboard(settings);
  const bath = new VirtualBath({
    bundle: bundleText(),
    seed: asked.seed,
    settings,
    tank: asked.tank,
    network: standIn,
  });
  const problem = startNight(bath, standIn, asked.recipeRow);
  const startedSeconds = bath.nightSeconds;
  const points = problem === undefined ? playedPoints(asked, bath, standIn, passed) : [];
  const playedSeconds = bath.nightSeconds - startedSeconds;
  if (problem === undefined) flush(bath, standIn);
  const { isContactorClosed } = bath.truth;
  const lastOpening = bath.contactorLog.at(-1);
  bath.switchOff();
  return {
    points,
    events: eventsOf(bath, standIn, startedSeconds),
    phase: (standIn.live?.phase ?? Phase.idle) as Phase,
    isContactorClosed,
    playedSeconds:
      isContactorClosed || lastOpening === undefined ? playedSeconds : lastOpening.atSeconds - startedSeconds,
    problem,
  };
}

function playedPoints(
  asked: NightAsked,
  bath: VirtualBath,
  standIn: StandInDashboard,
  passed: (afterSeconds: number) => void,
): PlayedPoint[] {
  const startedSeconds = bath.nightSeconds;
  const points: PlayedPoint[] = [];
  const waiting = [...asked.faults].sort((one, other) => one.afterSeconds - other.afterSeconds);
  const stepSeconds = Math.max(SHORTEST_STEP_SECONDS, asked.plannedSeconds / POINTS);
  let platingSeconds = 0;
  let notHeldSeconds = 0;
  for (;;) {
    const afterSeconds = bath.nightSeconds - startedSeconds;
    const { currentAmps, terminalVolts, bathCelsius, chargeMilliCoulombs, isContactorClosed } = bath.truth;
    points.push({ afterSeconds, currentAmps, terminalVolts, bathCelsius, chargeMilliCoulombs });
    passed(afterSeconds);
    // Welded contacts stay closed in a trip.
    const phase = standIn.live?.phase;
    if (isContactorClosed && phase !== Phase.trip) platingSeconds = afterSeconds;
    if (phase !== Phase.hold) notHeldSeconds = afterSeconds;
    if (afterSeconds - platingSeconds >= OPEN_SECONDS || afterSeconds - notHeldSeconds >= HELD_SECONDS) return points;
    if (afterSeconds >= asked.longestSeconds) return points;
    while (waiting[0] !== undefined && waiting[0].afterSeconds <= afterSeconds) {
      const { name, seconds } = waiting.shift()!;
      bath.injectFault(name, seconds);
    }
    standIn.play(bath, Math.min(stepSeconds, (waiting[0]?.afterSeconds ?? Infinity) - afterSeconds));
  }
}

/** Brings the network back, so that what the controller still holds is heard. */
function flush(bath: VirtualBath, standIn: StandInDashboard): void {
  bath.setNetworkTrouble('none');
  const heard = standIn.liveCount;
  const isThere = (): boolean => standIn.liveCount > heard && (standIn.live?.recordsWaiting ?? 99) < 10;
  standIn.playUntil(bath, isThere, FLUSH_SECONDS);
}

function eventsOf(bath: VirtualBath, standIn: StandInDashboard, startedSeconds: number): PlayedEvent[] {
  const rows = [...standIn.ledgers.values()].flatMap(({ events }) => events);
  return rows
    .map((row) => {
      const bootedSeconds = bath.bootLog[row[EventColumn.boot]! - 1]?.atSeconds ?? 0;
      return {
        afterSeconds: bootedSeconds + row[EventColumn.uptime]! / 10 - startedSeconds,
        kind: row[EventColumn.kind]!,
        code: row[EventColumn.code]!,
        a: row[EventColumn.a]!,
        b: row[EventColumn.b]!,
      };
    })
    .filter((event) => event.afterSeconds >= -1)
    .sort((one, other) => one.afterSeconds - other.afterSeconds);
}
