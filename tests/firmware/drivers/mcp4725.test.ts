/* The set-point's code, and the converter's driver against a chip that can lose its power or its wire. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { setPointCode, setPointOutput } from '../../../firmware/src/drivers/mcp4725.js';

/** An MCP4725 (Microchip DS22039): fast write of two bytes, read-back of status and twelve bits, left-aligned. */
class ConverterChip {
  code = 0;
  isAnswering = true;
  takesWrites = true;
  writeTo = (address: number, ...parts: (number | ArrayLike<number>)[]): void => {
    if (!this.isAnswering || address !== 0x60) throw new Error('no acknowledge');
    if (this.takesWrites) this.code = ((parts[0] as number) & 15) * 256 + (parts[1] as number);
  };
  readFrom = (): Uint8Array => new Uint8Array([0xc0, this.code >> 4, (this.code & 15) << 4]);
}

describe('MCP4725', () => {
  it('18.4 A at 100 codes an ampere is 1840', () => {
    expect(setPointCode(18.4, { codeAtZero: 0, codesPerAmp: 100 })).toBe(1840);
    expect(setPointCode(0.29, { codeAtZero: 0, codesPerAmp: 100 })).toBe(29);
  });

  it.each([0, -1, NaN, -Infinity])('%d A is code 0, whatever the code at zero', (amps) => {
    expect(setPointCode(amps, { codeAtZero: 40, codesPerAmp: 100 })).toBe(0);
  });

  it('never asks for more than was permitted, nor wraps around', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 400, noNaN: true }),
        fc.integer({ min: -1000, max: 1000 }),
        fc.double({ min: 1, max: 4095, noNaN: true }),
        (amps, codeAtZero, codesPerAmp) => {
          const code = setPointCode(amps, { codeAtZero, codesPerAmp });
          expect(Number.isInteger(code)).toBe(true);
          expect(code).toBeGreaterThanOrEqual(0);
          expect(code).toBeLessThanOrEqual(4095);
          if (code > 0) expect((code - codeAtZero) / codesPerAmp).toBeLessThanOrEqual(amps + 1e-6);
        },
      ),
    );
  });

  it('answers once what was written was read back', () => {
    const chip = new ConverterChip();
    const output = setPointOutput(chip, { codeAtZero: 0, codesPerAmp: 100 });
    expect(output.isAnswering).toBe(false);
    output.write(0, 0);
    expect(output.isAnswering).toBe(true);
    output.write(12.34, 200);
    expect(chip.code).toBe(1234);
  });

  it('does not answer when the chip is gone, or carries something else than was written', () => {
    const chip = new ConverterChip();
    const output = setPointOutput(chip, { codeAtZero: 0, codesPerAmp: 100 });
    output.write(5, 0);
    chip.takesWrites = false;
    output.write(6, 1000);
    expect(output.isAnswering).toBe(false);
    chip.takesWrites = true;
    output.write(6, 2000);
    expect(output.isAnswering).toBe(true);
    chip.isAnswering = false;
    output.write(6, 2200);
    expect(output.isAnswering).toBe(false);
  });
});
