/*
 * What must hold in every night, whatever breaks. Watches while the night is played, in what the bath really does, and judges at its end,
 * with what the controller told. Each problem is a sentence. Called by the player of a night.
 */
import { type ContactorMovement, type FaultName, Pin, type StandInDashboard } from '@bathkeeper/firmware/bench';
import { Condition, EventKind, isLive, Phase } from '@bathkeeper/shared-core/control';
import { conditionName, phaseName } from '../code-names.js';
import { nightTime } from '../night-summary.js';
import { isHigh, type Look } from './look.js';
import type { PlannedNight } from './random-night.js';
import type { Timeline } from './timeline.js';
import { witnesses } from './witnesses.js';

/** 64 averages of 1.1 ms + 1.1 ms (INA226 data sheet, SBOS547); one that is under way when the current rises does not count. */
const CONVERSION_SECONDS = 64 * 0.0022;
const CONTACTOR_SECONDS = 0.03;
const EXCESS_SECONDS = 2 * CONVERSION_SECONDS + CONTACTOR_SECONDS + 0.01;
/** The one-shot's 20 s, the contactor, and slack. */
const STOPPED_SECONDS = 25;
/** A press lasts half a second, and the supervisor waits for it and for the feedback. */
const PRESS_SECONDS = 2;

interface Owed {
  readonly what: string;
  readonly conditions: readonly Condition[];
  readonly fromSeconds: number;
  readonly bySeconds: number;
}

export class Invariants {
  readonly problems: string[] = [];
  readonly owed: Owed[] = [];
  readonly #since = new Map<string, number>();
  #currentStoppedProblem = false;
  #secondMeansLateSince = NaN;
  /** What live messages told in all, each run from its own beginning. */
  #liveCoulombs = 0;
  #liveMilliCoulombsBefore = 0;

  constructor(
    readonly night: PlannedNight,
    readonly pressed: readonly { button: string; atSeconds: number }[],
  ) {}

  /** Once a second. */
  watch(look: Look): void {
    for (const witness of witnesses)
      this.#hear(witness.name, witness.conditions, witness.afterSeconds, witness.isSo(look), look);
    const { chain, tank, watchdog } = look.bath.parts;
    if (look.live !== undefined) {
      const { chargeMilliCoulombs } = look.live;
      this.#liveCoulombs += Math.max(0, chargeMilliCoulombs - this.#liveMilliCoulombsBefore) / 1000;
      this.#liveMilliCoulombsBefore = chargeMilliCoulombs;
    }

    const quietSeconds = look.nowSeconds - watchdog.kickedAtSeconds;
    // Welded contacts are past the one-shot: there the restart of the board takes the supply's enable away.
    const mostSeconds = this.#has('contactor-welds') ? STOPPED_SECONDS + 20 : STOPPED_SECONDS;
    if (quietSeconds > mostSeconds && tank.currentAmps > 0.05 && !this.#currentStoppedProblem) {
      this.#currentStoppedProblem = true;
      this.#say(
        look.nowSeconds,
        `${tank.currentAmps.toFixed(2)} A flow ${quietSeconds.toFixed(0)} s after the last control step`,
      );
    }
    const isWelded = look.isWatched && !look.isFed && chain.isContactorClosed && chain.feedbackIsClosed;
    if (!isWelded || !isHigh(look, Pin.secondMeans)) this.#secondMeansLateSince = NaN;
    else if (Number.isNaN(this.#secondMeansLateSince)) this.#secondMeansLateSince = look.nowSeconds;
    else if (look.nowSeconds - this.#secondMeansLateSince > 7) {
      this.#say(look.nowSeconds, 'the contactor stays closed and the second means was not opened within 7 s');
      this.#secondMeansLateSince = Infinity;
    }
  }

  /** At the end, when all that waited has come. */
  judge(look: Look, told: Timeline, standIn: StandInDashboard): void {
    const { bath } = look;
    const { longestAbove } = bath.parts.tank;
    const excessMost = this.#excessSecondsMax();
    if (longestAbove.seconds > excessMost) {
      this.#say(
        longestAbove.sinceSeconds,
        `the current was above the run's limit for ${longestAbove.seconds.toFixed(3)} s, at most ${excessMost.toFixed(3)} s are allowed`,
      );
    }
    this.#judgeContactor(bath.contactorLog, told);
    this.#judgeTakenAway(bath.takenAwayLog, bath.contactorLog);
    this.#judgeOwed(told);
    this.#judgeBooks(look, standIn);
    this.#judgeCharge(look, standIn);
    this.#judgeLastWord(look, told);
    if (bath.exceptionCount > 0) this.problems.push(`The program threw ${String(bath.exceptionCount)} exceptions.`);
    for (const complaint of standIn.complaints.slice(0, 3)) this.problems.push(`The peer complains: ${complaint}.`);
    if (this.night.faults.length === 0) this.#judgeQuiet(told);
  }

  #hear(name: string, conditions: readonly Condition[], afterSeconds: number, isSo: boolean, look: Look): void {
    const since = this.#since.get(name);
    if (!isSo) this.#since.delete(name);
    else if (since === undefined) this.#since.set(name, look.nowSeconds);
    else if (since < Infinity && look.nowSeconds - since >= afterSeconds) {
      this.owed.push({ what: name, conditions, fromSeconds: since, bySeconds: look.nowSeconds });
      this.#since.set(name, Infinity);
    }
  }

  #judgeContactor(log: readonly ContactorMovement[], told: Timeline): void {
    for (const { atSeconds } of log.filter((movement) => movement.isClosed)) {
      if (!this.#wasPressed('start', atSeconds)) this.#say(atSeconds, 'the contactor closed without a press of start');
    }
    for (const { kind, code, a, atSeconds } of told.events) {
      if (kind !== EventKind.phaseEntered || a !== Phase.hold || !isLive(code as Phase) || code === Phase.finish)
        continue;
      if (!this.#wasPressed('start', atSeconds))
        this.#say(atSeconds, `a hold was left for ${phaseName(code)} without a press of start`);
    }
    for (const { because, atSeconds, isClosed } of log) {
      const causes = isClosed ? undefined : openings.find(([text]) => because.startsWith(text));
      if (causes === undefined) continue;
      this.owed.push({
        what: `the contactor opened: ${because}`,
        conditions: causes[1],
        fromSeconds: atSeconds - 2,
        bySeconds: atSeconds + causes[2],
      });
    }
  }

  #judgeTakenAway(takenAway: readonly { atSeconds: number }[], log: readonly ContactorMovement[]): void {
    for (const { atSeconds } of takenAway) {
      const before = log.filter((movement) => movement.atSeconds <= atSeconds).at(-1);
      if (before?.isClosed !== true || this.#has('contactor-welds')) continue;
      const opened = log.find((movement) => !movement.isClosed && movement.atSeconds > atSeconds);
      if (
        opened === undefined
          ? this.night.hours * 3600 - atSeconds > STOPPED_SECONDS
          : opened.atSeconds - atSeconds > STOPPED_SECONDS
      )
        this.#say(
          atSeconds,
          `a callback was taken away and the contactor did not open within ${String(STOPPED_SECONDS)} s`,
        );
    }
  }

  #judgeOwed(told: Timeline): void {
    for (const { what, conditions, fromSeconds, bySeconds } of this.owed) {
      const isTold = told.standings.some(
        (standing) =>
          conditions.includes(standing.condition as Condition) &&
          standing.fromSeconds <= bySeconds + 1.5 &&
          standing.toSeconds >= fromSeconds - 1.5,
      );
      if (!isTold)
        this.#say(
          fromSeconds,
          `${what}, and none of ${conditions.map(conditionName).join(', ')} was told by ${nightTime(bySeconds)}`,
        );
    }
  }

  #judgeBooks(look: Look, standIn: StandInDashboard): void {
    for (const [incarnation, ledger] of standIn.ledgers) {
      const { records, eventCount } = ledger;
      const lost = records.missing + eventCount.missing;
      const doubled = records.overlapped + eventCount.overlapped;
      if (lost + doubled > 0 && !this.#has('memory-silent'))
        this.problems.push(
          `Books of ${String(incarnation)}: ${String(records.missing)} records and ${String(eventCount.missing)} events lost, ${String(doubled)} doubled.`,
        );
    }
    if (standIn.ledgers.size > 1 && !this.#has('memory-silent'))
      this.problems.push(`The memory was taken for a new one: ${String(standIn.ledgers.size)} incarnations.`);
    if (look.live === undefined || (standIn.live?.recordsWaiting ?? 99) >= 10)
      this.problems.push('The outbox was not empty twenty minutes after the end.');
  }

  #judgeCharge(look: Look, standIn: StandInDashboard): void {
    if (['shunt-lead-loose', 'leads-reversed'].some((name) => this.#has(name as FaultName))) return;
    const { bath } = look;
    const { tank } = bath.parts;
    // What a power cut may cost, what flows while nobody looks, and the first second of a silent monitor's trip.
    const cuts = bath.bootLog.length - 1;
    const blindSeconds = cuts * 60 + bath.takenAwayLog.length * 21 + 4 * this.night.faults.length;
    const allowed = 0.005 * tank.chargeCoulombs + 5 + blindSeconds * this.night.plateAmps * 1.7;
    // The live message is ahead of the records: where memory wears those are a minute apart.
    let accounted = 0;
    for (const ledger of standIn.ledgers.values()) accounted += Math.max(0, ...ledger.chargeOfRun.values()) / 1000;
    if (standIn.ledgers.size <= 1) accounted = Math.max(accounted, (standIn.live?.chargeMilliCoulombs ?? 0) / 1000);
    // Where the memory was silent when the board restarted, only what was told live is left of what waited for it.
    if (this.#has('memory-silent') && cuts > 0) accounted = Math.max(accounted, this.#liveCoulombs);
    if (Math.abs(accounted - tank.chargeCoulombs) > allowed)
      this.problems.push(
        `Charge: ${accounted.toFixed(0)} C accounted, ${tank.chargeCoulombs.toFixed(0)} C flowed, at most ${allowed.toFixed(0)} C apart are allowed.`,
      );
  }

  /** A night that did not finish says why: what ended it is the last thing told of its phase. */
  #judgeLastWord(look: Look, told: Timeline): void {
    const ended = told.events.filter((event) => event.kind === EventKind.phaseEntered).at(-1);
    const phase = look.live?.phase ?? ended?.code;
    const stands = (conditions: readonly number[]): boolean =>
      told.standings.some(
        (standing) =>
          standing.toSeconds > look.nowSeconds - 60 &&
          (conditions.length === 0 || conditions.includes(standing.condition)),
      );
    if (phase === Phase.done && !told.events.some((event) => event.kind === EventKind.runEnded))
      this.problems.push('It is done, and no event says what ended the run.');
    if (phase === Phase.trip && !stands([]))
      this.problems.push('It has tripped, and no condition stands that says why.');
    if (phase === Phase.hold) {
      const held = told.events
        .filter((event) => event.kind === EventKind.phaseEntered && event.code === Phase.hold)
        .at(-1);
      const cause = told.standings.some(
        (standing) =>
          held !== undefined &&
          standing.fromSeconds <= held.atSeconds + 1.5 &&
          standing.toSeconds >= held.atSeconds - 1.5,
      );
      if (!cause) this.problems.push('It holds, and no condition says why.');
    }
    if (phase === undefined) this.problems.push('Nothing was ever told.');
  }

  /** Without a fault nothing worse than a note is told, but for the end of the run. */
  #judgeQuiet(told: Timeline): void {
    const expected: readonly number[] = [
      ...[Condition.chargeReached, Condition.longestRun, Condition.rampWaiting, Condition.notAcknowledged],
      ...(this.night.supplyKind === 'by-hand' ? [Condition.currentOutsideBand] : []),
    ];
    for (const { condition, fromSeconds } of told.standings)
      if (!expected.includes(condition))
        this.#say(fromSeconds, `${conditionName(condition)} was told though nothing was wrong`);
  }

  #excessSecondsMax(): number {
    const blind = this.#has('shunt-lead-loose') || this.#has('leads-reversed');
    if (blind) return Infinity;
    // Who is to open the contactor then: the second means, the program after a stalled dial, the program.
    if (this.#has('contactor-welds')) return 5.5;
    if (this.#has('latch-stuck')) return this.#has('host-vanish') ? 21 : 3;
    if (this.night.faults.some(({ name }) => name.startsWith('monitor-'))) return 2.5;
    return EXCESS_SECONDS;
  }

  #wasPressed(button: string, atSeconds: number): boolean {
    return this.pressed.some(
      (press) =>
        press.button === button && press.atSeconds <= atSeconds + 0.5 && press.atSeconds >= atSeconds - PRESS_SECONDS,
    );
  }

  #has(name: FaultName): boolean {
    return this.night.faults.some((fault) => fault.name === name);
  }

  #say(atSeconds: number, what: string): void {
    this.problems.push(`${nightTime(atSeconds)} ${what}.`);
  }
}

/** Why a contactor opens by itself, what then must be told, and how soon. */
const openings: readonly (readonly [string, readonly Condition[], number])[] = [
  ['emergency stop', [Condition.emergencyStop, Condition.contactorDropped, Condition.restartedInRun], 30],
  [
    'alert latch:',
    [Condition.alertLatch, Condition.contactorDropped, Condition.currentVeryHigh, Condition.restartedInRun],
    30,
  ],
  ['24 V dipped', [Condition.contactorDropped, Condition.contactorContradicts, Condition.restartedInRun], 30],
  ['one-shot ran out', [Condition.restartedInRun, Condition.contactorDropped, Condition.contactorContradicts], 60],
  ['board restarted', [Condition.restartedInRun], 60],
];
