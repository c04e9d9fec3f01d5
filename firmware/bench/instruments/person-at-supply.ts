/*
 * A person who sets a supply by its knob: looks at the display now and then, walks over after a while, and sets what it says as well as a
 * hand can. A fault keeps them away. Drives the tank's supply in baths whose supply is set by hand.
 */
import type { SeededNoise } from '../seeded-noise.js';
import { TimedProcess } from '../world-clock.js';

const LOOK_SECONDS = 5;
/** From reading a new line to the knob being there: 5 to 40 s. */
const SETTING_SECONDS_MIN = 5;
const SETTING_SECONDS_MORE = 35;
/** Standard deviation of where the hand ends, as a fraction. */
const HAND_FRACTION = 0.004;

export class PersonAtSupply extends TimedProcess {
  isThere = true;
  #seenAmps = 0;
  #setsAtSeconds = Infinity;

  constructor(
    readonly shownText: () => string,
    readonly setAmps: (amps: number, nowSeconds: number) => void,
    readonly noise: SeededNoise,
  ) {
    super();
    this.dueAtSeconds = LOOK_SECONDS;
  }

  act(nowSeconds: number): void {
    this.dueAtSeconds = nowSeconds + LOOK_SECONDS;
    if (!this.isThere) return;
    const shown = /^SET (\d+\.\d) A$/.exec(this.shownText());
    // A line that is being written, or a dark display, says nothing.
    if (shown === null) return;
    const amps = Number(shown[1]);
    if (amps !== this.#seenAmps) {
      this.#seenAmps = amps;
      this.#setsAtSeconds = nowSeconds + SETTING_SECONDS_MIN + SETTING_SECONDS_MORE * this.noise.uniform();
    } else if (nowSeconds >= this.#setsAtSeconds) {
      this.#setsAtSeconds = Infinity;
      this.setAmps(amps * (1 + HAND_FRACTION * this.noise.gaussian()), nowSeconds);
    }
  }
}
