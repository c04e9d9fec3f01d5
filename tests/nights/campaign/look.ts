/*
 * One second of a night as it really is, for the witnesses: everything from the bath's own parts. From the controller only its phase is
 * taken, to know which conditions are due at all. Made by the player of a night; it judges nothing.
 */
import { type LiveGlimpse, type Pin, type StandInDashboard, type VirtualBath } from '@bathkeeper/firmware/bench';
import { Phase } from '@bathkeeper/shared-core/control';
import type { PlannedNight } from './random-night.js';

export interface Look {
  readonly nowSeconds: number;
  readonly night: PlannedNight;
  readonly bath: VirtualBath;
  readonly live: LiveGlimpse | undefined;
  /** Control steps happen: the watchdog was kicked just now. */
  readonly isWatched: boolean;
  /** The coil of the contactor has current. */
  readonly isFed: boolean;
  /** Both, and so since a moment ago: what is wrong now is due to be told. */
  readonly isLive: boolean;
  readonly monitorIsGood: boolean;
  readonly probeIsGood: boolean;
  /** Seconds for which the phase has been plate with an unchanged set-point. */
  readonly plateSeconds: number;
  /** What the supply was asked for, by its own converter or line; undefined by hand. */
  readonly askedAmps: number | undefined;
  /** For how long it has been that. */
  readonly askedSeconds: number;
  readonly pulseAgeSeconds: number;
  /** Since the last sign of life that could arrive. */
  readonly unseenSeconds: number;
  /** Terminal voltage, five minutes ago; 0 when it was not plating undisturbed since then. */
  readonly voltsFiveMinutesAgo: number;
}

/** Five minutes and some, so that the controller's own sample of then is surely older. */
const VOLTS_SECONDS = 320;

/** Looks once a second and remembers what one look alone cannot tell. */
export class Looker {
  signOfLifeAtSeconds = 0;
  #liveSince = NaN;
  #plateSince = NaN;
  #asked = 0;
  #askedSince = 0;
  #pulses = 0;
  #pulseAt = 0;
  /** One a second, the oldest overwritten. */
  readonly #volts = new Float64Array(VOLTS_SECONDS);
  #voltsKept = 0;
  #liveUptime = -1;
  #liveHeardAt = -Infinity;

  constructor(
    readonly night: PlannedNight,
    readonly bath: VirtualBath,
    readonly standIn: StandInDashboard,
  ) {}

  look(): Look {
    const { bath, night } = this;
    const { chain, converter, monitor, probe, rotation, scpi, tank, watchdog } = bath.parts;
    const nowSeconds = bath.nightSeconds;
    const heard = this.standIn.live;
    if (heard !== undefined && heard.uptimeSeconds !== this.#liveUptime) {
      this.#liveUptime = heard.uptimeSeconds;
      this.#liveHeardAt = nowSeconds;
    }
    const live = nowSeconds - this.#liveHeardAt < 3 ? heard : undefined;
    const isWatched = bath.isBoardRunning && nowSeconds - watchdog.kickedAtSeconds < 0.5;
    const isFed = chain.coilIsFed;
    if (!(isWatched && isFed)) this.#liveSince = NaN;
    else if (Number.isNaN(this.#liveSince)) this.#liveSince = nowSeconds;
    const askedAmps =
      night.supplyKind === 'analogue' ? converter.code / night.settings.supply.codesPerAmp : scpi?.askedAmps;
    if (Math.abs((askedAmps ?? 0) - this.#asked) > 0.02 * this.#asked + 0.02) {
      this.#asked = askedAmps ?? 0;
      this.#askedSince = nowSeconds;
    }
    if (rotation.pulses !== this.#pulses) {
      this.#pulses = rotation.pulses;
      this.#pulseAt = nowSeconds;
    }
    const isLive = nowSeconds - this.#liveSince >= 1;
    const isPlating = isLive && live?.phase === Phase.plate;
    if (!isPlating || this.#askedSince >= nowSeconds) {
      this.#plateSince = NaN;
      this.#voltsKept = 0;
    } else if (Number.isNaN(this.#plateSince)) this.#plateSince = nowSeconds;
    const voltsAt = this.#voltsKept % VOLTS_SECONDS;
    const voltsFiveMinutesAgo = this.#voltsKept >= VOLTS_SECONDS ? this.#volts[voltsAt]! : 0;
    if (isPlating) {
      this.#volts[voltsAt] = tank.terminalVolts;
      this.#voltsKept++;
    }
    return {
      nowSeconds,
      night,
      bath,
      live,
      isWatched,
      isFed,
      isLive,
      askedAmps,
      monitorIsGood: monitor.isAnswering && !monitor.isFrozen && !monitor.busLeadIsLoose && !monitor.shuntLeadIsLoose,
      probeIsGood: probe.trouble === 'none',
      plateSeconds: Number.isNaN(this.#plateSince) ? 0 : nowSeconds - this.#plateSince,
      askedSeconds: nowSeconds - this.#askedSince,
      pulseAgeSeconds: nowSeconds - this.#pulseAt,
      unseenSeconds: nowSeconds - Math.max(this.signOfLifeAtSeconds, bath.bootLog.at(-1)?.atSeconds ?? 0),
      voltsFiveMinutesAgo,
    };
  }
}

/** A pin that the board reads, or drives, is high. */
export function isHigh(look: Look, pin: (typeof Pin)[keyof typeof Pin]): boolean {
  return look.bath.parts.pins.read(pin);
}
