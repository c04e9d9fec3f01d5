import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  adiabaticKelvinPerHour,
  conductivitySiemensPerMetre,
  copperGrams,
  copperMicrometres,
  kineticVolts,
  overpotentialVolts,
  plateOhms,
  resistivePartFactor,
} from '../../../firmware/bench/tank/electrolyte.js';
import { defaultTankOptions, type TankOptions } from '../../../firmware/bench/tank/tank-options.js';
import { Tank } from '../../../firmware/bench/tank/tank.js';

function tankWith(options: Partial<TankOptions> = {}): Tank {
  const tank = new Tank({ ...defaultTankOptions, ...options }, 0.0015, 1);
  tank.supply.isEnabled = true;
  return tank;
}

describe('formulas of the tank', () => {
  it('gives parallel plates their resistance: 10 cm of 25 S/m before 1 dm2 is 0.4 ohm, 0.8 V at 2 A', () => {
    // Exact: d / (kappa A).
    expect(plateOhms(0.1, 25, 0.01)).toBeCloseTo(0.4, 12);
    expect(2 * plateOhms(0.1, 25, 0.01)).toBeCloseTo(0.8, 12);
  });

  it('deposits what Faraday says', () => {
    // 0.123 A for 1 h: 0.1457 g (Kealey and Haines, Analytical Chemistry, p. 65).
    expect(copperGrams(0.123 * 3600)).toBeCloseTo(0.1457, 3);
    // 1.186 g/Ah and 0.222 micrometres a minute at 1 A/dm2 (MISUMI technical centre, no. 166, density 8.92; 0.6 %).
    expect(copperGrams(3600) / 1.186).toBeCloseTo(1, 3);
    expect(Math.abs(copperMicrometres(copperGrams(60), 1) / 0.222 - 1)).toBeLessThan(0.008);
    // About 31 A for 10 h: 367.5 g (recomputed from the constants, no publisher).
    expect(copperGrams(310 * 3600)).toBeCloseTo(367.5, 1);
  });

  it.each([
    [0.5, 1.082],
    [1, 1.313],
    [2, 2.0746],
    [3, 3.0149],
    [5, 5.0005],
  ])('feeds a resistive part with v = %f at %f times the ideal resistance', (v, factor) => {
    // Tobias and Wijsman 1953, v coth v (from memory; derivable).
    expect(resistivePartFactor(v)).toBeCloseTo(factor, 4);
  });

  it('climbs by 118 mV a decade where the kinetics is Tafel’s', () => {
    // RT ln 10 / (alpha F) at 25 Celsius with alpha 0.5: 0.1183 V, from the constants.
    const slope = kineticVolts(0.5, 25);
    expect(overpotentialVolts(slope, 300, 0.3) - overpotentialVolts(slope, 30, 0.3)).toBeCloseTo(0.1183, 4);
  });

  it('conducts better when warm, and always below acid alone', () => {
    // Sign: Hotlos and Jaskula 1988 (abstract). 60 g/L of acid alone: 28.45 S/m (Gu and others, by PyBaMM).
    const at25 = defaultTankOptions.conductivitySiemensPerMetre;
    expect(conductivitySiemensPerMetre(at25, 0.015, 30)).toBeGreaterThan(at25);
    expect(at25).toBeLessThan(28.45);
    expect(at25).toBeGreaterThan(0);
  });

  it('heats 60 L by 1.394 K an hour with 93 W', () => {
    // 31 A x 3 V, 1160 kg/m3, 3450 J/kg K (recomputed, no publisher).
    expect(adiabaticKelvinPerHour(93, 60, 1160, 3450)).toBeCloseTo(1.394, 3);
  });
});

describe('the tank', () => {
  it('delivers the set-point with the error of the supply, and counts every coulomb', () => {
    const tank = tankWith({ supplyWanderFraction: 0 });
    tank.setCircuitClosed(true, 0);
    tank.setAnalogueCode(1000, 0);
    tank.advanceTo(10);
    expect(tank.currentAmps).toBeCloseTo(10.1, 6);
    const before = tank.chargeCoulombs;
    tank.advanceTo(110);
    expect(tank.chargeCoulombs - before).toBeCloseTo(1010, 6);
  });

  it('warms by its own heat as fast as the formula says when none leaves', () => {
    const tank = tankWith({ lossWattsPerKelvin: 0, leadOhms: 0, paintOhmsPerSquare: 1e-4, supplyWanderFraction: 0 });
    tank.setCircuitClosed(true, 0);
    tank.setAnalogueCode(3100, 0);
    const bathWatts = (): number => tank.currentAmps * (tank.terminalVolts - tank.currentAmps * tank.shuntOhms);
    tank.advanceTo(60);
    const before = tank.bathCelsius;
    const wattsBefore = bathWatts();
    tank.advanceTo(3660);
    // It conducts a little better at the end than at the beginning.
    const watts = (wattsBefore + bathWatts()) / 2;
    expect(tank.bathCelsius - before).toBeCloseTo(adiabaticKelvinPerHour(watts, 60, 1160, 3450), 2);
  });

  it('cools towards the room when nothing heats it', () => {
    const tank = tankWith({ startCelsius: 30, roomCelsius: 20, roomSwingCelsius: 0 });
    tank.advanceTo(3600);
    // Newton's cooling: exp(-t UA / C).
    const capacity = 0.06 * 1160 * 3450;
    expect(tank.bathCelsius).toBeCloseTo(20 + 10 * Math.exp((-3600 * 12) / capacity), 3);
  });

  it('is chilled below its start band within the hour by a chiller that sticks on, and never frozen', () => {
    const tank = tankWith();
    tank.setFault('chillerIsStuck', true, 0);
    tank.advanceTo(3600);
    expect(tank.bathCelsius).toBeLessThan(18);
    tank.advanceTo(6 * 3600);
    expect(tank.bathCelsius).toBeGreaterThan(4.9);
    expect(tank.bathCelsius).toBeLessThan(5.1);
  });

  it('closes its paint as copper grows: the same current needs ever less voltage', () => {
    const tank = tankWith({ paintOhmsPerSquare: 30 });
    tank.setCircuitClosed(true, 0);
    tank.setAnalogueCode(360, 0);
    const volts: number[] = [];
    for (const minutes of [0.1, 2, 5, 10]) {
      tank.advanceTo(minutes * 60);
      volts.push(tank.terminalVolts);
    }
    expect(volts).toEqual([...volts].sort((a, b) => b - a));
    expect(volts[0]).toBeGreaterThan(2 * volts[3]!);
    expect(tank.sheetOhmsPerSquare()).toBeLessThan(0.1);
  });

  it('stays at its voltage ceiling when bare paint cannot carry the set-point', () => {
    const tank = tankWith({ paintOhmsPerSquare: 1000 });
    tank.setCircuitClosed(true, 0);
    tank.setAnalogueCode(1920, 0);
    tank.advanceTo(0.5);
    expect(tank.terminalVolts).toBeCloseTo(5, 1);
    expect(tank.currentAmps).toBeLessThan(10);
  });

  it('lets the charged supply out into the part when closed onto a set-point, and nothing when closed at zero', () => {
    const charged = tankWith();
    charged.setAnalogueCode(500, 0);
    charged.advanceTo(5);
    expect(charged.terminalVolts).toBeCloseTo(5, 1);
    charged.setCircuitClosed(true, 5);
    expect(charged.largestCurrentAmps).toBeGreaterThan(20);

    const idle = tankWith();
    idle.advanceTo(5);
    idle.setCircuitClosed(true, 5);
    idle.advanceTo(6);
    expect(idle.terminalVolts).toBeLessThan(0.5);
    expect(idle.largestCurrentAmps).toBeLessThan(0.5);
  });

  it('finds the current to any voltage that a current needs', () => {
    const tank = tankWith();
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 60, noNaN: true }), (amps) => {
        expect(tank.currentAtVolts(tank.voltsAtCurrent(amps))).toBeCloseTo(amps, 6);
      }),
    );
  });

  it('drives the voltage to the ceiling and loses current when a clip lets go', () => {
    const tank = tankWith();
    tank.setCircuitClosed(true, 0);
    tank.setAnalogueCode(1920, 0);
    tank.advanceTo(600);
    tank.setFault('looseContactOhms', 0.5, 600);
    tank.advanceTo(601);
    expect(tank.terminalVolts).toBeCloseTo(5, 3);
    expect(tank.currentAmps).toBeLessThan(19.2 / 2);
  });
});
