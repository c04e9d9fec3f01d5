/*
 * The board's watchdog: whole seconds, kicked by the program, restarts the board when it runs out.
 * Runs on the bath's clock, also while the program is blocked.
 */
import { TimedProcess } from '../world-clock.js';

export class Watchdog extends TimedProcess {
  /** When the program kicked it last, in whatever boot. */
  kickedAtSeconds = -Infinity;
  /** For who measures how far apart the kicks are. */
  onKick: (nowSeconds: number) => void = () => undefined;
  #timeoutSeconds = Infinity;

  constructor(readonly onExpiry: () => void) {
    super();
  }

  enable(timeoutSeconds: number, nowSeconds: number): void {
    this.#timeoutSeconds = Math.max(1, Math.round(timeoutSeconds));
    this.kick(nowSeconds);
  }

  kick(nowSeconds: number): void {
    this.kickedAtSeconds = nowSeconds;
    this.onKick(nowSeconds);
    this.dueAtSeconds = nowSeconds + this.#timeoutSeconds;
  }

  /** A restart switches it off until the program enables it again. */
  disable(): void {
    this.#timeoutSeconds = Infinity;
    this.dueAtSeconds = Infinity;
  }

  act(): void {
    this.disable();
    this.onExpiry();
  }
}
