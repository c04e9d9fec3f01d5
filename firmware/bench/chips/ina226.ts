/*
 * Shunt monitor INA226 as its registers show it (Texas Instruments data sheet SBOS547): averaging and conversion
 * times, conversion-ready flag, alert on the shunt or bus limit, clipping, reset values. It looks at the tank's current and voltage;
 * its alert pin opens the safety chain's latch without any program. Noise comes from a seed.
 */
import type { SeededNoise } from '../seeded-noise.js';
import type { Tank } from '../tank/tank.js';
import { TimedProcess } from '../world-clock.js';
import type { I2cChip } from './i2c-bus.js';

export const Register = {
  configuration: 0x00,
  shuntVoltage: 0x01,
  busVoltage: 0x02,
  power: 0x03,
  current: 0x04,
  calibration: 0x05,
  maskEnable: 0x06,
  alertLimit: 0x07,
  manufacturerId: 0xfe,
  dieId: 0xff,
} as const;

const RESET_CONFIGURATION = 0x4127;
const AVERAGES = [1, 4, 16, 64, 128, 256, 512, 1024];
const CONVERSION_MICROSECONDS = [140, 204, 332, 588, 1100, 2116, 4156, 8244];
const SHUNT_LSB_VOLTS = 2.5e-6;
const BUS_LSB_VOLTS = 1.25e-3;
/** Offset and noise of the front end in one conversion, and of the bus input; typical, from memory. */
const SHUNT_NOISE_VOLTS = 4e-6;
const BUS_NOISE_VOLTS = 2e-3;

const ALERT_SHUNT_OVER = 0x8000;
const ALERT_SHUNT_UNDER = 0x4000;
const ALERT_BUS_OVER = 0x2000;
const ALERT_BUS_UNDER = 0x1000;
const ALERT_CONVERSION = 0x0400;
const ALERT_FLAG = 0x0010;
const CONVERSION_READY = 0x0008;
const ALERT_INVERTED = 0x0002;
const ALERT_LATCHED = 0x0001;
const MASK_WRITABLE = 0xfc03;

export class Ina226 extends TimedProcess implements I2cChip {
  isAnswering = true;
  /** Faults of its wires: the lead to the supply's plus, or a sense lead of the shunt, hangs loose. */
  busLeadIsLoose = false;
  shuntLeadIsLoose = false;
  isFrozen = false;

  #configuration = RESET_CONFIGURATION;
  #shunt = 0;
  #bus = 0;
  #calibration = 0;
  #mask = 0;
  #limit = 0;
  #pointer = 0;
  #conversionSeconds = 0;
  #averages = 1;
  #conversionEndsAtSeconds = Infinity;
  #windowCoulombs = 0;
  #windowVoltSeconds = 0;
  #windowStartSeconds = 0;

  constructor(
    readonly tank: Tank,
    readonly noise: SeededNoise,
    /** The alert pin; low is the alarm unless the program inverted it. */
    readonly onAlertPin: (isLow: boolean, nowSeconds: number) => void,
  ) {
    super();
    this.reset(0);
  }

  /** Power-up, brown-out, or the reset bit: every register as the data sheet's table has it. */
  reset(nowSeconds: number): void {
    this.#calibration = this.#mask = this.#limit = this.#shunt = this.#bus = this.#pointer = 0;
    this.#configure(RESET_CONFIGURATION, nowSeconds);
    this.#driveAlertPin(false, nowSeconds);
  }

  /** No power: it converts nothing, and its open-drain alert pin lets go. */
  powerDown(nowSeconds: number): void {
    this.reset(nowSeconds);
    this.#conversionEndsAtSeconds = Infinity;
    this.#schedule();
  }

  /** A fault: the chip answers, and its registers never change by themselves again. */
  setFrozen(isFrozen: boolean, nowSeconds: number): void {
    this.isFrozen = isFrozen;
    if (!isFrozen) this.#configure(this.#configuration, nowSeconds);
    this.#schedule();
  }

  write(bytes: Uint8Array, length: number, nowSeconds: number): void {
    if (length === 0) return;
    this.#pointer = bytes[0]!;
    if (length < 3) return;
    const value = (bytes[1]! << 8) | bytes[2]!;
    switch (this.#pointer) {
      case Register.configuration:
        if (value & 0x8000) this.reset(nowSeconds);
        else this.#configure(value, nowSeconds);
        break;
      case Register.calibration:
        this.#calibration = value & 0x7fff;
        break;
      case Register.maskEnable:
        this.#mask = (value & MASK_WRITABLE) | (this.#mask & CONVERSION_READY);
        this.#driveAlertPin(false, nowSeconds);
        this.#schedule();
        break;
      case Register.alertLimit:
        this.#limit = value;
        break;
    }
  }

  read(into: Uint8Array, nowSeconds: number): void {
    this.#completeUnwatchedConversions(nowSeconds);
    const value = this.#valueOf(this.#pointer) & 0xffff;
    if (this.#pointer === Register.maskEnable) {
      // Reading the mask clears the flags that wait to be read.
      this.#mask &= ~CONVERSION_READY;
      if (this.#mask & ALERT_LATCHED) this.#driveAlertPin(false, nowSeconds);
    }
    const { length } = into;
    for (let index = 0; index < length; index++) into[index] = index % 2 === 0 ? value >> 8 : value & 0xff;
  }

  /** End of a conversion whose result the alert pin may act on. */
  act(nowSeconds: number): void {
    this.tank.advanceTo(nowSeconds);
    const seconds = nowSeconds - this.#windowStartSeconds;
    const meanAmps = (this.tank.shuntCoulombs - this.#windowCoulombs) / seconds;
    const meanVolts = (this.tank.terminalVoltSeconds - this.#windowVoltSeconds) / seconds;
    this.#latch(meanAmps, meanVolts, nowSeconds);
    this.#openWindow(nowSeconds);
    this.#awaitNextConversion(1);
  }

  #valueOf(register: number): number {
    switch (register) {
      case Register.configuration:
        return this.#configuration;
      case Register.shuntVoltage:
        return this.#shunt;
      case Register.busVoltage:
        return this.#bus;
      case Register.power:
        return Math.abs(Math.trunc((this.#currentRegister() * this.#bus) / 20000));
      case Register.current:
        return this.#currentRegister();
      case Register.calibration:
        return this.#calibration;
      case Register.maskEnable:
        return this.#mask;
      case Register.alertLimit:
        return this.#limit;
      case Register.manufacturerId:
        return 0x5449;
      case Register.dieId:
        return 0x2260;
      default:
        return 0;
    }
  }

  #currentRegister(): number {
    return Math.trunc((this.#shunt * this.#calibration) / 2048);
  }

  #configure(value: number, nowSeconds: number): void {
    this.#configuration = value;
    const mode = value & 7;
    const shuntMicroseconds = mode & 1 ? CONVERSION_MICROSECONDS[(value >> 3) & 7]! : 0;
    const busMicroseconds = mode & 2 ? CONVERSION_MICROSECONDS[(value >> 6) & 7]! : 0;
    this.#averages = AVERAGES[(value >> 9) & 7]!;
    this.#conversionSeconds = ((shuntMicroseconds + busMicroseconds) * this.#averages) / 1e6;
    this.#mask &= ~CONVERSION_READY;
    this.tank.advanceTo(nowSeconds);
    this.#openWindow(nowSeconds);
    // Modes 0 and 4 are power-down.
    this.#conversionEndsAtSeconds = this.#conversionSeconds > 0 ? nowSeconds + this.#conversionSeconds : Infinity;
    this.#schedule();
  }

  /** Triggered modes convert once, continuous ones for ever. */
  #awaitNextConversion(periods: number): void {
    if ((this.#configuration & 4) === 0) this.#conversionEndsAtSeconds = Infinity;
    else this.#conversionEndsAtSeconds += periods * this.#conversionSeconds;
    this.#schedule();
  }

  /** Infinity while nothing outside depends on a conversion's end; then it is made up when somebody reads. */
  #schedule(): void {
    this.dueAtSeconds = this.#mask & 0xfc00 && !this.isFrozen ? this.#conversionEndsAtSeconds : Infinity;
  }

  #openWindow(nowSeconds: number): void {
    this.#windowStartSeconds = nowSeconds;
    this.#windowCoulombs = this.tank.shuntCoulombs;
    this.#windowVoltSeconds = this.tank.terminalVoltSeconds;
  }

  /** With no alert enabled nobody can tell when a conversion ended: only the newest is made, from the present. */
  #completeUnwatchedConversions(nowSeconds: number): void {
    if (this.dueAtSeconds !== Infinity || this.isFrozen || this.#conversionEndsAtSeconds > nowSeconds) return;
    this.tank.advanceTo(nowSeconds);
    this.#latch(this.tank.seenAmps, this.tank.seenVolts, nowSeconds);
    const missed = Math.floor((nowSeconds - this.#conversionEndsAtSeconds) / this.#conversionSeconds);
    this.#openWindow(nowSeconds);
    this.#awaitNextConversion(missed + 1);
  }

  #latch(meanAmps: number, meanVolts: number, nowSeconds: number): void {
    const averaged = Math.sqrt(this.#averages);
    const mode = this.#configuration & 7;
    if (mode & 1) {
      const ripple = meanAmps * this.tank.options.supplyRippleFraction;
      const noiseVolts = Math.hypot(SHUNT_NOISE_VOLTS, ripple * this.tank.shuntOhms) / averaged;
      const volts = (this.shuntLeadIsLoose ? 0 : meanAmps * this.tank.shuntOhms) + noiseVolts * this.noise.gaussian();
      this.#shunt = Math.max(-32768, Math.min(32767, Math.round(volts / SHUNT_LSB_VOLTS)));
    }
    if (mode & 2) {
      const volts = (this.busLeadIsLoose ? 0 : meanVolts) + (BUS_NOISE_VOLTS / averaged) * this.noise.gaussian();
      this.#bus = Math.max(0, Math.min(32767, Math.round(volts / BUS_LSB_VOLTS)));
    }
    this.#mask |= CONVERSION_READY;
    const limit = (this.#limit << 16) >> 16;
    // The highest enabled bit decides which comparison is made.
    let isBeyond = false;
    if (this.#mask & ALERT_SHUNT_OVER) isBeyond = this.#shunt > limit;
    else if (this.#mask & ALERT_SHUNT_UNDER) isBeyond = this.#shunt < limit;
    else if (this.#mask & ALERT_BUS_OVER) isBeyond = this.#bus > this.#limit;
    else if (this.#mask & ALERT_BUS_UNDER) isBeyond = this.#bus < this.#limit;
    else if (this.#mask & ALERT_CONVERSION) isBeyond = true;
    if (isBeyond) this.#driveAlertPin(true, nowSeconds);
    else if (!(this.#mask & ALERT_LATCHED)) this.#driveAlertPin(false, nowSeconds);
  }

  #driveAlertPin(isAsserted: boolean, nowSeconds: number): void {
    if (isAsserted) this.#mask |= ALERT_FLAG;
    else this.#mask &= ~ALERT_FLAG;
    this.onAlertPin(isAsserted !== ((this.#mask & ALERT_INVERTED) !== 0), nowSeconds);
  }
}
