/* The set-point's code, and the converter's driver against a chip that can lose its power or its wire. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SupplyFault } from '@bathkeeper/shared-core/control';
import { codeFault, setPointCode, writeCode } from '../../../firmware/src/drivers/mcp4725.js';

/** An MCP4725 (Microchip DS22039): fast write of two bytes, read-back of status and twelve bits, left-aligned. */
class ConverterChip {
  code = 0;
  isAnswering = true;
  takesWrites = true;
  writeTo = (address: number, ...parts: (number | ArrayLike<number>)[]): void => {
    if (!this.isAnswering || address !== 0x60) throw new Error('no acknowledge');
    if (this.takesWrites) this.code = ((parts[0] as number) & 15) * 256 + (parts[1] as number);
  };
  readFrom = (): Uint8Array => {
    if (!this.isAnswering) throw new Error('no acknowledge');
    return new Uint8Array([0xc0, this.code >> 4, (this.code & 15) << 4]);
  };
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

  it('reads back what was written, and notices when it carries something else', () => {
    const chip = new ConverterChip();
    writeCode(chip, 1234);
    expect(chip.code).toBe(1234);
    expect(codeFault(chip, 1234)).toBe(SupplyFault.none);
    expect(codeFault(chip, 1235)).toBe(SupplyFault.notAsAsked);
    chip.takesWrites = false;
    writeCode(chip, 600);
    expect(codeFault(chip, 600)).toBe(SupplyFault.notAsAsked);
  });

  it('throws when nobody answers', () => {
    const chip = new ConverterChip();
    chip.isAnswering = false;
    expect(() => {
      writeCode(chip, 0);
    }).toThrow();
    expect(() => codeFault(chip, 0)).toThrow();
  });
});
