/*
 * Plays one night of the campaign, firmware and bath with the stand-in dashboard, and judges it. Called by the campaign's workers, by its
 * replay and by its test. Nothing waits for real time; the same plan gives the same night.
 */
import { type BenchSupplyKind, RealmPool, StandInDashboard, VirtualBath } from '@bathkeeper/firmware/bench';
import { EventKind } from '@bathkeeper/shared-core/control';
import { conditionName, phaseName } from '../code-names.js';
import { nightTime } from '../night-summary.js';
import { Invariants } from './invariants.js';
import { Looker } from './look.js';
import { Person } from './person.js';
import { type PlannedNight, plannedNight } from './random-night.js';
import { type Timeline, timeline, TimelineNotes } from './timeline.js';

/** Text of the bundle for each kind of supply. */
export type Bundles = Readonly<Record<BenchSupplyKind, string>>;

export interface NightAsked {
  readonly seed: number;
  readonly hoursMin: number;
  readonly hoursMax: number;
}

export interface Verdict {
  readonly seed: number;
  readonly hours: number;
  readonly faults: readonly string[];
  readonly ended: string;
  readonly problems: readonly string[];
  /** What the bath made due, by the witness that saw it, and how many conditions were told in all. */
  readonly owed: readonly string[];
  readonly told: number;
  readonly boots: number;
}

const SIGN_OF_LIFE_SECONDS = 5;
/** After a dial that stalled the controller waits for up to fifteen minutes. */
const DRAIN_SECONDS_MAX = 1200;
const RECORDS_UNDER_WAY = 8;

/** One night after the other in this thread, each in a realm that an older one may have warmed up. */
const realms = new RealmPool();

/** `account` is given every line of what happened, for a replay. */
export function playNight(asked: NightAsked, bundles: Bundles, account?: (line: string) => void): Verdict {
  const night = plannedNight(asked.seed, asked.hoursMin, asked.hoursMax);
  const standIn = new StandInDashboard(night.settings);
  const bath = new VirtualBath({
    bundle: bundles[night.supplyKind],
    seed: night.seed,
    settings: night.settings,
    tank: night.tank,
    faults: night.faults,
    network: standIn,
    hasMemory: night.memory === 'FRAM',
    supplyKind: night.supplyKind,
    realms,
  });
  // The run's limit as the recipe has it, and what of the measuring chain's error is above it.
  bath.parts.tank.watchedAmps = Math.min(night.settings.rig.currentAmpsMax, 1.2 * night.plateAmps) * 1.02;
  const person = new Person(night);
  const notes = new TimelineNotes();
  const looker = new Looker(night, bath, standIn);
  const invariants = new Invariants(night, bath.pressLog);

  const second = (number: number): void => {
    if (number % SIGN_OF_LIFE_SECONDS === 0 && bath.deliverSignOfLife(standIn.signOfLife(bath.nightSeconds)))
      looker.signOfLifeAtSeconds = bath.nightSeconds;
    bath.advance(1);
    notes.note(bath, standIn);
    invariants.watch(looker.look());
  };
  const seconds = night.hours * 3600;
  for (let passed = 0; passed < seconds; passed++) {
    second(passed);
    person.act(bath, standIn);
  }
  // What was switched off comes back, so that what waits can come too.
  bath.setNetworkTrouble('none');
  bath.parts.memory.isAnswering = true;
  const hasDrained = (): boolean =>
    looker.look().live !== undefined && (standIn.live?.recordsWaiting ?? 99) < RECORDS_UNDER_WAY;
  for (let passed = 0; passed < DRAIN_SECONDS_MAX && (passed < 60 || !hasDrained()); passed++) second(passed);

  const told = timeline(bath, standIn, notes);
  invariants.judge(looker.look(), told, standIn);
  const verdict: Verdict = {
    seed: night.seed,
    hours: night.hours,
    faults: night.faults.map(
      (fault) =>
        `${fault.name}@${nightTime(fault.atSeconds)}${fault.durationSeconds === undefined ? '' : `+${String(fault.durationSeconds)}s`}`,
    ),
    ended: phaseName(standIn.live?.phase),
    problems: invariants.problems,
    owed: invariants.owed.map(({ what }) => what),
    told: told.standings.length,
    boots: bath.bootLog.length,
  };
  if (account !== undefined) for (const line of accountOf(night, bath, told, verdict)) account(line);
  bath.switchOff();
  return verdict;
}

/** Everything that happened, in order of time, and what was found. */
function accountOf(night: PlannedNight, bath: VirtualBath, told: Timeline, verdict: Verdict): string[] {
  const { truth } = bath;
  const lines: { atSeconds: number; text: string }[] = [
    ...bath.faultLog.map(({ name, atSeconds }) => ({ atSeconds, text: `FAULT      ${name}` })),
    ...bath.takenAwayLog.map(({ count, atSeconds }) => ({ atSeconds, text: `TAKEN AWAY ${String(count)} callbacks` })),
    ...bath.bootLog.map(({ because, atSeconds }) => ({ atSeconds, text: `boot       ${because}` })),
    ...bath.pressLog.map(({ button, atSeconds }) => ({ atSeconds, text: `press      ${button}` })),
    ...bath.contactorLog.map(({ isClosed, because, atSeconds }) => ({
      atSeconds,
      text: `contactor  ${isClosed ? 'closed' : 'opened'}: ${because}`,
    })),
    ...told.events.map((event) => ({ atSeconds: event.atSeconds, text: `told       ${eventWords(event)}` })),
  ];
  lines.sort((one, other) => one.atSeconds - other.atSeconds);
  return [
    `Night ${String(night.seed)}: ${String(night.hours)} h, supply ${night.supplyKind}, memory ${night.memory}, plate ${String(night.plateAmps)} A, ` +
      `recipe ${JSON.stringify(night.recipeRow)}`,
    ...lines.map(
      ({ atSeconds, text }) => `${nightTime(atSeconds)}.${String(Math.floor((atSeconds % 1) * 10))}  ${text}`,
    ),
    `Ended ${verdict.ended}: ${truth.currentAmps.toFixed(2)} A, ${truth.terminalVolts.toFixed(2)} V, ${truth.bathCelsius.toFixed(1)} C, ` +
      `${(truth.chargeMilliCoulombs / 3.6e6).toFixed(3)} Ah, at most ${truth.largestCurrentAmps.toFixed(2)} A`,
    `Console:\n${bath.consoleText.slice(-3000)}`,
    ...(verdict.problems.length === 0 ? ['No problem.'] : verdict.problems.map((problem) => `PROBLEM ${problem}`)),
  ];
}

const kindNames = new Map<number, string>(Object.entries(EventKind).map(([name, kind]) => [kind, name]));

function eventWords({ kind, code, a, b }: { kind: number; code: number; a: number; b: number }): string {
  const name = kindNames.get(kind) ?? String(kind);
  const isCondition = [
    EventKind.conditionRaised,
    EventKind.conditionCleared,
    EventKind.runEnded,
    EventKind.secondMeansOpened,
  ];
  if (isCondition.some((one) => one === kind)) return `${name} ${conditionName(code)} ${String(a)} ${String(b)}`;
  if (kind === EventKind.phaseEntered) return `${name} ${phaseName(code)} from ${phaseName(a)}, ${String(b)} C`;
  return `${name} ${String(code)} ${String(a)} ${String(b)}`;
}
