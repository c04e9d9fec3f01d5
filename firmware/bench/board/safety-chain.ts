/*
 * What stands between the coil of the contactor and 24 V, as the wiring notes draw it: emergency stop, press-to-close relay that holds
 * itself, alert latch, one-shot. The program only moves the one-shot's two pins; everything else
 * works without it, also while the board is blocked or off. Every movement of the contactor is logged with its cause. Its faults: main
 * contacts that weld, an auxiliary contact that lies, a latch that does not open.
 */
import { TimedProcess } from '../world-clock.js';

export const ONE_SHOT_SECONDS = 20;
/** From coil current to main contacts, both ways; a usual figure, no source. */
const CONTACTOR_SECONDS = 0.03;

export interface ContactorMovement {
  readonly atSeconds: number;
  readonly isClosed: boolean;
  readonly because: string;
}

/** What the auxiliary contact tells: the main contacts' place, or one and the same. */
export type Auxiliary = 'follows' | 'stuck closed' | 'stuck open';

export class SafetyChain extends TimedProcess {
  isEmergencyStopReleased = true;
  /** Powers up open; only the hand at the latch closes it. */
  isLatchClosed = false;
  isContactorClosed = false;
  readonly log: ContactorMovement[] = [];
  auxiliary: Auxiliary = 'follows';
  isLatchStuck = false;
  #isWelded = false;

  #alertPinIsLow = false;
  #isStartPressed = false;
  #isHeld = false;
  #supplyIsDipped = false;
  #clearIsHigh = false;
  #triggerIsHigh = false;
  #oneShotEndsAtSeconds = -Infinity;
  #coilIsFed = false;
  #movesAtSeconds = Infinity;
  #because = '';

  constructor(
    readonly onContactor: (isClosed: boolean, nowSeconds: number) => void,
    /** Something that the board can read on its pins may have changed. */
    readonly onFeedback: (nowSeconds: number) => void,
  ) {
    super();
  }

  act(nowSeconds: number): void {
    if (this.#oneShotEndsAtSeconds > 0 && nowSeconds >= this.#oneShotEndsAtSeconds) {
      this.#oneShotEndsAtSeconds = -Infinity;
      this.#judge('one-shot ran out: no control step for 20 s', nowSeconds);
    }
    if (nowSeconds >= this.#movesAtSeconds) {
      this.#movesAtSeconds = Infinity;
      const isClosed = this.#coilIsFed || (this.#isWelded && this.isContactorClosed);
      if (isClosed !== this.isContactorClosed) this.#moveContacts(isClosed, nowSeconds);
    }
    this.#schedule();
  }

  /** The coil has current: what the contacts should follow. */
  get coilIsFed(): boolean {
    return this.#coilIsFed;
  }
  /** What the auxiliary contact tells the board. */
  get feedbackIsClosed(): boolean {
    return this.auxiliary === 'follows' ? this.isContactorClosed : this.auxiliary === 'stuck closed';
  }

  /** From now on contacts that are closed, or close, stay so; an end of it lets them follow the coil. */
  setWelded(isWelded: boolean, nowSeconds: number): void {
    this.#isWelded = isWelded;
    if (!isWelded && this.isContactorClosed !== this.#coilIsFed) this.#moveContacts(this.#coilIsFed, nowSeconds);
  }

  setAuxiliary(auxiliary: Auxiliary, nowSeconds: number): void {
    this.auxiliary = auxiliary;
    this.onFeedback(nowSeconds);
  }

  #moveContacts(isClosed: boolean, nowSeconds: number): void {
    this.isContactorClosed = isClosed;
    this.log.push({ atSeconds: nowSeconds, isClosed, because: this.#because });
    this.onContactor(isClosed, nowSeconds);
    this.onFeedback(nowSeconds);
  }

  /** One-shot: retriggered by a rising edge while clear is high. Falling edges do nothing. */
  setTrigger(isHigh: boolean, nowSeconds: number): void {
    const isRisingEdge = isHigh && !this.#triggerIsHigh;
    this.#triggerIsHigh = isHigh;
    if (!isRisingEdge || !this.#clearIsHigh) return;
    this.#oneShotEndsAtSeconds = nowSeconds + ONE_SHOT_SECONDS;
    this.#judge('start pressed at the bath', nowSeconds);
  }

  setClear(isHigh: boolean, nowSeconds: number, because = 'one-shot cleared by the program'): void {
    this.#clearIsHigh = isHigh;
    if (isHigh) return;
    this.#oneShotEndsAtSeconds = -Infinity;
    this.#judge(because, nowSeconds);
  }

  setStartPressed(isPressed: boolean, nowSeconds: number): void {
    this.#isStartPressed = isPressed;
    this.#judge('start pressed at the bath', nowSeconds);
  }

  setEmergencyStop(isPressed: boolean, nowSeconds: number): void {
    this.isEmergencyStopReleased = !isPressed;
    this.#judge('emergency stop', nowSeconds);
    this.onFeedback(nowSeconds);
  }

  setAlertPin(isLow: boolean, nowSeconds: number): void {
    this.#alertPinIsLow = isLow;
    if (!isLow || !this.isLatchClosed || this.isLatchStuck) return;
    this.isLatchClosed = false;
    this.#judge('alert latch: current above its limit', nowSeconds);
    this.onFeedback(nowSeconds);
  }

  /** The latch's own button: without effect while the alert still stands. */
  resetLatch(nowSeconds: number): void {
    if (this.#alertPinIsLow) return;
    this.isLatchClosed = true;
    this.#judge('start pressed at the bath', nowSeconds);
    this.onFeedback(nowSeconds);
  }

  /** The 24 V goes away and comes back: whatever holds itself lets go. */
  setSupplyDipped(isDipped: boolean, nowSeconds: number, because: string): void {
    this.#supplyIsDipped = isDipped;
    this.#judge(because, nowSeconds);
  }

  /** The latch's supply was lost: it comes back open. */
  powerUpLatch(nowSeconds: number): void {
    this.isLatchClosed = false;
    this.#judge('alert latch powered up open', nowSeconds);
    this.onFeedback(nowSeconds);
  }

  #judge(because: string, nowSeconds: number): void {
    const isFed =
      !this.#supplyIsDipped &&
      this.isEmergencyStopReleased &&
      (this.#isHeld || this.#isStartPressed) &&
      this.isLatchClosed &&
      this.#oneShotEndsAtSeconds > nowSeconds;
    this.#isHeld = isFed;
    if (isFed !== this.#coilIsFed) {
      this.#coilIsFed = isFed;
      this.#because = because;
      // When it changes its mind before the contacts have moved, they do not move.
      this.#movesAtSeconds = isFed === this.isContactorClosed ? Infinity : nowSeconds + CONTACTOR_SECONDS;
    }
    this.#schedule();
  }

  #schedule(): void {
    const oneShotEnds = this.#oneShotEndsAtSeconds > 0 ? this.#oneShotEndsAtSeconds : Infinity;
    this.dueAtSeconds = Math.min(this.#movesAtSeconds, oneShotEnds);
  }
}
