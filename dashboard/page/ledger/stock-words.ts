/* The stock of chemicals in words, in the person's units. Pure; used by the stock's room. */
import {
  additives,
  type BathCost,
  type GoodInStock,
  inUnits,
  type StockBody,
  type StockGood,
  type Unit,
  unitName,
  type UnitSystem,
} from '@bathkeeper/shared-core/trade';
import { gramsWords, millilitresWords } from './amount-words.js';

/** In which it is bought: kilograms of a solid, litres of a liquid. */
export function boughtUnit(of: StockGood): Extract<Unit, 'kg' | 'L'> {
  return additives[of].unit === 'g' ? 'kg' : 'L';
}

export function amountWords(of: StockGood, amount: number, units: UnitSystem): string {
  return additives[of].unit === 'g' ? gramsWords(amount, units) : millilitresWords(amount, units);
}

/** Two digits behind the point; the money is whatever the person pays with. Example: `moneyWords(1234.5)` is "1234.50". */
export function moneyWords(money: number): string {
  return money.toFixed(2);
}

/** Example: 0.0042 of a gram is "4.20 a kg", in imperial "1.91 a lb". */
export function costWords(of: StockGood, costOfOne: number, units: UnitSystem): string {
  const unit = boughtUnit(of);
  return `${moneyWords((costOfOne * 1000) / inUnits(1, unit, units).value)} a ${unitName(unit, units)}`;
}

export interface GoodSentence {
  readonly words: string;
  /** Something is to be done. */
  readonly isCaution: boolean;
}

/** What is left is worth, and what is to be done. Whole sentences. */
export function goodWords(good: GoodInStock, units: UnitSystem): GoodSentence[] {
  const { of, isBegun, amount, costOfOne, lowAt, isLow, missedAtCount } = good;
  const told = (words: string): GoodSentence => ({ words, isCaution: false });
  const caution = (words: string): GoodSentence => ({ words, isCaution: true });
  const missed = missedAtCount ?? 0;
  return [
    amount < 0
      ? caution(
          `${amountWords(of, -amount, units)} more were used than were written down as bought. Count what is there, or write the purchase down.`,
        )
      : costOfOne === null
        ? told(
            isBegun
              ? 'Nothing was bought yet: it has no price.'
              : 'Nothing was bought or counted of it yet, or what was written down of it was undone.',
          )
        : told(
            `Bought at ${costWords(of, costOfOne, units)} on average: ${moneyWords(amount * costOfOne)} worth is left.`,
          ),
    ...(isLow && lowAt !== null
      ? [caution(`It is running low: at least ${amountWords(of, lowAt, units)} were to be there. Buy some.`)]
      : []),
    ...(missed === 0
      ? []
      : [
          told(
            `The last count found ${amountWords(of, Math.abs(missed), units)} ${missed > 0 ? 'less' : 'more'} than the books.`,
          ),
        ]),
  ];
}

/** An entry as one sentence. */
export function stockEntryWords(body: StockBody, units: UnitSystem): string {
  const amount = amountWords(body.of, body.amount, units);
  const { name } = additives[body.of];
  switch (body.kind) {
    case 'bought':
      return `${amount} of ${name} were bought for ${moneyWords(body.price)}: ${costWords(body.of, body.price / body.amount, units)}.`;
    case 'counted':
      return `${amount} of ${name} were there when it was counted.`;
    case 'low-at':
      return `Below ${amount} of ${name} it is running low.`;
  }
}

export function bathCostWords({ cost, unpricedCount, brightenerCostPerKiloampereHour }: BathCost): string {
  const unpriced = unpricedCount === 0 ? '' : ` ${String(unpricedCount)} ${unpricedCount === 1 ? 'amount that it took has' : 'amounts that it took have'} no price, since nothing was bought of it by then.`; // prettier-ignore
  const brightener =
    brightenerCostPerKiloampereHour === null
      ? ''
      : ` Brightener costs ${moneyWords(brightenerCostPerKiloampereHour / 10)} for each 100 Ah of a run.`;
  return `Chemicals for ${moneyWords(cost)} went into it.${unpriced}${brightener}`;
}
