/*
 * A night as the dashboard hears it, made fast: the supervisor itself, once a second, at the virtual bath's own tank, shunt monitor and shaft,
 * without the interpreter and the link. Used by the campaign of the watch and by its tests; `generator.test.ts` holds it against
 * nights of the real bundle. It judges nothing.
 */
import { noNetwork, SeededNoise, simulatedBoardSettings, VirtualBath } from '@bathkeeper/firmware/bench';
import type { BathParts } from '@bathkeeper/firmware/bench';
import {
  Command,
  createRunState,
  type ControllerEvent,
  type Inputs,
  isLive,
  MonitorFault,
  offerRecipe,
  Phase,
  ProbeFault,
  type RigLimits,
  type RunState,
  step,
  SupplyFault,
  SupplyKind,
} from '@bathkeeper/shared-core/control';
import type { LiveView } from '@bathkeeper/shared-core/messages';
import type { WatchNight } from './random-watch-night.js';

/** INA226 configuration and registers as the firmware uses them (data sheet SBOS547). */
const CONFIGURATION = Uint8Array.of(0, 0x47, 0x27);
const [SHUNT, BUS] = [Uint8Array.of(1), Uint8Array.of(2)];
/** 2.5 µV over the simulated rig's shunt. */
const AMPS_PER_COUNT = 2.5 / 1500;
/** The analogue supply's slow trim: a time constant of 20 s, aiming a little under, within 5 %, resting near the ceiling. */
const TRIM_SHARE = 1 - Math.exp(-1 / 20);
const TRIM_MAX = 0.05;
const TRIM_AIM = 0.997;
const TRIM_CEILING = 0.95;
/** A hand meets what it sets so well, and comes so late. */
const HAND_FRACTION = 0.004;

export class LiveNight {
  readonly parts: BathParts;
  readonly state: RunState;
  readonly limits: RigLimits;
  readonly inputs: Inputs;
  seconds = 0;
  /** What the last second told. */
  events: readonly ControllerEvent[] = [];
  /** Asked from afar in the next second. */
  command: Command = Command.none;
  lowerToAmps = 0;
  /** A press of start in the next second. */
  isStartPressed = false;
  readonly #night: WatchNight;
  readonly #noise: SeededNoise;
  readonly #rough: SeededNoise;
  #trim = 0;
  /** What the trim goes by: one conversion of the five in a second, and not the one that the live message tells. */
  #trimmedByAmps = 0;
  #askedAmps = 0;
  #movedAtSeconds = 0;
  #handDueSeconds = Infinity;
  #handAmps = 0;
  #pulsesBefore = 0;
  #lastPulseSeconds = -Infinity;
  #pulsePeriodSeconds = 0;
  #turns = 0;
  #slipRingOhms = 0;
  /** Faults put into the night, on top of the slip ring's own noise. */
  contactOhms = 0;
  isMotorBlocked = false;

  constructor(night: WatchNight) {
    this.#night = night;
    const settings = simulatedBoardSettings();
    // No program runs on this bath: only its parts are used, and the supervisor is called here.
    const bath = new VirtualBath({
      ...{ bundle: '', seed: night.seed, settings, network: noNetwork },
      tank: night.tank,
      supplyKind: 'analogue',
    });
    this.parts = bath.parts;
    this.limits = settings.rig;
    this.state = createRunState(night.supplyKind);
    this.#noise = new SeededNoise(night.seed, 'live night');
    this.#rough = new SeededNoise(night.seed, 'rough bath');
    this.inputs = {
      ...{ currentAmps: 0, terminalVolts: 0, monitorFault: MonitorFault.none, bathCelsius: 20, rotationPulses: 0 },
      ...{ probeFault: ProbeFault.none, emergencyStopPressed: false, alertLatchOpen: false, contactorClosed: false },
      ...{ startPressed: false, stopPressed: false, resetPressed: false, startHeld: false, resetHeld: false },
      ...{ lowerToAmps: 0, command: Command.none, supplyFault: SupplyFault.none, supplyAtZero: true },
      ...{ memoryFault: false, dashboardSilentSeconds: 0, leakSeen: false, smokeSeen: false, liquidLow: false },
      ...{ agitationStopped: false, filterStopped: false, clipCelsius: -1000 },
    };
    this.parts.monitor.write(CONFIGURATION, 3, 0);
    offerRecipe(this.state, night.recipe, this.limits);
  }

  /** True from the first current to its end. */
  get isLive(): boolean {
    return isLive(this.state.phase);
  }
  get isOver(): boolean {
    return this.state.phase === Phase.done || this.state.phase === Phase.trip;
  }

  /** One second of the night, and what the controller says of it. */
  second(): LiveView {
    this.seconds++;
    const { state, inputs, parts, seconds } = this;
    const { outputs } = state;
    const wasClosed = inputs.contactorClosed;
    // The evening's work: the latch is tested and closed again, then start is pressed; the relay holds itself.
    inputs.alertLatchOpen = outputs.alertTestOn;
    inputs.startPressed =
      this.isStartPressed || (state.phase === Phase.ready && state.permissivesMissing === 0 && seconds > 5);
    inputs.contactorClosed = outputs.contactorEnabled && (wasClosed || inputs.startPressed);
    if (inputs.contactorClosed !== wasClosed) parts.tank.setCircuitClosed(inputs.contactorClosed, seconds - 1);
    parts.tank.changeSupply((supply) => {
      supply.isEnabled = outputs.supplyEnabled;
    }, seconds - 1);
    this.#setSupply();
    this.#turnShaft();
    this.#roughen();
    parts.tank.advanceTo(seconds - 0.5);
    this.#trimmedByAmps = this.#register(SHUNT, seconds - 0.5) * AMPS_PER_COUNT;
    parts.tank.advanceTo(seconds);
    inputs.currentAmps = this.#register(SHUNT, seconds) * AMPS_PER_COUNT;
    inputs.terminalVolts = Math.max(0, this.#register(BUS, seconds) * 0.00125 * this.#turnedVoltage());
    const { tank } = parts;
    const probed = tank.bathCelsius + tank.options.probeNoiseCelsius * this.#noise.gaussian();
    inputs.bathCelsius = Math.round(probed * 16) / 16;
    inputs.command = this.command;
    inputs.lowerToAmps = this.lowerToAmps;
    step(state, inputs, this.limits, true, seconds * 1000);
    this.events = [...state.events];
    this.command = Command.none;
    this.isStartPressed = false;
    return this.#view();
  }

  /** As the wire carries it: hundredths of amperes and degrees, millivolts. */
  #view(): LiveView {
    const { state, inputs, seconds } = this;
    const hundredths = (value: number): number => Math.round(value * 100) / 100;
    const age = seconds - this.#lastPulseSeconds;
    const period = Math.round(this.#pulsePeriodSeconds * 1000) / 1000;
    return {
      takenAtMs: seconds * 1000,
      phase: state.phase,
      phaseSeconds: Math.floor((seconds * 1000 - state.phaseSinceMs) / 1000),
      liveSeconds: Math.floor(state.liveMs / 1000),
      cathodeCurrentAmps: hundredths(inputs.currentAmps),
      terminalVolts: Math.round(inputs.terminalVolts * 1000) / 1000,
      bathTemperatureCelsius: hundredths(inputs.bathCelsius),
      permittedAmps: hundredths(state.outputs.permittedAmps),
      chargeAmpereHours: state.chargeMilliCoulombs / 3.6e6,
      rotationPulsesPerMinute: period > 0 && age < 4 * period + 20 ? 60 / period : null,
      secondsSinceRotationPulse: Number.isFinite(age) ? Math.floor(age) : null,
      derateFraction: state.derateFraction,
      isContactorClosed: inputs.contactorClosed,
      conditions: codesIn(state.conditions, state.conditionsHigh),
      supplyKind: state.supplyKind,
      rampState: state.rampState,
      loweredToAmps: state.loweredToAmps < 1000 ? state.loweredToAmps : null,
      permissivesMissing: codesIn(state.permissivesMissing, 0),
    };
  }

  #register(pointer: Uint8Array, atSeconds: number): number {
    const bytes = new Uint8Array(2);
    const { monitor } = this.parts;
    monitor.write(pointer, 1, atSeconds);
    monitor.read(bytes, atSeconds);
    return new DataView(bytes.buffer).getInt16(0);
  }

  #setSupply(): void {
    const { state, inputs, parts, seconds } = this;
    const amps = state.outputs.permittedAmps;
    if (amps !== this.#askedAmps) {
      this.#askedAmps = amps;
      this.#movedAtSeconds = seconds;
      if (state.supplyKind === SupplyKind.byHand && Math.floor(amps * 10) !== Math.floor(this.#handAmps * 10))
        this.#handDueSeconds = Math.min(this.#handDueSeconds, seconds + 5 + 35 * this.#noise.uniform());
    }
    let wantedAmps = amps;
    if (state.supplyKind === SupplyKind.analogue) {
      wantedAmps = Math.round(amps * (1 + this.#trimmed(amps)) * 100) / 100;
    } else if (state.supplyKind === SupplyKind.byHand) {
      if (amps === 0) this.#handAmps = 0;
      else if (seconds >= this.#handDueSeconds) {
        this.#handDueSeconds = Infinity;
        this.#handAmps = Math.floor(amps * 10 + 1e-6) / 10;
        this.#handAmps *= 1 + HAND_FRACTION * this.#noise.gaussian();
      }
      wantedAmps = this.#handAmps;
    }
    inputs.supplyAtZero = wantedAmps === 0;
    parts.tank.setSupplyAmps(wantedAmps, seconds - 1);
  }

  #trimmed(amps: number): number {
    const { state, inputs, seconds } = this;
    if (amps === 0) this.#trim = 0;
    const isSteady =
      state.phase === Phase.plate && !state.conditions && !state.conditionsHigh && state.derateFraction === 1;
    if (!isSteady || seconds - this.#movedAtSeconds < 3 || amps === 0) return this.#trim;
    const share = this.#trimmedByAmps / amps;
    if (inputs.terminalVolts > TRIM_CEILING * this.limits.terminalVoltsMax || Math.abs(share - 1) > 2 * TRIM_MAX)
      return this.#trim;
    if (share < TRIM_AIM || share > 1)
      this.#trim = Math.max(-TRIM_MAX, Math.min(TRIM_MAX, this.#trim + (TRIM_AIM - share) * TRIM_SHARE));
    return this.#trim;
  }

  #turnShaft(): void {
    const { rotation } = this.parts;
    const from = this.seconds - 1;
    rotation.setMotorOn(this.state.outputs.motorOn && !this.isMotorBlocked, from);
    while (rotation.dueAtSeconds <= this.seconds) {
      const at = rotation.dueAtSeconds;
      rotation.act(at);
      if (rotation.pulses !== this.#pulsesBefore) {
        this.#pulsesBefore = rotation.pulses;
        this.#pulsePeriodSeconds = at - this.#lastPulseSeconds < 9999 ? at - this.#lastPulseSeconds : 0;
        this.#lastPulseSeconds = at;
      }
    }
    this.inputs.rotationPulses = rotation.pulses;
    if (rotation.isTurning) this.#turns += (rotation.pulsesPerMinute / 60) * rotation.speedFraction;
  }

  /** What a real bath has and the virtual one has not: a slip ring that mutters, liquid and anodes that change through the night. */
  #roughen(): void {
    const { tank } = this.parts;
    const { rough } = this.#night;
    const kept = Math.exp(-1 / rough.slipRingMemorySeconds);
    this.#slipRingOhms =
      this.#slipRingOhms * kept + rough.slipRingOhms * Math.sqrt(1 - kept * kept) * this.#rough.gaussian();
    tank.faults.looseContactOhms = Math.max(0, this.contactOhms + 4 * rough.slipRingOhms + this.#slipRingOhms);
    tank.options.conductivitySiemensPerMetre *= 1 + rough.conductivityFractionPerHour / 3600;
    tank.options.anodeCathodeGapMetres *= 1 + rough.gapFractionPerHour / 3600;
  }

  /** A part that turns has its near side to one anode and to the next. */
  #turnedVoltage(): number {
    return 1 + this.#night.rough.turnVoltageFraction * Math.sin(2 * Math.PI * this.#turns);
  }
}

function codesIn(low: number, high: number): number[] {
  const codes: number[] = [];
  for (let bit = 0; bit < 32; bit++) {
    if ((low >>> bit) & 1) codes.push(bit + 1);
    if ((high >>> bit) & 1) codes.push(bit + 33);
  }
  return codes.sort((one, other) => one - other);
}
