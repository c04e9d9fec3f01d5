/* The supply that is set by hand: what stands on the display, by a display that takes half-bytes as the HD44780 does. */
import { describe, expect, it } from 'vitest';
import { SupplyFault } from '@bathkeeper/shared-core/control';
import { lineToSet, supplyOutput } from '../../../firmware/src/supplies/by-hand.js';
import { SupplyRig } from './supply-rig.js';

/** An HD44780 (Hitachi data sheet, figure 24) behind a PCF8574: it takes what stands on its pins when E falls. */
class Display {
  line = '';
  isAnswering = true;
  isOn = false;
  bytesInLargestStep = 0;
  private isFourBit = false;
  private cursor = 0;
  private high: number | undefined;
  private before = 0;
  private bytesInStep = 0;
  readonly rig = new SupplyRig(supplyOutput, {
    writeTo: (address, ...parts) => {
      if (!this.isAnswering || address !== 0x27) throw new Error('no acknowledge');
      for (const part of parts)
        for (const byte of typeof part === 'number' ? [part] : Array.from(part)) this.pins(byte);
    },
    readFrom: () => [0],
  });

  step(amps: number): void {
    this.bytesInStep = 0;
    this.rig.step(amps);
    this.bytesInLargestStep = Math.max(this.bytesInLargestStep, this.bytesInStep);
  }
  steps(count: number, amps: number): void {
    for (let i = 0; i < count; i++) this.step(amps);
  }
  /** The display alone lost its power; the expander answers on. */
  loseImage(): void {
    this.line = '';
    this.isFourBit = this.isOn = false;
    this.high = undefined;
  }

  private pins(byte: number): void {
    this.bytesInStep++;
    const falls = this.before & 4 && !(byte & 4);
    const taken = this.before;
    this.before = byte;
    if (!falls) return;
    expect(taken & 2).toBe(0);
    const half = taken >> 4;
    if (!this.isFourBit) {
      if (half === 2) this.isFourBit = true;
      else expect(half).toBe(3);
      return;
    }
    if (this.high === undefined) {
      this.high = half;
      return;
    }
    this.take(this.high * 16 + half, (taken & 1) === 1);
    this.high = undefined;
  }
  private take(byte: number, isCharacter: boolean): void {
    if (isCharacter) {
      const cells = this.line.padEnd(16).split('');
      cells[this.cursor++] = String.fromCharCode(byte);
      this.line = cells.join('');
    } else if (byte & 0x80) this.cursor = byte & 0x7f;
    else if ((byte & 0xf8) === 8) this.isOn = (byte & 4) === 4;
  }
}

describe('the supply that is set by hand', () => {
  it.each([
    [0, 'SET 0.0 A'],
    [12.48, 'SET 12.4 A'],
    [0.3, 'SET 0.3 A'],
    [19.99, 'SET 19.9 A'],
    [20, 'SET 20.0 A'],
    [NaN, 'SET 0.0 A'],
  ])('%d A is shown as %s', (amps, line) => {
    expect(lineToSet(amps)).toBe(line);
  });

  it('shows what to set within two seconds of a change', () => {
    const display = new Display();
    display.steps(8, 0);
    expect(display).toMatchObject({ line: 'SET 0.0 A       ', isOn: true });
    expect(display.rig.supply).toMatchObject({ fault: SupplyFault.none, isAtZero: true });
    display.steps(8, 12.48);
    expect(display.line).toBe('SET 12.4 A      ');
    expect(display.rig.supply.isAtZero).toBe(false);
    display.steps(8, 1);
    expect(display.line).toBe('SET 1.0 A       ');
  });

  it('shows it again within a minute on a display that lost its power', () => {
    const display = new Display();
    display.steps(8, 5);
    display.loseImage();
    display.steps(160, 5);
    expect(display).toMatchObject({ line: 'SET 5.0 A       ', isOn: true });
  });

  it('is silent while the display does not answer, and shows all of it once it does', () => {
    const display = new Display();
    display.steps(8, 5);
    display.isAnswering = false;
    display.step(5);
    expect(display.rig.supply.fault).toBe(SupplyFault.silent);
    display.isAnswering = true;
    display.loseImage();
    display.steps(8, 5);
    expect(display.rig.supply.fault).toBe(SupplyFault.none);
    expect(display.line).toBe('SET 5.0 A       ');
  });

  it('takes little of any one step', () => {
    const display = new Display();
    for (let amps = 0; amps < 5; amps += 0.1) display.steps(3, amps);
    expect(display.bytesInLargestStep).toBeLessThanOrEqual(24);
  });
});
