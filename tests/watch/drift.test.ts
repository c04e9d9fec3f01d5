/*
 * What the drift watch finds in live messages, and what it does not take for a drift: each course by itself, the recipe's own steps, gaps, and what is
 * kept over a restart. Sizes and times are the project's own (common practice, no source), unless a source stands beside them.
 */
import { Phase, SupplyKind } from '@bathkeeper/shared-core/control';
import {
  bathDrift,
  driftKept,
  type DriftFinding,
  forgetFinding,
  keptDrift,
  ohmsAt,
} from '@bathkeeper/shared-core/watch';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PERMITTED_AMPS, plan, Plating, START_MS } from './plating.js';

const told = (findings: readonly DriftFinding[]): string[] =>
  findings.map(({ name, turned, severity, direction }) => `${name} ${turned} ${severity} ${direction}`);
const MINUTES = 60;

describe('calm plating', () => {
  it('finds nothing in three hours', () => {
    expect(new Plating().play(3 * 3600)).toEqual([]);
  });

  it('takes a slow ramp, the step to plating, a lowering and a derating for what the recipe asks', () => {
    const plating = new Plating();
    const asked = (amps: number, phase: Phase = Phase.plate) => ({
      amps,
      permittedAmps: amps,
      volts: 0.15 * amps,
      phase,
    });
    plating.play(30 * MINUTES, (second) => asked(2 + (18 * second) / 1800, Phase.ramp));
    plating.play(40 * MINUTES, () => asked(20));
    plating.play(40 * MINUTES, () => asked(14));
    plating.play(40 * MINUTES, () => asked(7));
    expect(plating.findings).toEqual([]);
  });

  it('takes the paint that closes over an hour for what it is', () => {
    const plating = new Plating();
    plating.play(2 * 3600, (second) => ({ volts: 3 + 0.6 * Math.exp(-second / 900) }));
    expect(plating.findings.filter(({ severity }) => severity === 'tonight')).toEqual([]);
  });
});

describe('the current', () => {
  it.each([
    ['down', -1],
    ['up', 1],
  ] as const)(
    'that drifts %s by 5 %% in 30 min is a matter for tonight within 10 min of its beginning',
    (direction, sign) => {
      const plating = new Plating();
      plating.play(20 * MINUTES);
      plating.play(30 * MINUTES, (second) => ({
        amps: PERMITTED_AMPS * (1 + (sign * 0.05 * second) / 1800),
        volts: 3 * (1 + (sign * 0.05 * second) / 1800),
      }));
      const call = plating.findings.find(({ severity }) => severity === 'tonight')!;
      expect(call).toMatchObject({ name: 'current-drifting', direction });
      expect(call.atSeconds - 20 * MINUTES).toBeLessThanOrEqual(600);
      expect(call.before).toBeCloseTo(PERMITTED_AMPS, 1);
      // Since when: within five minutes of the truth.
      expect(Math.abs(call.sinceMs - (START_MS + 20 * MINUTES * 1000))).toBeLessThan(300_000);
    },
  );

  it('that is off by less than a hundredth is shown, told once, and over when it has been as usual for some minutes', () => {
    const plating = new Plating();
    plating.play(20 * MINUTES);
    plating.play(20 * MINUTES, () => ({ amps: PERMITTED_AMPS * 0.9915 }));
    plating.play(20 * MINUTES);
    expect(told(plating.findings.filter(({ name }) => name === 'current-drifting'))).toEqual([
      'current-drifting raised look down',
      'current-drifting cleared look down',
    ]);
  });

  it('that sags at the ceiling has the cell as its likeliest cause, else the supply, by hand the knob', () => {
    const causes = (volts: number, supplyKind: SupplyKind): readonly string[] => {
      const plating = new Plating();
      plating.play(20 * MINUTES, () => ({ volts, supplyKind }));
      plating.play(15 * MINUTES, () => ({ amps: 19.5, volts, supplyKind }));
      return plating.findings.find(({ name }) => name === 'current-drifting')!.causes;
    };
    expect(causes(7.7, SupplyKind.scpi)[0]).toBe('supply-at-ceiling');
    expect(causes(3, SupplyKind.scpi)[0]).toBe('supply-output');
    expect(causes(3, SupplyKind.byHand)[0]).toBe('hand-set');
  });
});

describe('the resistance of the cell', () => {
  it('that jumps by a clip is a matter for tonight within 5 min, with the clip as its likeliest cause', () => {
    const plating = new Plating();
    plating.play(30 * MINUTES);
    plating.play(5 * MINUTES, () => ({ volts: 3.05 }));
    const call = plating.findings.find(({ severity }) => severity === 'tonight')!;
    expect(call).toMatchObject({ name: 'cell-resistance-drifting', direction: 'up' });
    expect(call.causes[0]).toBe('clip-or-contact');
    expect(call.now - call.before).toBeCloseTo(0.05 / PERMITTED_AMPS, 3);
  });

  it('that jumps by less than 20 mV is shown at most', () => {
    const plating = new Plating();
    plating.play(30 * MINUTES);
    plating.play(20 * MINUTES, () => ({ volts: 3.015 }));
    expect(plating.findings.filter(({ severity }) => severity === 'tonight')).toEqual([]);
  });

  it('that falls by a tenth at once is something that comes near', () => {
    const plating = new Plating();
    plating.play(50 * MINUTES);
    plating.play(5 * MINUTES, () => ({ volts: 2.7 }));
    const call = plating.findings.find(({ severity }) => severity === 'tonight')!;
    expect(call).toMatchObject({ name: 'cell-resistance-drifting', direction: 'down' });
    expect(call.causes[0]).toBe('anode-moved-nearer');
  });

  it('does not change with a bath that warms or cools by 2 K', () => {
    const plating = new Plating();
    plating.play(30 * MINUTES);
    // The liquid's 1.5 % a kelvin on most of the voltage (common practice, no source).
    plating.play(3 * 3600, (second) => {
      const kelvin = (2 * second) / (3 * 3600);
      return { celsius: 24 + kelvin, volts: 3 * (1 - 0.013 * kelvin) };
    });
    expect(plating.findings).toEqual([]);
  });

  it('that falls by 8 % over five hours is water that may have gone, shown and never a call', () => {
    const plating = new Plating();
    plating.play(90 * MINUTES);
    plating.play(5 * 3600, (second) => ({ volts: 3 * (1 - (0.08 * second) / (5 * 3600)) }));
    expect(told(plating.findings)).toEqual(['liquid-evaporating raised look down']);
    expect(plating.findings[0]!.causes[0]).toBe('water-evaporated');
  });

  it('is reckoned at the usual current: a few per cent less current is no other resistance', () => {
    // 3.92 V at 19.5 A are 0.2010 ohms by themselves, and 0.2000 at 20 A.
    expect(ohmsAt(20, { amps: 19.5, volts: 3.92, celsius: 25 })).toBeCloseTo(0.2, 4);
    expect(ohmsAt(20, { amps: 20, volts: 4, celsius: 25 })).toBeCloseTo(0.2, 12);
  });
});

describe('the bath temperature', () => {
  it('that rises by 1 °C in 10 min says when it will be at its limit, to a minute or two, and calls half an hour before', () => {
    const plating = new Plating();
    plating.play(20 * MINUTES, () => ({ celsius: 25 }));
    plating.play(40 * MINUTES, (second) => ({ celsius: 25 + second / 600 }));
    const findings = plating.findings.filter(({ name }) => name === 'temperature-drifting');
    expect(told(findings)).toEqual(['temperature-drifting raised look up', 'temperature-drifting worse tonight up']);
    const limitAtSeconds = 20 * MINUTES + 5 * 600;
    const call = findings[1]!;
    expect(limitAtSeconds - call.atSeconds).toBeGreaterThan(1200);
    expect(call.limit!.value).toBe(30);
    expect(Math.abs(call.limit!.atMs - (START_MS + limitAtSeconds * 1000))).toBeLessThan(240_000);
  });

  it('that swings by a degree with the room, slowly, is nothing to tell', () => {
    const plating = new Plating();
    plating.play(8 * 3600, (second) => ({ celsius: 26 + 1.5 * Math.sin((2 * Math.PI * second) / 86_400) }));
    expect(plating.findings).toEqual([]);
  });

  it('that falls towards the cold limit has the heater as its likeliest cause', () => {
    const plating = new Plating();
    plating.play(20 * MINUTES, () => ({ celsius: 20 }));
    plating.play(20 * MINUTES, (second) => ({ celsius: 20 - second / 1200 }));
    expect(plating.findings[0]).toMatchObject({ name: 'temperature-drifting', direction: 'down' });
    expect(plating.findings[0]!.causes[0]).toBe('heater-off');
    expect(plating.findings[0]!.limit!.value).toBe(18);
  });
});

describe('the rotation', () => {
  it('that becomes slower by a tenth is shown, and by a third a matter for tonight', () => {
    const plating = new Plating();
    plating.play(15 * MINUTES);
    expect(told(plating.play(10 * MINUTES, () => ({ turnSeconds: 11 })))).toEqual(['rotation-drifting raised look up']);
    expect(told(plating.play(10 * MINUTES, () => ({ turnSeconds: 13 })))).toEqual([
      'rotation-drifting worse tonight up',
    ]);
  });
});

describe('the supply', () => {
  it('whose voltage climbs says when it will be at its ceiling', () => {
    const plating = new Plating();
    plating.play(30 * MINUTES, () => ({ volts: 6 }));
    plating.play(45 * MINUTES, (second) => ({ volts: 6 + (1.6 * second) / 3600 }));
    const finding = plating.findings.find(({ name }) => name === 'supply-drifting')!;
    // 95 % of 8 V are 7.6 V, an hour after the climb began.
    expect(finding.limit!.value).toBeCloseTo(7.6, 9);
    expect(Math.abs(finding.limit!.atMs - (START_MS + 90 * MINUTES * 1000))).toBeLessThan(20 * 60_000);
  });
});

/** Less current, and the voltage that it needs. */
const LESS = { amps: 19.5, volts: 2.94 };

describe('what stands', () => {
  const withDrift = (): Plating => {
    const plating = new Plating();
    plating.play(20 * MINUTES);
    plating.play(15 * MINUTES, () => LESS);
    expect(plating.drift.standing['current-drifting']).toBeDefined();
    return plating;
  };

  it('is over with the set-point it was judged at, with the run, and with the current', () => {
    for (const change of [
      { permittedAmps: 10, amps: 10 },
      { phase: Phase.done, isContactorClosed: false },
    ]) {
      const plating = withDrift();
      expect(told(plating.play(1, () => change))).toEqual(['current-drifting cleared tonight down']);
      expect(plating.drift.standing).toEqual({});
    }
    const plating = withDrift();
    plating.plan_ = { ...plan, runNumber: 2 };
    expect(told(plating.play(1))).toEqual(['current-drifting cleared tonight down']);
  });

  it('is kept as text and found again: after a restart of half an hour nothing is told anew, and its end is', () => {
    const before = withDrift();
    const drift = driftKept(keptDrift(before.drift))!;
    expect(drift).toEqual(before.drift);
    const after = new Plating(drift, 2);
    after.seconds = before.seconds + 1800;
    expect(after.play(10 * MINUTES, () => LESS)).toEqual([]);
    expect(told(after.play(15 * MINUTES))).toEqual(['current-drifting cleared tonight down']);
  });

  it('is found again when it could not be told', () => {
    const plating = withDrift();
    forgetFinding(plating.drift, 'current-drifting');
    // It learns anew; what is usual then is what it learnt.
    const ofCurrent = (findings: readonly DriftFinding[]) => findings.filter(({ name }) => name === 'current-drifting');
    expect(ofCurrent(plating.play(20 * MINUTES, () => LESS))).toEqual([]);
    expect(told(ofCurrent(plating.play(15 * MINUTES, () => ({ amps: 19, volts: 2.88 }))))[0]).toMatch(
      /^current-drifting raised/,
    );
  });

  it('of another version, or damaged, is not used', () => {
    for (const text of [
      '',
      '{',
      'null',
      '{"shape":0,"drift":{"standing":{}}}',
      '{"shape":1}',
      '{"shape":1,"drift":null}',
    ])
      expect(driftKept(text)).toBeUndefined();
  });
});

describe('whatever is heard', () => {
  const second = fc.record({
    amps: fc.double({ min: -5, max: 60, noNaN: true }),
    volts: fc.double({ min: 0, max: 40, noNaN: true }),
    celsius: fc.double({ min: -20, max: 120, noNaN: true }),
    turnSeconds: fc.double({ min: 0.5, max: 60, noNaN: true }),
    phase: fc.constantFrom(Phase.idle, Phase.strike, Phase.ramp, Phase.plate, Phase.hold, Phase.finish, Phase.done),
    permittedAmps: fc.constantFrom(0, 2, 20, 20, 20),
  });

  it('grows no state without end, throws nothing, and raises nothing twice', () => {
    fc.assert(
      fc.property(
        fc.array(second, { minLength: 5, maxLength: 20 }),
        fc.integer({ min: 20, max: 200 }),
        (seconds, each) => {
          const plating = new Plating(bathDrift(1));
          for (const one of seconds) plating.play(each, () => one);
          const standing = new Map<string, string>();
          for (const { name, turned, severity } of plating.findings) {
            if (turned === 'raised') expect(standing.has(name)).toBe(false);
            if (turned === 'worse') expect([standing.get(name), severity]).toEqual(['look', 'tonight']);
            if (turned === 'cleared') standing.delete(name);
            else standing.set(name, severity);
          }
          expect(new Set(standing.keys())).toEqual(new Set(Object.keys(plating.drift.standing)));
          // Constant memory: what is kept never exceeds what a whole night may learn.
          expect(keptDrift(plating.drift).length).toBeLessThan(12_000);
        },
      ),
      { numRuns: 15 },
    );
  });
});
