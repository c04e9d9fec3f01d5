/* Live messages of a sound minute of plating, for the tests of the drift watch: 20 A, 3 V, 24 °C, six turns a minute, muttering by a seed. It judges nothing. */
import { SeededNoise } from '@bathkeeper/firmware/bench';
import { Phase, SupplyKind } from '@bathkeeper/shared-core/control';
import type { LiveView } from '@bathkeeper/shared-core/messages';
import {
  type BathDrift,
  bathDrift,
  type DriftFinding,
  type DriftPlan,
  findingsInDrift,
} from '@bathkeeper/shared-core/watch';

export const PERMITTED_AMPS = 20;
export const START_MS = 1_767_225_600_000;
export const plan: DriftPlan = {
  runNumber: 1,
  bathWarnCelsius: 30,
  bathColdCelsius: 18,
  terminalVoltsMax: 8,
  plannedFinishAtMs: null,
};

/** What a second is like: the fields given take the place of the sound ones. */
export type Second = Partial<
  Pick<LiveView, 'phase' | 'permittedAmps' | 'isContactorClosed' | 'rampState' | 'supplyKind'>
> & {
  readonly amps?: number;
  readonly volts?: number;
  readonly celsius?: number;
  readonly turnSeconds?: number;
};

export class Plating {
  seconds = 0;
  readonly findings: (DriftFinding & { readonly atSeconds: number })[] = [];
  readonly #noise: SeededNoise;

  constructor(
    public drift: BathDrift = bathDrift(1),
    seed = 1,
    public plan_: DriftPlan = plan,
  ) {
    this.#noise = new SeededNoise(seed, 'plating');
  }

  get nowMs(): number {
    return START_MS + this.seconds * 1000;
  }

  live(second: Second = {}): LiveView {
    const { amps = PERMITTED_AMPS, volts = 3, celsius = 24, turnSeconds = 10, ...rest } = second;
    const mutter = (size: number): number => size * this.#noise.gaussian();
    return {
      ...{ takenAtMs: this.nowMs, phase: Phase.plate, phaseSeconds: this.seconds, liveSeconds: this.seconds },
      cathodeCurrentAmps: Math.round((amps + mutter(0.02)) * 100) / 100,
      terminalVolts: Math.round((volts + mutter(0.003)) * 1000) / 1000,
      bathTemperatureCelsius: Math.round((celsius + mutter(0.05)) * 16) / 16,
      ...{ permittedAmps: PERMITTED_AMPS, chargeAmpereHours: 1, rotationPulsesPerMinute: 60 / turnSeconds },
      secondsSinceRotationPulse: Math.floor(this.seconds % turnSeconds),
      ...{ derateFraction: 1, isContactorClosed: true, conditions: [], supplyKind: SupplyKind.scpi, rampState: 0 },
      ...{ loweredToAmps: null, permissivesMissing: [] },
      ...rest,
    };
  }

  /** So many seconds; each is what `of` says of it, from 0 on. Answers what was found in them. */
  play(seconds: number, of: (second: number) => Second = () => ({})): readonly DriftFinding[] {
    const before = this.findings.length;
    for (let second = 0; second < seconds; second++) {
      this.seconds++;
      for (const finding of findingsInDrift(this.drift, this.live(of(second)), this.plan_, this.nowMs))
        this.findings.push({ ...finding, atSeconds: this.seconds });
    }
    return this.findings.slice(before);
  }
}
