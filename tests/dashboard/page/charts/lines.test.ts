/* What was logged as lines: extremes, gaps, quotients, units; and, through the store, a second's spike in a year. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chartContent, laneSpan } from '../../../../dashboard/page/charts/lane-content.js';
import { chartLines, milliohms } from '../../../../dashboard/page/charts/lines.js';
import { seriesOf } from '../../../../dashboard/server/keeping/series.js';
import { openStore } from '../../../../dashboard/server/store/store.js';
import { recordRow } from '../../server/quiet-bath.js';
import { aSeries, inARow } from './a-series.js';

const DAY = 86_400_000;
const colours = { ink: '#111', faint: '#888', rule: '#ccc', copper: '#a50', copperWash: '#fdb', wash: '#eee', paper: '#fff', bath: '#05a', pencil: '#555', font: 'serif' }; // prettier-ignore
const known = (line: readonly { y: number }[]): number[] => line.map(({ y }) => y).filter((y) => !Number.isNaN(y));
const breaks = (line: readonly { y: number }[]): number => line.filter(({ y }) => Number.isNaN(y)).length;

describe('lines', () => {
  test('show the set-point beside what was permitted, broken where it is not known, and within the scale', () => {
    const series = aSeries(60_000, [
      { startMs: 0, setPoint: 20, permitted: 12, mean: 12, max: 12, min: 12 },
      { startMs: 60_000, setPoint: null, permitted: 12, mean: 12, max: 12, min: 12 },
      { startMs: 120_000, setPoint: 30, permitted: 12, mean: 12, max: 12, min: 12 },
    ]);
    const lines = chartLines(series, 'metric');
    expect(lines.setPoint.map(({ y }) => y)).toEqual([20, 20, Number.NaN, 30, 30]);
    expect(known(lines.permitted).every((amps) => amps === 12)).toBe(true);
    const content = chartContent({ view: { from: 0, to: 180_000 }, ticks: [], lines, units: 'metric' }, colours);
    const { max } = content.scales.current as { max: number };
    expect(max).toBeGreaterThan(30);
    expect(content.datasets.map(({ data }) => data)).toContain(lines.setPoint);
  });
  test('of two runs are told apart in every lane by their colour: the first is never in the copper of the second', () => {
    const of = (startMs: number) => chartLines(aSeries(60_000, [{ startMs }, { startMs: startMs + 60_000 }]), 'metric');
    const [first, second] = [of(0), of(60_000)];
    const drawing = { view: { from: 0, to: 180_000 }, ticks: [], units: 'metric' } as const;
    const { datasets } = chartContent({ ...drawing, lines: first, laidOver: second }, colours);
    for (const lane of ['current', 'voltage', 'resistance', 'temperature', 'rotation', 'charge'] as const) {
      const colourOf = (data: unknown) => datasets.find((one) => one.data === data)?.borderColor;
      expect(colourOf(first[lane]), lane).not.toBe(colours.copper);
      expect(colourOf(second[lane]), lane).toBe(colours.copper);
    }
    const alone = chartContent({ ...drawing, lines: first }, colours).datasets;
    expect(alone.find(({ data }) => data === first.charge)?.borderColor).toBe(colours.copper);
  });
  test('hold a spike of one second in a year, as the store answers it for a narrow chart', () => {
    const store = openStore(':memory:');
    const began = Date.UTC(2026, 0, 1);
    let first = 1;
    // An hour of each day by records of a minute, as a long outage merges them, but for the second of the spike.
    for (let day = 0; day < 365; day++) {
      const records: number[][] = [];
      const uptime = () => 10 * ((day + 1) * 86_400 + records.length * 60);
      const add = (span: number, spike: object = {}): void => {
        records.push(recordRow({ first, span, uptime: uptime(), ...spike }));
        first += span;
      };
      for (let minute = 0; minute < 60; minute++) {
        if (day === 200 && minute === 30) add(1, { currentMax: 4711, currentMin: -321 });
        else add(60);
      }
      store.takeOutbox({ controllerId: 'north-bench', incarnation: 7, boot: 1, uptimeTenths: uptime(), receivedAtMs: began + uptime() * 100, records, events: [] });
    }
    const series = seriesOf(store.database, { controllerId: 'north-bench', fromMs: began, toMs: began + 367 * DAY, points: 312 });
    store.close();
    expect(series.startMs.length).toBeLessThanOrEqual(312);
    const lines = chartLines(series, 'metric');
    expect(Math.max(...known(lines.currentMax))).toBe(47.11);
    expect(Math.min(...known(lines.currentMin))).toBe(-3.21);
    const spike = lines.currentMax.find(({ y }) => y === 47.11)!;
    expect(Math.abs(spike.x - (began + 201.5 * DAY))).toBeLessThan(2 * series.bucketMs);
    expect(laneSpan([lines.currentMax], 1, true).max).toBeGreaterThan(47.11);
  }); // prettier-ignore

  test('have the least and the most of voltage, resistance and bath, in the units of the page, and a lane as high as they are', () => {
    const spread = { voltsSpread: [1.8, 5.6], milliohmsSpread: [98, 294], celsiusSpread: [20, 30] } as const;
    const lines = chartLines(aSeries(60_000, [{ startMs: 0 }, { startMs: 60_000, ...spread }, { startMs: 120_000, celsius: null }]), 'imperial');
    const inTheMiddle = (line: readonly { x: number; y: number }[]) => line.find(({ x }) => x === 90_000)?.y;
    expect([inTheMiddle(lines.voltageMin), inTheMiddle(lines.voltage), inTheMiddle(lines.voltageMax)]).toEqual([1.8, 1.9, 5.6]);
    expect([inTheMiddle(lines.resistanceMin), inTheMiddle(lines.resistanceMax)]).toEqual([98, 294]);
    // 20 and 30 °C are 68 and 86 °F.
    expect(inTheMiddle(lines.temperatureMin)).toBeCloseTo(68, 9);
    expect(inTheMiddle(lines.temperatureMax)).toBeCloseTo(86, 9);
    const drawn = chartContent({ view: { from: 0, to: 180_000 }, ticks: [], lines, units: 'imperial' }, colours);
    for (const [lane, most] of [['voltage', 5.6], ['resistance', 294], ['temperature', 86]] as const)
      expect(drawn.scales[lane]?.max, lane).toBeGreaterThan(most);
  }); // prettier-ignore

  test('are filled between least and most but where they break so often that the browser would stand still', () => {
    const nights = (count: number) => Array.from({ length: 10 * count }, (_, index) => ({ startMs: index * 60_000, ...(index % 10 < 5 ? { milliohmsSpread: [98, 102] as const } : {}) }));
    const filled = (count: number) => chartContent({ view: { from: 0, to: 1 }, ticks: [], lines: chartLines(aSeries(60_000, nights(count)), 'metric'), units: 'metric' }, colours)
      .datasets.filter(({ fill }) => fill === '+1').map(({ yAxisID }) => yAxisID);
    expect(filled(40)).toEqual(['current', 'voltage', 'resistance', 'temperature']);
    expect(filled(365)).toEqual(['current', 'voltage', 'temperature']);
  }); // prettier-ignore

  test('leave out no bucket', () => {
    fc.assert(
      fc.property(fc.array(fc.record({ away: fc.integer({ min: 1, max: 5 }), max: fc.integer({ min: 0, max: 99 }) }), { maxLength: 50 }), (given) => {
        let startMs = 0;
        const series = aSeries(1000, given.map(({ away, max }) => ({ startMs: (startMs += away * 1000), max })));
        const drawn = chartLines(series, 'metric').currentMax;
        for (const [index, { max }] of given.entries()) expect(drawn).toContainEqual({ x: series.startMs[index]! + 500, y: max });
        for (let index = 1; index < drawn.length; index++) expect(drawn[index]!.x).toBeGreaterThanOrEqual(drawn[index - 1]!.x);
      }),
    );
  }); // prettier-ignore

  test('break where nothing was logged, and not where a second was late or an outage was merged', () => {
    const minutes = inARow(0, 60_000, 10);
    expect(breaks(chartLines(aSeries(60_000, minutes), 'metric').current)).toBe(0);
    expect(breaks(chartLines(aSeries(60_000, minutes.filter((_, k) => k !== 4)), 'metric').current)).toBe(1); // prettier-ignore
    expect(breaks(chartLines(aSeries(1000, [{ startMs: 0 }, { startMs: 2000 }]), 'metric').current)).toBe(0);
    expect(breaks(chartLines(aSeries(1000, [{ startMs: 0, seconds: 64 }, { startMs: 64_000 }]), 'metric').current)).toBe(0); // prettier-ignore
  });

  test('show one bucket alone between two gaps as long as it was', () => {
    const [alone] = [chartLines(aSeries(1000, [{ startMs: 0 }, { startMs: 60_000 }, { startMs: 120_000 }]), 'metric').current]; // prettier-ignore
    expect(alone.filter(({ x, y }) => !Number.isNaN(y) && x >= 60_000 && x <= 61_000).map(({ x }) => x)).toEqual([60_000, 60_500, 61_000]); // prettier-ignore
  });

  test('break at a reading that was not good, and only in what it concerns', () => {
    const lines = chartLines(aSeries(1000, [{ startMs: 0 }, { startMs: 1000, celsius: null }, { startMs: 2000 }]), 'metric'); // prettier-ignore
    expect(breaks(lines.temperature)).toBe(1);
    expect(breaks(lines.current)).toBe(0);
  });

  test('begin the charge anew with each run', () => {
    const lines = chartLines(aSeries(1000, [{ startMs: 0, ampereHours: 90 }, { startMs: 1000, run: 4, ampereHours: 0 }]), 'metric'); // prettier-ignore
    expect(breaks(lines.charge)).toBe(1);
    const each = chartLines(
      aSeries(
        60_000,
        inARow(0, 60_000, 4).map((one, run) => ({ ...one, run })),
      ),
      'metric',
    ).charge;
    // Buckets of a run each are strokes as long as they are, not points that nobody sees.
    expect(each.filter(({ x, y }) => !Number.isNaN(y) && x >= 60_000 && x <= 120_000).length).toBeGreaterThanOrEqual(3);
    expect(breaks(lines.current)).toBe(0);
  });

  test('give resistance as voltage by current, and none where hardly any flows', () => {
    expect(milliohms(1.9, 19)).toBeCloseTo(100, 9);
    expect(milliohms(1.9, 0.1)).toBeNull();
    expect(milliohms(null, 19)).toBeNull();
  });

  test('are in the units of the person', () => {
    const { temperature } = chartLines(aSeries(1000, [{ startMs: 0, celsius: 25 }]), 'imperial');
    // 25 °C are 77 °F (NIST Special Publication 811, appendix B.8).
    expect(known(temperature)[0]).toBeCloseTo(77, 9);
  });
});

describe('the span of a lane', () => {
  test('makes no news of a meter that hardly moves, and keeps its lowest and its highest', () => {
    const { min, max } = laneSpan([[{ x: 0, y: 24.1 }, { x: 1, y: NaN }, { x: 2, y: 24.2 }]], 4); // prettier-ignore
    expect(max - min).toBeGreaterThan(4);
    expect(min).toBeLessThan(24.1);
    expect(max).toBeGreaterThan(24.2);
    expect(laneSpan([[{ x: 0, y: -2 }, { x: 1, y: 40 }]], 1, true).min).toBe(-2); // prettier-ignore
  });
});
