/*
 * The supervisor at a bath that does as the test says: contactor, current, voltage and rotation follow the outputs unless they are told
 * otherwise, the alert latch opens in its test and is closed by hand after it, and the temperature moves by one bit now and then.
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
  isRaised,
  type RigLimits,
  type RunState,
  step,
  SupplyFault,
  SupplyKind,
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
  readonly state: RunState;
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
    lowerToAmps: 0,
    command: Command.none,
    startHeld: false,
    resetHeld: false,
    supplyFault: SupplyFault.none,
    supplyAtZero: true,
    memoryFault: false,
    dashboardSilentSeconds: 0,
    leakSeen: false,
    smokeSeen: false,
    agitationStopped: false,
    filterStopped: false,
    liquidLow: false,
    clipCelsius: -1000,
  };
  constructor(supplyKind: SupplyKind = SupplyKind.analogue) {
    this.state = createRunState(supplyKind);
  }

  limits: RigLimits = rig;
  settingsAreValid = true;
  seconds = 0;
  /** Every event since the bath began, with the second it was told at. */
  readonly told: (ControllerEvent & { readonly atSeconds: number })[] = [];

  /** What the shunt shows for a permitted current. */
  currentFor: (permittedAmps: number) => number = (amps) => amps;
  /** What the terminals show for a current, while the contactor is closed. */
  voltsFor: (currentAmps: number) => number = (amps) => (amps > 0 ? 0.5 + 0.12 * amps : amps * 0.1);
  /** Does the alert latch open when the monitor's limit is put below zero? */
  latchWorks = true;
  private wasTested = false;
  /** The probe reads one bit less for 2 s of each half hour, as long as it is left at what it was in the beginning. */
  isBathStill = false;
  /** How the contactor answers; given what is asked of it and whether the start is being pressed. */
  contactorFor: (isEnabled: boolean, isClosed: boolean, isPressed: boolean) => boolean = (enabled, closed, pressed) =>
    enabled && (closed || pressed);
  /** Done to the bath before every step. */
  beforeStep: (bath: ScriptedBath) => void = () => undefined;
  isTurning = true;
  secondsToPulse = 0;

  /** One step, `seconds` after the last. */
  step(seconds: number = STEP_SECONDS): void {
    const { state, inputs } = this;
    this.beforeStep(this);
    this.seconds += seconds;
    const wasClosed = inputs.contactorClosed;
    inputs.contactorClosed = this.contactorFor(state.outputs.contactorEnabled, wasClosed, inputs.startPressed);
    inputs.currentAmps = this.currentFor(inputs.contactorClosed ? state.outputs.permittedAmps : 0);
    if (inputs.contactorClosed) inputs.terminalVolts = this.voltsFor(inputs.currentAmps);
    else if (wasClosed) inputs.terminalVolts = 0;
    if (state.outputs.alertTestOn && this.latchWorks) this.wasTested = inputs.alertLatchOpen = true;
    else if (this.wasTested) this.wasTested = inputs.alertLatchOpen = false;
    if (!this.isBathStill && (inputs.bathCelsius === 24 || inputs.bathCelsius === 23.9375)) {
      inputs.bathCelsius = this.seconds % 1800 < 1790 ? 24 : 23.9375;
    }
    if (this.isTurning && state.outputs.motorOn) {
      this.secondsToPulse -= seconds;
      while (this.secondsToPulse <= 0) {
        inputs.rotationPulses++;
        this.secondsToPulse += 60 / (state.recipe?.rotationPulsesPerMinute || 6);
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

  /** Start is pressed in ready, and polarity is proven. */
  start(): this {
    this.until(() => this.state.outputs.contactorEnabled, STEP_SECONDS, 60);
    return this.press('startPressed').until(() => this.state.phase === Phase.strike, STEP_SECONDS, 60);
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
    return isRaised(this.state, condition);
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

function ledTo(phase: keyof typeof Phase, recipe: Recipe, supplyKind: SupplyKind): ScriptedBath {
  const bath = new ScriptedBath(supplyKind);
  bath.advance(1);
  if (phase === 'idle') return bath;
  bath.offer(recipe);
  bath.advance(1).until(() => bath.state.outputs.contactorEnabled, STEP_SECONDS, 60);
  if (phase === 'ready') return bath;
  bath.press('startPressed');
  if (phase === 'polarity') return bath;
  bath.until(() => bath.state.phase === Phase.strike, STEP_SECONDS, 60).advance(1);
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

/** What was led to a phase before, by what led it there: the way is always the same, and long. */
const led = new Map<string, object>();

/** For who changes the controller between two tests. */
export function forgetBaths(): void {
  led.clear();
}

/** A bath in the phase asked for, nothing wrong, everything that leads there having happened. */
export function bathIn(
  phase: keyof typeof Phase,
  recipe: Recipe = lampshade,
  supplyKind: SupplyKind = SupplyKind.analogue,
): ScriptedBath {
  const way = JSON.stringify([phase, supplyKind, recipe]);
  let kept = led.get(way);
  if (!kept) {
    kept = Object.fromEntries(
      Object.entries(ledTo(phase, recipe, supplyKind)).filter(([, value]) => typeof value !== 'function'),
    );
    led.set(way, kept);
  }
  const bath = Object.assign(new ScriptedBath(supplyKind), structuredClone(kept));
  if (bath.state.recipe) bath.state.recipe = recipe;
  return bath;
}
