/* The night ahead of a plan as lines and words: what the plan says, in either units, and nothing beyond its ends. */
import { Phase } from '@bathkeeper/shared-core/control';
import { type AskedOfPlan, type Plan, planOf } from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import {
  aheadLines,
  aheadSpans,
  aheadSummary,
  afterWords,
  momentWords,
} from '../../../dashboard/page/plan/ahead-lines.js';

function planned(asked: AskedOfPlan = {}): Plan {
  const parts = [{ name: 'plate', pieces: 1, areaDm2: 12 }];
  const reading = planOf({ averageThicknessMicrometres: 300, currentDensityAmpsPerDm2: 2, ...asked, parts });
  if ('faults' in reading) throw new Error(reading.faults.join(' '));
  return reading.plan;
}
const inTank = planned({ tank: { litres: 60 } });

describe('the night ahead', () => {
  test('runs from the start to the open contactor, and reaches what the plan says', () => {
    const { night, figures } = inTank;
    const lines = aheadLines(night, 'metric');
    expect(lines.axis).toEqual({ fromMs: 0, toMs: night.at(-1)!.afterHours * 3_600_000 });
    expect(Math.max(...lines.current.map(({ y }) => y))).toBeCloseTo(figures.deposit.setPointAmps.value, 9);
    expect(lines.current.at(-1)!.y).toBe(0);
    const plateEnd = figures.deposit.runHours.value * 3_600_000;
    const atEnd = lines.thickness.find(({ x }) => x >= plateEnd - 1)!;
    expect(atEnd.y).toBeCloseTo(300, 6);
  });

  test('has a voltage only while current flows, and a bath only where its volume is known', () => {
    const { volts, bath } = aheadLines(inTank.night, 'metric');
    const flowing = inTank.night.filter(({ currentAmps }) => currentAmps > 0).length;
    expect([volts.low.length, volts.value.length, volts.high.length]).toEqual([flowing, flowing, flowing]);
    expect(flowing).toBeLessThan(inTank.night.length);
    volts.value.forEach(({ y }, k) => {
      expect(volts.low[k]!.y).toBeLessThanOrEqual(y);
      expect(volts.high[k]!.y).toBeGreaterThanOrEqual(y);
    });
    expect(bath!.value[0]!.y).toBe(25);
    expect(aheadLines(planned().night, 'metric').bath).toBeUndefined();
  });

  test('is the same night in either units', () => {
    const [metric, imperial] = (['metric', 'imperial'] as const).map((units) => aheadLines(inTank.night, units));
    expect(imperial!.current).toEqual(metric!.current);
    metric!.thickness.forEach(({ x, y }, k) => {
      expect(imperial!.thickness[k]!.x).toBe(x);
      expect(imperial!.thickness[k]!.y * 25.4).toBeCloseTo(y, 9);
    });
    expect(imperial!.bath!.value[0]!.y).toBeCloseTo(77, 9);
  });

  test('has its phases one after the other, without the open contactor', () => {
    const spans = aheadSpans(inTank.night);
    expect(spans.map(({ phase }) => phase)).toEqual([Phase.strike, Phase.ramp, Phase.plate, Phase.finish]);
    spans.slice(1).forEach(({ fromMs }, k) => expect(fromMs).toBe(spans[k]!.toMs));
    expect(spans.at(-1)!.toMs).toBe(aheadLines(inTank.night, 'metric').axis.toMs);
  });

  test('says what stands at a moment, between points too, and nothing outside', () => {
    const { night } = inTank;
    expect(momentWords(night, 0, 'metric')).toMatch(/^After 0:00 h: 3.6 A, 0 µm on average, supply .* V, bath 25 to 25 °C$/); // prettier-ignore
    const [one, other] = [night[1]!, night[2]!];
    const between = ((one.afterHours + other.afterHours) / 2) * 3_600_000;
    const amps = (one.currentAmps + other.currentAmps) / 2;
    expect(momentWords(night, between, 'metric')).toContain(`: ${String(Number(amps.toPrecision(3)))} A,`);
    expect(momentWords(night, between, 'imperial')).toMatch(/ mil on average, .* °F$/);
    expect(momentWords(night, night.at(-1)!.afterHours * 3_600_000 + 1, 'metric')).toBeUndefined();
    expect(momentWords([], 0, 'metric')).toBeUndefined();
    expect(afterWords(5_400_000)).toBe('1:30 h');
  });

  test('is told in a sentence to whoever does not see it', () => {
    expect(aheadSummary(inTank.night, 'metric')).toMatch(
      /^The night ahead, 1\d:\d\d h: up to 24 A at [\d.]+ to [\d.]+ V, 30\d µm on average, the bath at \d+ to \d+ °C in the end\.$/,
    );
    expect(aheadSummary(planned().night, 'imperial')).toMatch(/11.\d mil on average\.$/);
  });
});
