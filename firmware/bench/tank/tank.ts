/*
 * The tank and its supply: current, voltage, copper and heat as they really are. The chips of the virtual board look
 * at it, the safety chain opens and closes its circuit, the faults bend it. The program on the board never sees it.
 * Integrated on demand: whoever needs the present asks it to advance first.
 */
import { SeededNoise } from '../seeded-noise.js';
import {
  conductivitySiemensPerMetre,
  COPPER_SIEMENS_PER_METRE,
  copperGrams,
  copperMicrometres,
  kineticVolts,
  overpotentialVolts,
  plateOhms,
  resistivePartFactor,
} from './electrolyte.js';
import type { TankOptions } from './tank-options.js';

const LONGEST_STEP_SECONDS = 0.2;
/** Slow quantities (temperature, paint, wandering) are worked out anew this often. */
const SLOW_STEP_SECONDS = 1;
/** A supply whose set-point is below this holds no voltage at open terminals. Common practice, no source. */
const IDLE_SUPPLY_AMPS = 0.02;

/** What a fault does to the tank; everything at rest in this state. */
export interface TankFaults {
  /** The supply delivers this many times what it should. */
  supplyFactor: number;
  heaterIsStuck: boolean;
  /** A clip that lets go: ohms in series with the part. */
  looseContactOhms: number;
}

export class Tank {
  readonly options: TankOptions;
  readonly faults: TankFaults = { supplyFactor: 1, heaterIsStuck: false, looseContactOhms: 0 };
  readonly shuntOhms: number;

  currentAmps = 0;
  /** At the supply's terminals, before the contactor: what the monitor's bus input sees. */
  terminalVolts = 0;
  bathCelsius: number;
  roomCelsius = 0;
  largestCurrentAmps = 0;
  /** Through the part since the bath was switched on. */
  chargeCoulombs = 0;
  /** Integral of the terminal voltage, for means over a conversion. */
  terminalVoltSeconds = 0;

  #nowSeconds = 0;
  #circuitIsClosed = false;
  #setPointAmps = 0;
  #slowStepAtSeconds = 0;
  #heatJoules = 0;
  /** Everything between the terminals that obeys Ohm's law. */
  #seriesOhms = 1;
  #cathodeSlopeVolts = 0.0514;
  #anodeSlopeVolts = 0.0171;
  #wanderFraction = 0;
  readonly #wander: SeededNoise;
  readonly #heatCapacityJoulesPerKelvin: number;

  constructor(options: TankOptions, nominalShuntOhms: number, seed: number) {
    this.options = options;
    this.shuntOhms = nominalShuntOhms * (1 + options.shuntErrorFraction);
    this.bathCelsius = options.startCelsius;
    this.#wander = new SeededNoise(seed, 'supply wander');
    this.#heatCapacityJoulesPerKelvin =
      (options.volumeLitres / 1000) * options.densityKgPerM3 * options.heatCapacityJoulesPerKgKelvin;
    this.#refreshSlowQuantities(0);
  }

  get depositMassGrams(): number {
    return copperGrams(this.chargeCoulombs, this.options.cathodeEfficiency);
  }
  get averageThicknessMicrometres(): number {
    return copperMicrometres(this.depositMassGrams, this.options.areaDm2);
  }
  /** How far it has been worked out. */
  get nowSeconds(): number {
    return this.#nowSeconds;
  }
  get circuitIsClosed(): boolean {
    return this.#circuitIsClosed;
  }

  /** The analogue input of the supply, in DAC codes. Takes effect from `nowSeconds` on. */
  setAnalogueCode(code: number, nowSeconds: number): void {
    this.advanceTo(nowSeconds);
    this.#setPointAmps = Math.max(0, (code - this.options.supplyCodeAtZero) / this.options.supplyCodesPerAmp);
  }

  /** Contactor's main contacts. Closing onto charged terminals lets the supply's capacitor out into the part. */
  setCircuitClosed(isClosed: boolean, nowSeconds: number): void {
    this.advanceTo(nowSeconds);
    if (isClosed === this.#circuitIsClosed) return;
    this.#circuitIsClosed = isClosed;
    this.#noteCurrent(isClosed ? this.currentAtVolts(this.terminalVolts) : 0);
  }

  /** A fault bends the tank from `nowSeconds` on. */
  setFault<Name extends keyof TankFaults>(name: Name, value: TankFaults[Name], nowSeconds: number): void {
    this.advanceTo(nowSeconds);
    this.faults[name] = value;
    this.#refreshSlowQuantities(0);
  }

  advanceTo(untilSeconds: number): void {
    while (this.#nowSeconds < untilSeconds) {
      let stepSeconds = untilSeconds - this.#nowSeconds;
      if (stepSeconds > LONGEST_STEP_SECONDS) stepSeconds = LONGEST_STEP_SECONDS;
      if (this.#nowSeconds - this.#slowStepAtSeconds >= SLOW_STEP_SECONDS) {
        this.#refreshSlowQuantities(this.#nowSeconds - this.#slowStepAtSeconds);
      }
      if (this.#circuitIsClosed) this.#stepClosed(stepSeconds);
      else this.#stepOpen(stepSeconds);
      this.#nowSeconds += stepSeconds;
      // Steps of 0.2 s add up with rounding; the last one lands exactly.
      if (untilSeconds - this.#nowSeconds < 1e-9) this.#nowSeconds = untilSeconds;
    }
  }

  /** Terminal voltage that a current needs now. */
  voltsAtCurrent(amps: number): number {
    const { areaDm2, anodeAreaRatio, exchangeCurrentAmpsPerDm2 } = this.options;
    const density = amps / areaDm2;
    return (
      amps * this.#seriesOhms +
      overpotentialVolts(this.#cathodeSlopeVolts, density, exchangeCurrentAmpsPerDm2) +
      overpotentialVolts(this.#anodeSlopeVolts, density / anodeAreaRatio, exchangeCurrentAmpsPerDm2)
    );
  }

  /** The inverse, by Newton's method. The curve bends downwards, so from the second round on it closes in from below. */
  currentAtVolts(volts: number): number {
    if (volts <= 0) return 0;
    const { areaDm2, anodeAreaRatio, exchangeCurrentAmpsPerDm2 } = this.options;
    let amps = volts / this.#seriesOhms;
    for (let round = 0; round < 50; round++) {
      const density = amps / areaDm2;
      const anodeDensity = density / anodeAreaRatio;
      const slope =
        this.#seriesOhms +
        this.#cathodeSlopeVolts / areaDm2 / Math.hypot(density, 2 * exchangeCurrentAmpsPerDm2) +
        this.#anodeSlopeVolts / areaDm2 / anodeAreaRatio / Math.hypot(anodeDensity, 2 * exchangeCurrentAmpsPerDm2);
      const correction = (this.voltsAtCurrent(amps) - volts) / slope;
      amps = Math.max(0, amps - correction);
      if (Math.abs(correction) < 1e-9) break;
    }
    return amps;
  }

  #stepClosed(stepSeconds: number): void {
    const { supplyCeilingVolts, supplyGainErrorFraction, supplyResponseSeconds } = this.options;
    let wanted = this.#setPointAmps * (1 + supplyGainErrorFraction + this.#wanderFraction) * this.faults.supplyFactor;
    let wantedVolts = this.voltsAtCurrent(wanted);
    if (wantedVolts > supplyCeilingVolts) {
      wanted = this.currentAtVolts(supplyCeilingVolts);
      wantedVolts = supplyCeilingVolts;
    }
    const distance = this.currentAmps - wanted;
    let coulombs = wanted * stepSeconds;
    if (Math.abs(distance) < 1e-6) {
      this.#noteCurrent(wanted);
      this.terminalVolts = wantedVolts;
    } else {
      // First-order regulation, exact over any step.
      const remaining = Math.exp(-stepSeconds / supplyResponseSeconds);
      coulombs += distance * supplyResponseSeconds * (1 - remaining);
      this.#noteCurrent(wanted + distance * remaining);
      this.terminalVolts = this.voltsAtCurrent(this.currentAmps);
    }
    const meanAmps = coulombs / stepSeconds;
    const meanVolts = Math.abs(distance) < 1e-6 ? wantedVolts : this.voltsAtCurrent(meanAmps);
    this.chargeCoulombs += coulombs;
    this.terminalVoltSeconds += meanVolts * stepSeconds;
    const outsideOhms = this.options.leadOhms + this.shuntOhms + this.faults.looseContactOhms;
    this.#heatJoules += coulombs * (meanVolts - meanAmps * outsideOhms);
  }

  #stepOpen(stepSeconds: number): void {
    // At open terminals a supply with a set-point climbs to its ceiling; with none its bleeder empties it within seconds.
    const wanted = this.#setPointAmps > IDLE_SUPPLY_AMPS ? this.options.supplyCeilingVolts : 0.03;
    const timeConstant = wanted > this.terminalVolts ? 0.2 : 1;
    const remaining = Math.exp(-stepSeconds / timeConstant);
    const distance = this.terminalVolts - wanted;
    this.terminalVoltSeconds += wanted * stepSeconds + distance * timeConstant * (1 - remaining);
    this.terminalVolts = wanted + distance * remaining;
  }

  #noteCurrent(amps: number): void {
    this.currentAmps = amps;
    if (amps > this.largestCurrentAmps) this.largestCurrentAmps = amps;
  }

  /** Heat balance, conductivity, paint and wandering over the seconds since the last time. */
  #refreshSlowQuantities(passedSeconds: number): void {
    const options = this.options;
    this.#slowStepAtSeconds = this.#nowSeconds;
    const hour = options.startHour + this.#nowSeconds / 3600;
    this.roomCelsius = options.roomCelsius + options.roomSwingCelsius * Math.cos((2 * Math.PI * (hour - 15)) / 24);
    if (passedSeconds > 0) {
      const heaterJoules = this.faults.heaterIsStuck ? options.stuckHeaterWatts * passedSeconds : 0;
      const lostJoules = options.lossWattsPerKelvin * (this.bathCelsius - this.roomCelsius) * passedSeconds;
      this.bathCelsius += (this.#heatJoules + heaterJoules - lostJoules) / this.#heatCapacityJoulesPerKelvin;
      this.#heatJoules = 0;
      // Wandering with a memory of ten minutes.
      const kept = Math.exp(-passedSeconds / 600);
      this.#wanderFraction =
        this.#wanderFraction * kept +
        options.supplyWanderFraction * Math.sqrt(1 - kept * kept) * this.#wander.gaussian();
    }
    this.#cathodeSlopeVolts = kineticVolts(0.5, this.bathCelsius);
    this.#anodeSlopeVolts = kineticVolts(1.5, this.bathCelsius);
    this.#seriesOhms = this.#liquidOhms() + options.leadOhms + this.shuntOhms + this.faults.looseContactOhms;
  }

  /** Liquid and paint together: the paint makes far parts of the part useless until copper has grown over them. */
  #liquidOhms(): number {
    const options = this.options;
    const siemensPerMetre = conductivitySiemensPerMetre(
      options.conductivitySiemensPerMetre,
      options.conductivityFractionPerKelvin,
      this.bathCelsius,
    );
    const areaM2 = options.areaDm2 / 100;
    const density = this.currentAmps / options.areaDm2;
    const kineticOhmM2 = this.#cathodeSlopeVolts / (100 * Math.hypot(density, 2 * options.exchangeCurrentAmpsPerDm2));
    const areaResistanceOhmM2 = options.anodeCathodeGapMetres / siemensPerMetre + kineticOhmM2;
    const way = options.paintWayMetres;
    const spread = way * Math.sqrt(this.sheetOhmsPerSquare() / areaResistanceOhmM2);
    return (
      plateOhms(options.anodeCathodeGapMetres, siemensPerMetre, areaM2) +
      (areaResistanceOhmM2 / areaM2) * (resistivePartFactor(spread) - 1)
    );
  }

  /** Paint and the copper on it side by side. Islands conduct little until they touch. */
  sheetOhmsPerSquare(): number {
    const micrometres = this.averageThicknessMicrometres;
    const conductingMicrometres = (micrometres * micrometres) / (micrometres + this.options.islandMicrometres);
    return 1 / (1 / this.options.paintOhmsPerSquare + conductingMicrometres * 1e-6 * COPPER_SIEMENS_PER_METRE);
  }
}
