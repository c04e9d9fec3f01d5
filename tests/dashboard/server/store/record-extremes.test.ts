/* Least and most of one record's means against whole numbers of any length: as they are reckoned where records are stored, and as SQL where they are read. */
import Database from 'better-sqlite3';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { EXTREMES_OF_RECORD, extremesOf, type RecordSums } from '../../../../dashboard/server/store/record-extremes.js';

/** Over at most a day, of either sign; one reading is the likeliest, as in a store. */
const sums = fc
  .record({
    electricCount: fc.oneof(fc.constant(1), fc.integer({ min: 0, max: 86_400 })),
    amps: fc.integer({ min: -50, max: 3000 }),
    rest: fc.integer({ min: 0, max: 86_399 }),
    volts: fc.integer({ min: -6000, max: 60_000 }),
    temperatureCount: fc.oneof(fc.constant(1), fc.integer({ min: 0, max: 86_400 })),
    celsius: fc.integer({ min: -1000, max: 9000 }),
  })
  .map(({ electricCount, amps, rest, volts, temperatureCount, celsius }): RecordSums => {
    const summed = (each: number, count: number): number => (count === 0 ? 0 : each * count + (rest % count));
    return {
      electricCount,
      currentSum: summed(amps, electricCount),
      voltageSum: summed(volts, electricCount),
      temperatureCount,
      temperatureSum: summed(celsius, temperatureCount),
    };
  });

/** The two whole numbers nearest to a quotient, by the remainder of whole numbers that do not overflow. */
function aroundExactly(sum: number, unit: number, count: number): (number | null)[] {
  if (count === 0) return [null, null];
  const [over, under] = [BigInt(sum) * BigInt(unit), BigInt(count)];
  const rest = ((over % under) + under) % under;
  const least = (over - rest) / under;
  return [Number(least), Number(rest === 0n ? least : least + 1n)];
}

describe('the extremes of a record', () => {
  it('are the whole numbers around its means, the same in both places', () => {
    const database = new Database(':memory:');
    const asked = database.prepare<[RecordSums], (number | null)[]>(
      `SELECT voltage_min, voltage_max, resistance_min, resistance_max, temperature_min, temperature_max FROM (SELECT ${EXTREMES_OF_RECORD}
       FROM (SELECT CAST(:electricCount AS INTEGER) AS electric_count, CAST(:currentSum AS INTEGER) AS current_sum, CAST(:voltageSum AS INTEGER) AS voltage_sum,
         CAST(:temperatureCount AS INTEGER) AS temperature_count, CAST(:temperatureSum AS INTEGER) AS temperature_sum))`,
    );
    fc.assert(
      fc.property(sums, (one) => {
        const { electricCount, currentSum, voltageSum, temperatureCount, temperatureSum } = one;
        const isCarrying = electricCount > 0 && currentSum / electricCount / 100 >= 0.2;
        const exact = [
          ...aroundExactly(voltageSum, 1, electricCount),
          ...aroundExactly(voltageSum, 100_000, isCarrying ? currentSum : 0),
          ...aroundExactly(temperatureSum, 1, temperatureCount),
        ];
        expect(asked.raw().get(one)).toEqual(exact);
        // Minus nothing is stored as nothing.
        expect(extremesOf(one).map((value) => (value === null ? null : value + 0))).toEqual(exact);
      }),
      { numRuns: 2000 },
    );
    database.close();
  });
});
