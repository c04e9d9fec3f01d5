/*
 * Plays one night of the watch's campaign and judges the whole way from what the controller says to the call: what called though nothing was wrong, and
 * how long after a fault began it was noticed. Called by the campaign's threads and by the tests. The same seed gives the same verdict for ever.
 */
import { Command, Phase } from '@bathkeeper/shared-core/control';
import { LiveNight } from './live-night.js';
import { type NightKind, randomWatchNight, type WatchNight } from './random-watch-night.js';
import { drawnFault, FaultPlayer, fitted, type WatchFault } from './watch-faults.js';
import { type RaisedAlarm, WatchedBath } from './watched-bath.js';

export interface WatchAsked {
  readonly seed: number;
  readonly kind: NightKind;
  readonly fault: WatchFault;
}

export interface WatchVerdict extends WatchAsked {
  readonly hours: number;
  /** What called although nothing was wrong (before the fault began, if there was one), in words. */
  readonly falseCalls: readonly string[];
  /** What was shown, and called nobody, although nothing was wrong. */
  readonly falseLooks: readonly string[];
  /** From the beginning of the fault to the first alarm that fits it, shown or calling, and to the first that calls; null: never, or no fault. */
  readonly noticedAfterSeconds: number | null;
  readonly calledAfterSeconds: number | null;
  /** From that call to the bath at its limit (fault `bath-warms` only). */
  readonly beforeLimitSeconds: number | null;
  /** It was no clean night: why. Then nothing is judged. */
  readonly isUnfit: string | null;
}

/** Which alarms tell of a fault. The controller's own count: it is the person who has to know, by whatever way. */
const fitting: Readonly<Record<WatchFault, readonly string[]>> = {
  none: [],
  'current-drift': ['current-drifting', 'current-off-permitted'],
  'clip-loosens': ['cell-resistance-drifting', 'contact-weak'],
  'clip-goes-on': ['cell-resistance-drifting', 'contact-weak'],
  'bath-warms': ['temperature-drifting', 'bath-will-overheat', 'bath-temperature-out-of-band'],
  stall: ['rotation-stalled'],
};
/** Played on after a fault began for so long at most. */
const FAULT_SECONDS = 6000;
/** So long after it began the dashboard has to be there for a fault that is to be told in minutes. */
const SOON_SECONDS = 600;
/** The dashboard ticks each second; silence needs no finer here. */
const TICK_SECONDS = 5;
const CLEAN_KELVIN = 0.3;
const BATH_COLD_CELSIUS = 18;
/** The virtual supply's ceiling, almost. */
const CEILING_SHARE = 0.98;

export function playWatchNight(asked: WatchAsked): WatchVerdict {
  const drawn = randomWatchNight(asked.seed, asked.kind);
  const begun = drawnFault(asked.fault, drawn);
  const plan = fitted(drawn, begun);
  const night = new LiveNight(plan);
  const player = new FaultPlayer(night, plan, begun);
  const bath = new WatchedBath(plan.recipe, night.limits, plan.seconds);
  const { tank } = night.parts;
  const asksOfPerson = new PersonAndHouse(plan);
  let limitAtSeconds: number | null = null;
  let isUnfit: string | null = null;
  while (night.seconds < plan.seconds && !night.isOver) {
    asksOfPerson.act(night, bath);
    player.bend();
    const live = night.second();
    const { seconds } = night;
    if (!asksOfPerson.isDown(seconds)) {
      if (!asksOfPerson.isUnheard(seconds)) bath.hear(live, night.events, seconds);
      if (seconds % TICK_SECONDS === 0) bath.tick(seconds);
    }
    const sinceFault = seconds - player.beganAtSeconds;
    // What happens while the dashboard is down only somebody outside can notice: that is what the outward heartbeat is for.
    if (sinceFault >= 0 && sinceFault <= SOON_SECONDS && asksOfPerson.isDown(seconds))
      isUnfit ??= 'the dashboard was down when it happened';
    if (sinceFault >= 0) {
      if (tank.bathCelsius >= plan.recipe.bathWarnCelsius) limitAtSeconds ??= seconds;
      if (sinceFault >= FAULT_SECONDS) break;
      const isCalled = bath.raised.some((alarm) => alarm.isCall && isOf(asked.fault, alarm, player.beganAtSeconds));
      if (isCalled && (asked.fault !== 'bath-warms' || limitAtSeconds !== null)) break;
    } else if (night.state.phase === Phase.plate) isUnfit ??= unfitness(night, plan);
  }
  const { beganAtSeconds } = player;
  const before = bath.raised.filter(
    ({ atSeconds, name }) => atSeconds < beganAtSeconds && !asksOfPerson.explains(name, atSeconds),
  );
  const words = (alarms: readonly RaisedAlarm[]): string[] =>
    alarms.map(({ name, atSeconds, detail }) => `${String(atSeconds)} s ${name}: ${detail}`);
  const fits = bath.raised.filter((alarm) => isOf(asked.fault, alarm, beganAtSeconds));
  const noticed = fits[0]?.atSeconds;
  const called = fits.find(({ isCall }) => isCall)?.atSeconds;
  if (asked.fault !== 'none' && beganAtSeconds === Infinity) isUnfit ??= 'the fault never began';
  return {
    ...asked,
    hours: night.seconds / 3600,
    falseCalls: words(before.filter(({ isCall }) => isCall)),
    falseLooks: words(before.filter(({ isCall }) => !isCall)),
    noticedAfterSeconds: noticed === undefined ? null : noticed - beganAtSeconds,
    calledAfterSeconds: called === undefined ? null : called - beganAtSeconds,
    beforeLimitSeconds: called === undefined || limitAtSeconds === null ? null : limitAtSeconds - called,
    isUnfit,
  };
}

function isOf(fault: WatchFault, { name, atSeconds }: RaisedAlarm, beganAtSeconds: number): boolean {
  return atSeconds >= beganAtSeconds && fitting[fault].includes(name);
}

/** A night that something is really wrong with says nothing of false calls. */
function unfitness({ parts }: LiveNight, { recipe }: WatchNight): string | null {
  const { tank } = parts;
  if (tank.bathCelsius > recipe.bathWarnCelsius - CLEAN_KELVIN) return 'the bath really reached its limit';
  if (tank.bathCelsius < BATH_COLD_CELSIUS + CLEAN_KELVIN) return 'the bath really became cold';
  return tank.terminalVolts > CEILING_SHARE * tank.supply.highestVolts ? 'the supply really was at its ceiling' : null;
}

/** What is asked from the page and pressed at the bath, and when the link or the dashboard is away. */
class PersonAndHouse {
  readonly #plan: WatchNight;
  #resumeAtSeconds = Infinity;

  constructor(plan: WatchNight) {
    this.#plan = plan;
  }

  act(night: LiveNight, bath: WatchedBath): void {
    for (const doing of this.#plan.doings) {
      if (doing.what === 'dashboard-restart' && doing.atSeconds + doing.seconds === night.seconds) bath.restart();
      if (doing.atSeconds !== night.seconds) continue;
      if (doing.what === 'lower') {
        night.command = Command.lower;
        night.lowerToAmps = doing.fraction * this.#plan.recipe.plateAmps;
      } else if (doing.what === 'hold') {
        night.command = Command.hold;
        this.#resumeAtSeconds = night.seconds + doing.seconds;
      }
    }
    if (night.seconds === this.#resumeAtSeconds) night.isStartPressed = true;
  }

  isDown(seconds: number): boolean {
    return this.#isWithin('dashboard-restart', seconds);
  }

  isUnheard(seconds: number): boolean {
    return this.#isWithin('unheard', seconds);
  }

  /** A hold that was asked, and a silence that was one, are no false calls. */
  explains(name: string, atSeconds: number): boolean {
    if (name === 'held' || name === 'held-for-long') return this.#isWithin('hold', atSeconds, 30);
    return name === 'controller-silent' && (this.#isWithin('unheard', atSeconds, 30) || this.isDown(atSeconds - 30));
  }

  #isWithin(what: 'hold' | 'unheard' | 'dashboard-restart', seconds: number, andSeconds = 0): boolean {
    return this.#plan.doings.some(
      (doing) =>
        doing.what === what && seconds >= doing.atSeconds && seconds < doing.atSeconds + doing.seconds + andSeconds,
    );
  }
}
