/*
 * The supervisor at a bath that does as the test says: contactor, current and rotation follow the outputs unless they are told otherwise.
 * Used by every test of the supervisor. Time is passed in, 200 ms a step; nothing here judges.
 */
import {
  Command,
  Condition,
  createRunState,
  type ControllerEvent,
  type EventKind,
  type Inputs,
  isLive,
  MonitorFault,
  offerRecipe,
  Phase,
  ProbeFault,
  type Recipe,
  type RigLimits,
  type RunState,
  step,
} from '@bathkeeper/shared-core/control';

export const STEP_SECONDS = 0.2;

export const rig: RigLimits = { currentAmpsMax: 35, terminalVoltsMax: 8, bathCelsiusMax: 40, runSecondsMax: 50_400 };

/** A short run of the fluted bell lampshade: 12 dm2; strike 10 min, ramp 30 min, 20 A, about 2.9 h. */
export const lampshade: Recipe = {
  recipeId: 41,
  areaDm2: 12,
  strikeAmps: 4,
  strikeSeconds: 600,
  rampSeconds: 1800,
  plateAmps: 20,
  chargeMilliCoulombs: 180_000_000,
  finishAmps: 2,
  finishSeconds: 3600,
  holdAmps: 3,
  longestSeconds: 36_000,
  rotationPulsesPerMinute: 6,
  startCelsiusMin: 18,
  bathWarnCelsius: 28,
  bathHoldCelsius: 32,
};

export type Button = 'startPressed' | 'stopPressed' | 'resetPressed';

export class ScriptedBath {
  readonly state: RunState = createRunState();
  readonly inputs: Inputs = {
    currentAmps: 0,
    terminalVolts: 0,
    monitorFault: MonitorFault.none,
    bathCelsius: 24,
    probeFault: ProbeFault.none,
    rotationPulses: 0,
    emergencyStopPressed: false,
    alertLatchOpen: false,
    contactorClosed: false,
    startPressed: false,
    stopPressed: false,
    resetPressed: false,
    command: Command.none,
  };
  limits: RigLimits = rig;
  settingsAreValid = true;
  seconds = 0;
  /** Every event since the bath began, with the second it was told at. */
  readonly told: (ControllerEvent & { readonly atSeconds: number })[] = [];

  /** What the shunt shows for a permitted current. */
  currentFor: (permittedAmps: number) => number = (amps) => amps;
  /** How the contactor answers; given what is asked of it and whether the start is being pressed. */
  contactorFor: (isEnabled: boolean, isClosed: boolean, isPressed: boolean) => boolean = (enabled, closed, pressed) =>
    enabled && (closed || pressed);
  isTurning = true;
  secondsToPulse = 0;

  /** One step, `seconds` after the last. */
  step(seconds: number = STEP_SECONDS): void {
    const { state, inputs } = this;
    this.seconds += seconds;
    inputs.contactorClosed = this.contactorFor(
      state.outputs.contactorEnabled,
      inputs.contactorClosed,
      inputs.startPressed,
    );
    inputs.currentAmps = this.currentFor(inputs.contactorClosed ? state.outputs.permittedAmps : 0);
    if (this.isTurning && state.outputs.motorOn) {
      this.secondsToPulse -= seconds;
      if (this.secondsToPulse <= 0) {
        inputs.rotationPulses++;
        this.secondsToPulse = 10;
      }
    }
    step(state, inputs, this.limits, this.settingsAreValid, Math.round(this.seconds * 1000));
    this.note();
    inputs.startPressed = inputs.stopPressed = inputs.resetPressed = false;
    inputs.command = Command.none;
  }

  advance(seconds: number): this {
    for (let steps = Math.round(seconds / STEP_SECONDS); steps > 0; steps--) this.step();
    return this;
  }

  /** Steps of `stepSeconds` until `isReached`; fails the test when that takes longer than `secondsMax`. */
  until(isReached: () => boolean, stepSeconds: number = 1, secondsMax: number = 50_000): this {
    const fromSeconds = this.seconds;
    while (!isReached()) {
      if (this.seconds - fromSeconds > secondsMax) {
        throw new Error(`Not reached within ${secondsMax} s: ${this.phaseName()}, told ${JSON.stringify(this.told)}`);
      }
      this.step(stepSeconds);
    }
    return this;
  }

  /** Steps until the next step is one that looks at what changes slowly: so that delays are counted from it. */
  untilLookIsDue(): this {
    const { state } = this;
    return this.until(() => state.clockMs + STEP_SECONDS * 1000 - state.lookedAtMs >= 1000, STEP_SECONDS, 2);
  }

  press(button: Button): this {
    this.inputs[button] = true;
    this.step();
    return this;
  }

  command(command: Command): this {
    this.inputs.command = command;
    this.step();
    return this;
  }

  offer(recipe: Recipe): number {
    const fault = offerRecipe(this.state, recipe, this.limits);
    this.note();
    return fault;
  }

  private note(): void {
    for (const event of this.state.events) this.told.push({ ...event, atSeconds: this.seconds });
  }

  isRaised(condition: Condition): boolean {
    return (this.state.conditions & (1 << (condition - 1))) !== 0;
  }

  /** Conditions that stand, by number. */
  raised(): number[] {
    return Object.values(Condition).filter((code) => this.isRaised(code));
  }

  toldOf(kind: EventKind, code?: number): ControllerEvent[] {
    return this.told.filter((event) => event.kind === kind && (code === undefined || event.code === code));
  }

  phaseName(): keyof typeof Phase {
    return (Object.keys(Phase) as (keyof typeof Phase)[]).find((name) => Phase[name] === this.state.phase)!;
  }

  isLive(): boolean {
    return isLive(this.state.phase);
  }
}

/** A bath in the phase asked for, nothing wrong, everything that leads there having happened. */
export function bathIn(phase: keyof typeof Phase, recipe: Recipe = lampshade): ScriptedBath {
  const bath = new ScriptedBath();
  bath.advance(1);
  if (phase === 'idle') return bath;
  bath.offer(recipe);
  bath.advance(1);
  if (phase === 'ready') return bath;
  bath.press('startPressed').advance(1);
  if (phase === 'strike') return bath;
  if (phase === 'trip') {
    bath.inputs.emergencyStopPressed = true;
    bath.step();
    bath.inputs.emergencyStopPressed = false;
    return bath.advance(1);
  }
  const reach = (next: number): ScriptedBath => bath.until(() => bath.state.phase === next, 5).advance(1);
  reach(Phase.ramp);
  if (phase === 'ramp') return bath;
  reach(Phase.plate);
  if (phase === 'plate') return bath.advance(4);
  if (phase === 'hold') return bath.command(Command.hold).advance(4);
  reach(Phase.finish);
  return phase === 'finish' ? bath.advance(4) : reach(Phase.done);
}
