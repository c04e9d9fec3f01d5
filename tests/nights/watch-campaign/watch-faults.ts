/*
 * What goes wrong in a night of the watch's campaign, each begun at a drawn second of plating and bent a little more with every second. Sizes
 * are those that the watch has to notice in time; they are stated once, here. It judges nothing.
 */
import { SeededNoise } from '@bathkeeper/firmware/bench';
import { Phase, SupplyKind } from '@bathkeeper/shared-core/control';
import type { LiveNight } from './live-night.js';
import type { WatchNight } from './random-watch-night.js';

export type WatchFault = 'none' | 'current-drift' | 'clip-loosens' | 'clip-goes-on' | 'bath-warms' | 'stall';

export interface Begun {
  readonly fault: WatchFault;
  /** Seconds of plating until it begins; at least ten minutes, so that a baseline could be learnt. */
  readonly afterPlatingSeconds: number;
  /** +1 or -1: which way the current goes. */
  readonly sign: number;
  /** Bath warming: how near the clean bath already is to its limit, 0 as it was drawn, 1 as near as can be. */
  readonly nearness: number;
}

/** The bath warms by 1 °C in ten minutes. */
const KELVIN_PER_SECOND = 1 / 600;
/** Nearer to its limit than this, ten minutes before it are over before anything can be told. */
const BELOW_LIMIT_KELVIN = 1.8;

export function drawnFault(fault: WatchFault, night: WatchNight): Begun {
  const noise = new SeededNoise(night.seed, `watch fault ${fault}`);
  const plateSeconds = night.recipe.chargeMilliCoulombs / 1000 / night.recipe.plateAmps;
  const latest = Math.max(700, plateSeconds * 0.85 - 2400);
  return {
    fault,
    afterPlatingSeconds: Math.round(600 + (latest - 600) * noise.uniform()),
    sign: noise.uniform() < 0.5 ? -1 : 1,
    nearness: noise.uniform(),
  };
}

/** A night that this fault can happen in: a drift of the supply that its own slow trim takes away is none, a part that does not turn cannot stall. */
export function fitted(night: WatchNight, begun: Begun): WatchNight {
  const doings = night.doings.filter(({ what }) => what === 'dashboard-restart' || begun.fault === 'none');
  switch (begun.fault) {
    case 'current-drift':
      return {
        ...night,
        doings,
        supplyKind: night.supplyKind === SupplyKind.analogue ? SupplyKind.scpi : night.supplyKind,
      };
    case 'stall':
      return night.recipe.rotationPulsesPerMinute > 0
        ? { ...night, doings }
        : {
            ...night,
            doings,
            recipe: { ...night.recipe, rotationPulsesPerMinute: 6 },
          };
    case 'bath-warms': {
      const lift =
        begun.nearness * Math.max(0, night.recipe.bathWarnCelsius - BELOW_LIMIT_KELVIN - night.hottestCelsius);
      const { roomCelsius = 20, startCelsius = 20 } = night.tank;
      const tank = { ...night.tank, roomCelsius: roomCelsius + lift, startCelsius: startCelsius + lift };
      return { ...night, doings, tank };
    }
    default:
      return { ...night, doings };
  }
}

export class FaultPlayer {
  beganAtSeconds = Infinity;
  #platingSinceSeconds = Infinity;

  constructor(
    readonly night: LiveNight,
    readonly plan: WatchNight,
    readonly begun: Begun,
  ) {}

  /** Before each second. */
  bend(): void {
    const { night, begun } = this;
    if (begun.fault === 'none') return;
    if (night.state.phase === Phase.plate && this.#platingSinceSeconds === Infinity)
      this.#platingSinceSeconds = night.seconds;
    if (night.seconds - this.#platingSinceSeconds < begun.afterPlatingSeconds) return;
    const { tank } = night.parts;
    if (this.beganAtSeconds === Infinity) {
      const belowKelvin = this.plan.recipe.bathWarnCelsius - tank.bathCelsius;
      if (night.state.phase !== Phase.plate) return;
      if (begun.fault === 'bath-warms' && belowKelvin < BELOW_LIMIT_KELVIN) return;
      this.beganAtSeconds = night.seconds;
    }
    const seconds = night.seconds - this.beganAtSeconds;
    switch (begun.fault) {
      case 'current-drift':
        // 5 % within thirty minutes, then it stays.
        tank.changeSupply((supply) => {
          supply.factor = 1 + begun.sign * 0.05 * Math.min(1, seconds / 1800);
        }, night.seconds);
        break;
      case 'clip-loosens':
        // A fifth of its contact is lost: the resistance of leads and clips is divided by 0.8.
        night.contactOhms = tank.options.leadOhms * (1 / 0.8 - 1);
        break;
      case 'clip-goes-on':
        // It goes on losing: twice the resistance of leads and clips in twenty minutes, and on.
        night.contactOhms = (tank.options.leadOhms * seconds) / 600;
        break;
      case 'bath-warms':
        tank.bathCelsius += KELVIN_PER_SECOND;
        break;
      case 'stall':
        night.isMotorBlocked = true;
        break;
    }
  }
}
