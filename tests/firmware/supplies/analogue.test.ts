/* The analogue supply: what it asks of the converter, how slowly and how far the shunt may trim it, and what stops the trim. */
import { describe, expect, it } from 'vitest';
import { MonitorFault, SupplyFault } from '@bathkeeper/shared-core/control';
import { supplyOutput } from '../../../firmware/src/supplies/analogue.js';
import { SupplyRig } from './supply-rig.js';

/** An MCP4725 (Microchip DS22039) and behind it a supply of 100 codes an ampere, off by a factor. */
class ConverterAndSupply {
  code = 4000;
  gain = 1;
  isAnswering = true;
  takesWrites = true;
  writes = 0;
  readonly rig = new SupplyRig(supplyOutput, {
    writeTo: (address, ...parts) => {
      if (!this.isAnswering || address !== 0x60) throw new Error('no acknowledge');
      this.writes++;
      if (this.takesWrites) this.code = ((parts[0] as number) & 15) * 256 + (parts[1] as number);
    },
    readFrom: () => {
      if (!this.isAnswering) throw new Error('no acknowledge');
      return [0xc0, this.code >> 4, (this.code & 15) << 4];
    },
  });

  get amps(): number {
    return (this.code / 100) * this.gain;
  }
  /** Steps in which the shunt shows what flows. */
  pass(seconds: number, amps: number, isSteady = true): void {
    for (let i = 0; i < seconds * 5; i++) {
      this.rig.inputs.currentAmps = this.amps;
      this.rig.step(amps, isSteady);
    }
  }
}

describe('the analogue supply', () => {
  it('carries zero from the first step on, and is at zero once that was read back', () => {
    const bench = new ConverterAndSupply();
    expect(bench.rig.supply).toMatchObject({ fault: SupplyFault.silent, isAtZero: false });
    bench.rig.step(0);
    expect(bench.code).toBe(0);
    expect(bench.rig.supply).toMatchObject({ fault: SupplyFault.none, isAtZero: true });
    bench.rig.step(4);
    expect(bench.rig.supply.isAtZero).toBe(false);
    expect(bench.code).toBe(400);
  });

  it('is written in every step, so that a converter that lost its power is right again in the next', () => {
    const bench = new ConverterAndSupply();
    bench.pass(2, 4);
    bench.code = 0;
    bench.rig.step(4);
    expect(bench.code).toBe(400);
  });

  it('a converter that stops answering in a run is silent at once, and good again with its first answer', () => {
    const bench = new ConverterAndSupply();
    bench.pass(2, 4);
    bench.isAnswering = false;
    bench.rig.step(4);
    expect(bench.rig.supply.fault).toBe(SupplyFault.silent);
    bench.isAnswering = true;
    bench.rig.step(4);
    expect(bench.rig.supply.fault).toBe(SupplyFault.none);
  });

  it('a converter that holds something else is not as asked within a second', () => {
    const bench = new ConverterAndSupply();
    bench.pass(2, 4);
    bench.takesWrites = false;
    bench.pass(1, 5);
    expect(bench.rig.supply.fault).toBe(SupplyFault.notAsAsked);
  });
});

describe('the trim by the shunt', () => {
  it.each([0.96, 0.98, 1.02, 1.04])(
    'brings a supply that is off by %d to just under what is permitted, in minutes',
    (gain) => {
      const bench = new ConverterAndSupply();
      bench.gain = gain;
      bench.pass(180, 20);
      expect(bench.amps).toBeGreaterThan(20 * 0.995);
      expect(bench.amps).toBeLessThanOrEqual(20);
    },
  );

  it.each([1, 0.998])('leaves a supply alone that is off by %d', (gain) => {
    const bench = new ConverterAndSupply();
    bench.gain = gain;
    bench.pass(600, 20);
    expect(bench.code).toBe(2000);
  });

  it('comes slowly: in ten seconds less than half of the way', () => {
    const bench = new ConverterAndSupply();
    bench.gain = 0.96;
    bench.pass(10, 20);
    expect(bench.amps).toBeLessThan(20 * 0.98);
  });

  it('ends at five per cent of the set-point either way', () => {
    const bench = new ConverterAndSupply();
    bench.gain = 0.93;
    bench.pass(600, 20);
    expect(bench.code).toBe(2100);
    bench.gain = 1.08;
    bench.pass(600, 20);
    expect(bench.code).toBe(1900);
  });

  it('lets go of what it added when more flows than any drift explains', () => {
    const bench = new ConverterAndSupply();
    bench.gain = 0.94;
    bench.pass(600, 20);
    expect(bench.code).toBe(2100);
    bench.gain = 1.1;
    bench.pass(0.4, 20);
    expect(bench.code).toBe(2000);
  });

  it('never answers a difference that no drift explains', () => {
    const bench = new ConverterAndSupply();
    bench.gain = 0.85;
    bench.pass(300, 20);
    expect(bench.code).toBe(2000);
  });

  const stops: [string, (bench: ConverterAndSupply) => void, boolean][] = [
    ['something is wrong', () => undefined, false],
    ['the shunt monitor is at fault', (bench) => (bench.rig.inputs.monitorFault = MonitorFault.changed), true],
    ['the terminals are near the ceiling of the rig', (bench) => (bench.rig.inputs.terminalVolts = 7.7), true],
  ];
  it.each(stops)('stands still while %s', (_name, stop, isSteady) => {
    const bench = new ConverterAndSupply();
    bench.gain = 0.97;
    bench.pass(15, 20);
    const before = bench.code;
    expect(before).toBeGreaterThan(2000);
    stop(bench);
    bench.pass(60, 20, isSteady);
    expect(bench.code).toBe(before);
  });

  it('stands still while the set-point moves and for three seconds after', () => {
    const bench = new ConverterAndSupply();
    bench.gain = 0.97;
    for (let i = 0; i < 100; i++) bench.pass(0.2, 10 + i / 10);
    bench.pass(2.8, 20);
    expect(bench.code).toBe(2000);
    bench.pass(5, 20);
    expect(bench.code).toBeGreaterThan(2000);
  });

  it('keeps its share when the set-point falls, and is forgotten at zero', () => {
    const bench = new ConverterAndSupply();
    bench.gain = 0.96;
    bench.pass(180, 20);
    const share = bench.code / 2000;
    bench.pass(0.2, 5);
    expect(bench.code / 500).toBeCloseTo(share, 2);
    bench.pass(1, 0);
    expect(bench.code).toBe(0);
    bench.pass(0.2, 20);
    expect(bench.code).toBe(2000);
  });

  it('a shunt that shows no number moves nothing', () => {
    const bench = new ConverterAndSupply();
    bench.pass(5, 20);
    bench.rig.inputs.currentAmps = NaN;
    for (let i = 0; i < 50; i++) bench.rig.step(20);
    expect(bench.code).toBeLessThanOrEqual(2000);
    expect(bench.code).toBeGreaterThanOrEqual(1990);
    expect(bench.rig.supply.fault).toBe(SupplyFault.none);
  });
});
