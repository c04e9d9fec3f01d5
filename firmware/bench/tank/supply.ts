/*
 * The supply of the tank: what current it wants to deliver, where it leaves constant current for constant voltage, and its enable input,
 * which is the second means. Its set-point comes from an analogue input, a serial line or a hand at the knob. Asked by the tank;
 * it knows nothing of the bath.
 */
import type { TankOptions } from './tank-options.js';

/** A supply whose set-point is below this holds no voltage at open terminals. Common practice, no source. */
const IDLE_AMPS = 0.02;

export class Supply {
  setPointAmps = 0;
  /** Its mains relay or enable input: without it nothing comes. */
  isEnabled = false;
  ceilingVolts: number;
  /** Faults: it delivers so many times what it should; it stays at the set-point it has; it limits its voltage at so many times what was set. */
  factor = 1;
  ignoresSetPoint = false;
  ceilingFactor = 1;

  constructor(readonly options: TankOptions) {
    this.ceilingVolts = options.supplyCeilingVolts;
  }

  set(amps: number): void {
    if (!this.ignoresSetPoint) this.setPointAmps = amps;
  }

  /** With the slow wandering of now, as a fraction. */
  wantedAmps(wanderFraction: number): number {
    if (!this.isEnabled) return 0;
    return this.setPointAmps * (1 + this.options.supplyGainErrorFraction + wanderFraction) * this.factor;
  }
  get highestVolts(): number {
    return this.ceilingVolts * this.ceilingFactor;
  }
  /** Where the voltage at open terminals goes: to the ceiling with a set-point, else its bleeder empties it. */
  get openVolts(): number {
    return this.isEnabled && this.setPointAmps > IDLE_AMPS ? this.highestVolts : 0.03;
  }
}
