/* The night ahead of a plan: a series with bands, on the corners that the controller's set-point makes. */
import { Phase } from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { expectWithin } from '../within.js';
import { lampshade, planned, typedArea } from './requests.js';

const tank = { lengthMm: 500, widthMm: 400, heightMm: 350, fillMm: 300 };
const plan = planned({ ...lampshade, tank });
const { night, figures } = plan;

describe('the night of a plan', () => {
  test('begins with the strike, reaches its charge and thickness after the run’s hours, and ends without current', () => {
    expect(night[0]).toMatchObject({ afterHours: 0, phase: Phase.strike, chargeAmpereHours: 0 });
    expectWithin(night[0]!.currentAmps, 3.6, 1e-12);
    const reached = night.find((point) => point.phase === Phase.finish)!;
    expectWithin(reached.afterHours, figures.deposit.runHours.value, 1e-9);
    expectWithin(reached.chargeAmpereHours, figures.deposit.chargeAmpereHours.value, 1e-9);
    expectWithin(reached.averageThicknessMicrometres, 300, 1e-9);
    expect(night.at(-1)).toMatchObject({ phase: Phase.done, currentAmps: 0 });
  });

  test('is the area under its current, hour by hour, and never runs back', () => {
    let charge = 0;
    for (let index = 1; index < night.length; index++) {
      const [from, to] = [night[index - 1]!, night[index]!];
      expect(to.afterHours).toBeGreaterThanOrEqual(from.afterHours);
      charge += ((from.currentAmps + to.currentAmps) / 2) * (to.afterHours - from.afterHours);
      expect(Math.abs(charge - to.chargeAmpereHours)).toBeLessThan(1e-6);
      expect(to.averageThicknessMicrometres).toBeGreaterThanOrEqual(from.averageThicknessMicrometres);
    }
  });

  test('has bands in order, and at the set-point the voltage of the plan', () => {
    for (const { supplyVolts, bathCelsius } of night) {
      expect(supplyVolts.low).toBeLessThanOrEqual(supplyVolts.value);
      expect(supplyVolts.value).toBeLessThanOrEqual(supplyVolts.high);
      expect(bathCelsius!.value).toBeLessThanOrEqual(bathCelsius!.high);
    }
    const plating = night.find((point) => point.phase === Phase.plate)!;
    expectWithin(plating.supplyVolts.value, figures.voltage.supplyVolts.value, 1e-9);
    expectWithin(plating.supplyVolts.high, figures.voltage.supplyVolts.uncertainty!.high, 1e-9);
  });

  test('is as warm at its end as the plan says, but for the gentler start', () => {
    const reached = night.find((point) => point.phase === Phase.finish)!;
    expect(Math.abs(reached.bathCelsius!.value - figures.heat!.bathCelsiusAtEnd.value)).toBeLessThan(0.3);
  });

  test('has no temperature where the bath’s volume is not known', () => {
    expect(planned(lampshade).night.every((point) => point.bathCelsius === undefined)).toBe(true);
  });

  test('is never longer than some hundred points, whatever the run', () => {
    const long = planned({ parts: typedArea(1), bath: 'bright-copper', chargeAmpereHours: 1e6, tank });
    expect(long.night.length).toBeLessThan(120);
    expect(night.length).toBeGreaterThan(30);
  });
});
