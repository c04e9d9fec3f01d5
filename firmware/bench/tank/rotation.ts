/*
 * Motor, shaft and magnet: the pulses that the rotation sensor gives while the part really turns.
 * Driven by the motor's pin and by the faults; tells the sensor's pin. It keeps its angle when it stands still.
 */
import { TimedProcess } from '../world-clock.js';
import type { SeededNoise } from '../seeded-noise.js';

/** The magnet covers the sensor for this part of a turn. */
const MAGNET_FRACTION = 0.05;
/** A reed contact bounces: so many levels more after each edge, so far apart. A usual figure, no source. */
const BOUNCES = 2;
const BOUNCE_SECONDS = 0.001;

export class Rotation extends TimedProcess {
  pulses = 0;
  #isMotorOn = false;
  /** 1 normal, 0 stalled. */
  speedFraction = 1;
  #magnetIsThere = false;
  #bouncesLeft = 0;
  #turnsToEdge: number;
  #turnsPerSecond = 0;
  #sinceSeconds = 0;

  constructor(
    readonly pulsesPerMinute: number,
    readonly jitterFraction: number,
    readonly noise: SeededNoise,
    readonly onSensorLevel: (isHigh: boolean, atSeconds: number) => void,
  ) {
    super();
    this.#turnsToEdge = noise.uniform();
  }

  get isTurning(): boolean {
    return this.#turnsPerSecond > 0;
  }

  setMotorOn(isOn: boolean, nowSeconds: number): void {
    this.#isMotorOn = isOn;
    this.#retime(nowSeconds);
  }

  /** 0: the shaft stands, motor on or not. */
  setSpeedFraction(fraction: number, nowSeconds: number): void {
    this.speedFraction = fraction;
    this.#retime(nowSeconds);
  }

  act(nowSeconds: number): void {
    if (this.#bouncesLeft > 0) {
      this.#bouncesLeft--;
      this.#retime(nowSeconds);
      this.onSensorLevel(this.#bouncesLeft % 2 === 0 ? this.#magnetIsThere : !this.#magnetIsThere, nowSeconds);
      return;
    }
    this.#magnetIsThere = !this.#magnetIsThere;
    const jitter = Math.max(0.5, 1 + this.jitterFraction * this.noise.gaussian());
    this.#turnsToEdge = this.#magnetIsThere ? MAGNET_FRACTION : (1 - MAGNET_FRACTION) * jitter;
    this.#sinceSeconds = nowSeconds;
    this.#bouncesLeft = BOUNCES;
    this.#retime(nowSeconds);
    if (this.#magnetIsThere) this.pulses++;
    this.onSensorLevel(this.#magnetIsThere, nowSeconds);
  }

  #retime(nowSeconds: number): void {
    this.#turnsToEdge = Math.max(0, this.#turnsToEdge - (nowSeconds - this.#sinceSeconds) * this.#turnsPerSecond);
    this.#sinceSeconds = nowSeconds;
    this.#turnsPerSecond = this.#isMotorOn ? (this.pulsesPerMinute / 60) * this.speedFraction : 0;
    if (this.#bouncesLeft > 0) this.dueAtSeconds = nowSeconds + BOUNCE_SECONDS;
    else
      this.dueAtSeconds = this.#turnsPerSecond > 0 ? nowSeconds + this.#turnsToEdge / this.#turnsPerSecond : Infinity;
  }
}
