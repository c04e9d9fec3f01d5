/*
 * The tank and its supply: current, voltage, copper and heat as they really are. The chips of the virtual board look
 * at it, the safety chain opens and closes its circuit, the faults bend it. The program on the board never sees it.
 * Integrated on demand: whoever needs the present asks it to advance first.
 */
import { SeededNoise } from '../seeded-noise.js';
import {
  conductivitySiemensPerMetre,
  copperGrams,
  copperMicrometres,
  kineticVolts,
  overpotentialVolts,
  plateOhms,
} from './electrolyte.js';
import { PaintedLayer } from './painted-layer.js';
import { Supply } from './supply.js';
import type { TankOptions } from './tank-options.js';

const LONGEST_STEP_SECONDS = 0.2;
/** Slow quantities (temperature, paint, wandering) are worked out anew this often. */
const SLOW_STEP_SECONDS = 1;
/** A passivating anode: above this density its film grows, below it dissolves; so fast. Common practice, no source. */
const FILM_AMPS_PER_DM2 = 0.7;
const FILM_OHMS_PER_SECOND = 0.0011;
const FILM_OHMS_MAX = 2;
/** A chiller that sticks on does not freeze the bath: its own evaporator ends there. Common practice, no source. */
const CHILLED_CELSIUS_MIN = 5;

/** What a fault does to the tank; everything at rest in this state. */
export interface TankFaults {
  heaterIsStuck: boolean;
  chillerIsStuck: boolean;
  /** A clip that lets go: ohms in series with the part. */
  looseContactOhms: number;
  /** An anode touches the part: ohms beside the cell; Infinity, none does. */
  shortOhms: number;
  anodeIsPassivating: boolean;
  /** The leads are changed over at the supply: the part is the anode, and the monitor sees everything the other way. */
  leadsAreReversed: boolean;
}

export class Tank {
  readonly options: TankOptions;
  readonly faults: TankFaults = {
    heaterIsStuck: false,
    chillerIsStuck: false,
    looseContactOhms: 0,
    shortOhms: Infinity,
    anodeIsPassivating: false,
    leadsAreReversed: false,
  };
  readonly supply: Supply;
  readonly layer: PaintedLayer;
  readonly shuntOhms: number;

  currentAmps = 0;
  /** At the supply's terminals, before the contactor: what the monitor's bus input sees. */
  terminalVolts = 0;
  bathCelsius: number;
  roomCelsius = 0;
  largestCurrentAmps = 0;
  /** Through the circuit the right way since the bath was switched on; of it, what a short took past the part. */
  chargeCoulombs = 0;
  shortedCoulombs = 0;
  /** What the monitor's inputs see: through the shunt, and the integral of the terminal voltage, both with their sign. */
  shuntCoulombs = 0;
  terminalVoltSeconds = 0;
  /** Set by who watches: how long the current was above this without a pause, at the longest, and when that began. */
  watchedAmps = Infinity;
  longestAbove = { sinceSeconds: 0, seconds: 0 };
  #aboveSinceSeconds = NaN;

  #nowSeconds = 0;
  #circuitIsClosed = false;
  #slowStepAtSeconds = 0;
  #heatJoules = 0;
  #filmOhms = 0;
  #grownGrams = 0;
  /** Everything between the terminals that obeys Ohm's law. */
  #seriesOhms = 1;
  #cathodeSlopeVolts = 0.0514;
  #anodeSlopeVolts = 0.0171;
  #wanderFraction = 0;
  /** Kept, since most steps within a second want the same. */
  #lastWantedAmps = NaN;
  #lastWantedVolts = 0;
  readonly #wander: SeededNoise;
  readonly #heatCapacityJoulesPerKelvin: number;

  constructor(options: TankOptions, nominalShuntOhms: number, seed: number) {
    this.options = options;
    this.supply = new Supply(options);
    this.layer = new PaintedLayer(options);
    this.shuntOhms = nominalShuntOhms * (1 + options.shuntErrorFraction);
    this.bathCelsius = options.startCelsius;
    this.#wander = new SeededNoise(seed, 'supply wander');
    this.#heatCapacityJoulesPerKelvin =
      (options.volumeLitres / 1000) * options.densityKgPerM3 * options.heatCapacityJoulesPerKgKelvin;
    this.#refreshSlowQuantities(0);
  }

  get depositMassGrams(): number {
    return copperGrams(this.chargeCoulombs - this.shortedCoulombs, this.options.cathodeEfficiency);
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
  get #sign(): number {
    return this.faults.leadsAreReversed ? -1 : 1;
  }
  /** Current and voltage as the monitor's inputs have them now. */
  get seenAmps(): number {
    return this.#sign * this.currentAmps;
  }
  get seenVolts(): number {
    return this.#sign * this.terminalVolts;
  }

  /** The analogue input of the supply, in DAC codes. Takes effect from `nowSeconds` on. */
  setAnalogueCode(code: number, nowSeconds: number): void {
    this.setSupplyAmps(
      Math.max(0, (code - this.options.supplyCodeAtZero) / this.options.supplyCodesPerAmp),
      nowSeconds,
    );
  }

  /** Its set-point, by whatever way. */
  setSupplyAmps(amps: number, nowSeconds: number): void {
    this.advanceTo(nowSeconds);
    this.supply.set(amps);
  }

  /** Something else about the supply changes from `nowSeconds` on. */
  changeSupply(change: (supply: Supply) => void, nowSeconds: number): void {
    this.advanceTo(nowSeconds);
    change(this.supply);
  }

  /** Contactor's main contacts. Closing onto charged terminals lets the supply's capacitor out into the part. */
  setCircuitClosed(isClosed: boolean, nowSeconds: number): void {
    this.advanceTo(nowSeconds);
    if (isClosed === this.#circuitIsClosed) return;
    this.#circuitIsClosed = isClosed;
    this.#noteCurrent(isClosed ? this.currentAtVolts(this.terminalVolts) : 0, nowSeconds);
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
    if (this.faults.shortOhms < Infinity) return amps * (this.#outsideOhms + this.faults.shortOhms);
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
    if (this.faults.shortOhms < Infinity) return volts / (this.#outsideOhms + this.faults.shortOhms);
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
    const { supplyResponseSeconds } = this.options;
    const highestVolts = this.supply.highestVolts;
    const endSeconds = this.#nowSeconds + stepSeconds;
    let wanted = this.supply.wantedAmps(this.#wanderFraction);
    if (wanted !== this.#lastWantedAmps) {
      this.#lastWantedAmps = wanted;
      this.#lastWantedVolts = this.voltsAtCurrent(wanted);
    }
    let wantedVolts = this.#lastWantedVolts;
    if (wantedVolts > highestVolts) {
      wanted = this.currentAtVolts(highestVolts);
      wantedVolts = highestVolts;
    }
    const distance = this.currentAmps - wanted;
    let coulombs = wanted * stepSeconds;
    if (Math.abs(distance) < 1e-6) {
      this.#noteCurrent(wanted, endSeconds);
      this.terminalVolts = wantedVolts;
    } else {
      // First-order regulation, exact over any step.
      const remaining = Math.exp(-stepSeconds / supplyResponseSeconds);
      coulombs += distance * supplyResponseSeconds * (1 - remaining);
      this.#noteCurrent(wanted + distance * remaining, endSeconds);
      this.terminalVolts = this.voltsAtCurrent(this.currentAmps);
    }
    const meanAmps = coulombs / stepSeconds;
    const meanVolts = Math.abs(distance) < 1e-6 ? wantedVolts : this.voltsAtCurrent(meanAmps);
    const sign = this.#sign;
    this.shuntCoulombs += sign * coulombs;
    this.terminalVoltSeconds += sign * meanVolts * stepSeconds;
    if (this.faults.shortOhms < Infinity) this.shortedCoulombs += coulombs;
    else this.#heatJoules += coulombs * (meanVolts - meanAmps * (this.#outsideOhms + this.faults.looseContactOhms));
    if (sign < 0) return;
    this.chargeCoulombs += coulombs;
    if (this.faults.shortOhms === Infinity) this.#grownGrams += copperGrams(coulombs, this.options.cathodeEfficiency);
  }

  #stepOpen(stepSeconds: number): void {
    // The bleeder empties it within seconds.
    const wanted = this.supply.openVolts;
    const timeConstant = wanted > this.terminalVolts ? 0.2 : 1;
    const remaining = Math.exp(-stepSeconds / timeConstant);
    const distance = this.terminalVolts - wanted;
    this.terminalVoltSeconds += this.#sign * (wanted * stepSeconds + distance * timeConstant * (1 - remaining));
    this.terminalVolts = wanted + distance * remaining;
  }

  #noteCurrent(amps: number, atSeconds: number): void {
    this.currentAmps = amps;
    if (amps > this.largestCurrentAmps) this.largestCurrentAmps = amps;
    if (!(amps > this.watchedAmps)) this.#aboveSinceSeconds = NaN;
    else if (Number.isNaN(this.#aboveSinceSeconds)) this.#aboveSinceSeconds = this.#nowSeconds;
    else if (atSeconds - this.#aboveSinceSeconds > this.longestAbove.seconds) {
      this.longestAbove = { sinceSeconds: this.#aboveSinceSeconds, seconds: atSeconds - this.#aboveSinceSeconds };
    }
  }

  /** Cables, clips, contactor and shunt as they should be. */
  get #outsideOhms(): number {
    return this.options.leadOhms + this.shuntOhms;
  }

  /** Heat balance, conductivity, paint and wandering over the seconds since the last time. */
  #refreshSlowQuantities(passedSeconds: number): void {
    const options = this.options;
    this.#slowStepAtSeconds = this.#nowSeconds;
    this.#lastWantedAmps = NaN;
    const hour = options.startHour + this.#nowSeconds / 3600;
    this.roomCelsius = options.roomCelsius + options.roomSwingCelsius * Math.cos((2 * Math.PI * (hour - 15)) / 24);
    if (passedSeconds > 0) {
      const heaterWatts = this.faults.heaterIsStuck ? options.stuckHeaterWatts : 0;
      const chills = this.faults.chillerIsStuck && this.bathCelsius > CHILLED_CELSIUS_MIN;
      const chillerWatts = chills ? options.stuckHeaterWatts : 0;
      const heaterJoules = (heaterWatts - chillerWatts) * passedSeconds;
      const lostJoules = options.lossWattsPerKelvin * (this.bathCelsius - this.roomCelsius) * passedSeconds;
      this.bathCelsius += (this.#heatJoules + heaterJoules - lostJoules) / this.#heatCapacityJoulesPerKelvin;
      this.#heatJoules = 0;
      // Wandering with a memory of ten minutes.
      const kept = Math.exp(-passedSeconds / 600);
      this.#wanderFraction =
        this.#wanderFraction * kept +
        options.supplyWanderFraction * Math.sqrt(1 - kept * kept) * this.#wander.gaussian();
      this.#growFilm(passedSeconds);
      this.layer.grow(this.#grownGrams);
      this.#grownGrams = 0;
    }
    this.#cathodeSlopeVolts = kineticVolts(0.5, this.bathCelsius);
    this.#anodeSlopeVolts = kineticVolts(1.5, this.bathCelsius);
    this.#seriesOhms = this.#liquidOhms() + this.#filmOhms + this.#outsideOhms + this.faults.looseContactOhms;
  }

  #growFilm(passedSeconds: number): void {
    if (!this.faults.anodeIsPassivating && this.#filmOhms === 0) return;
    const density = this.currentAmps / this.options.areaDm2 / this.options.anodeAreaRatio;
    const drive = this.faults.anodeIsPassivating ? density / FILM_AMPS_PER_DM2 - 1 : -1;
    const ohms = this.#filmOhms + drive * FILM_OHMS_PER_SECOND * passedSeconds;
    this.#filmOhms = Math.min(FILM_OHMS_MAX, Math.max(0, ohms));
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
    this.layer.spread(areaResistanceOhmM2);
    return (
      plateOhms(options.anodeCathodeGapMetres, siemensPerMetre, areaM2) +
      (areaResistanceOhmM2 / areaM2) * (this.layer.factor - 1)
    );
  }

  /** Of paint and copper at the far end from the clip, where copper comes last. */
  sheetOhmsPerSquare(): number {
    return this.layer.sheetOhmsPerSquare(this.layer.micrometres.length - 1);
  }
}
