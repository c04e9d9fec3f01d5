/*
 * A supply with a serial line that speaks SCPI (IEEE 488.2, SCPI-1999), as far as a supply of one output has it: it takes set-point,
 * voltage ceiling and output, and answers after its own time. Drives the tank's supply. A fault makes it silent or forget what it was told.
 */
import { TimedProcess } from '../world-clock.js';
import type { SerialDevice } from './serial-device.js';

/** From the end of a question to the end of its answer at 9600 baud; a usual figure, no source. */
const ANSWER_SECONDS = 0.06;

export interface ScpiOutput {
  setAmps(amps: number, nowSeconds: number): void;
  setCeilingVolts(volts: number, nowSeconds: number): void;
  measuredAmps(nowSeconds: number): number;
}

export class ScpiSupply extends TimedProcess implements SerialDevice {
  onAnswer: (text: string) => void = () => undefined;
  isSilent = false;
  #received = '';
  #amps = 0;
  #volts = 0;
  #isOn = false;
  readonly #errors: string[] = [];
  readonly #answers: { atSeconds: number; text: string }[] = [];

  /** What it should deliver now. */
  get askedAmps(): number {
    return this.#isOn ? this.#amps : 0;
  }

  constructor(readonly output: ScpiOutput) {
    super();
  }

  /** Its mains was switched off and on: everything is at its power-on value, the output off. */
  powerUp(nowSeconds: number): void {
    this.#amps = this.#volts = 0;
    this.#isOn = false;
    this.#received = '';
    this.#deliver(nowSeconds);
  }

  take(text: string, nowSeconds: number): void {
    this.#received += text;
    for (;;) {
      const end = this.#received.indexOf('\n');
      if (end < 0) return;
      const line = this.#received.slice(0, end).trim();
      this.#received = this.#received.slice(end + 1);
      if (this.isSilent) continue;
      const answer = this.#answer(line.toUpperCase(), nowSeconds);
      if (answer === undefined) continue;
      this.#answers.push({ atSeconds: nowSeconds + ANSWER_SECONDS, text: `${answer}\n` });
      this.dueAtSeconds = this.#answers[0]!.atSeconds;
    }
  }

  act(): void {
    const answer = this.#answers.shift();
    this.dueAtSeconds = this.#answers[0]?.atSeconds ?? Infinity;
    if (answer !== undefined) this.onAnswer(answer.text);
  }

  #answer(line: string, nowSeconds: number): string | undefined {
    const space = line.indexOf(' ');
    const command = space < 0 ? line : line.slice(0, space);
    const value = space < 0 ? '' : line.slice(space + 1).trim();
    switch (command) {
      case '*IDN?':
        return 'VIRTUAL BATH,SUPPLY 40-8,0,1.0';
      case 'SYST:ERR?':
        return this.#errors.shift() ?? '0,"No error"';
      case 'CURR?':
        return this.#amps.toFixed(3);
      case 'VOLT?':
        return this.#volts.toFixed(3);
      case 'OUTP?':
        return this.#isOn ? '1' : '0';
      case 'MEAS:CURR?':
        return this.output.measuredAmps(nowSeconds).toFixed(3);
      case 'CURR':
        this.#amps = Number(value);
        break;
      case 'VOLT':
        this.#volts = Number(value);
        break;
      case 'OUTP':
        this.#isOn = value === '1' || value === 'ON';
        break;
      default:
        this.#errors.push('-113,"Undefined header"');
        return undefined;
    }
    this.#deliver(nowSeconds);
    return undefined;
  }

  #deliver(nowSeconds: number): void {
    this.output.setCeilingVolts(this.#volts, nowSeconds);
    this.output.setAmps(this.#isOn ? this.#amps : 0, nowSeconds);
  }
}
