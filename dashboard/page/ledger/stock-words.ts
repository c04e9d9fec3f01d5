/* The stock of chemicals and anodes in words, in the person's units. Pure; used by the stock's room. */
import {
  type BathCost,
  goodAmountWords,
  type GoodInStock,
  inUnits,
  type StockBody,
  stocked,
  type StockGood,
  type Unit,
  unitName,
  type UnitSystem,
} from '@bathkeeper/shared-core/trade';

/** In which it is bought: kilograms of a solid, litres of a liquid. */
export function boughtUnit(of: StockGood): Extract<Unit, 'kg' | 'L'> {
  return stocked[of].unit === 'g' ? 'kg' : 'L';
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
          `${goodAmountWords(of, -amount, units)} more were used than were written down as bought. Count what is there, or write the purchase down.`,
        )
      : costOfOne === null
        ? told(
            isBegun
              ? 'Nothing was bought yet: no price is known.'
              : 'Nothing was bought or counted yet, or what was written down was undone.',
          )
        : told(
            `Bought at ${costWords(of, costOfOne, units)} on average: ${moneyWords(amount * costOfOne)} worth is left.`,
          ),
    ...(isLow && lowAt !== null
      ? [caution(`Running low: at least ${goodAmountWords(of, lowAt, units)} were to be there. Buy some.`)]
      : []),
    ...(missed === 0
      ? []
      : [
          told(
            `The last count found ${goodAmountWords(of, Math.abs(missed), units)} ${missed > 0 ? 'less' : 'more'} than the books.`,
          ),
        ]),
  ];
}

/** An entry as one sentence. */
export function stockEntryWords(body: StockBody, units: UnitSystem): string {
  const amount = goodAmountWords(body.of, body.amount, units);
  const { name } = stocked[body.of];
  switch (body.kind) {
    case 'bought':
      return `Bought: ${amount} of ${name} for ${moneyWords(body.price)} (${costWords(body.of, body.price / body.amount, units)}).`;
    case 'counted':
      return `Counted: ${amount} of ${name}.`;
    case 'low-at':
      return `Below ${amount} of ${name} the stock is running low.`;
  }
}

export function bathCostWords({ cost, unpricedCount, brightenerCostPerKiloampereHour }: BathCost): string {
  const unpriced = unpricedCount === 0 ? '' : ` ${String(unpricedCount)} ${unpricedCount === 1 ? 'amount that it took has' : 'amounts that it took have'} no price, since nothing was bought of it by then.`; // prettier-ignore
  const brightener =
    brightenerCostPerKiloampereHour === null
      ? ''
      : ` Brightener costs ${moneyWords(brightenerCostPerKiloampereHour / 10)} for each 100 Ah of a run.`;
  return `Chemicals and anodes for ${moneyWords(cost)} went into it.${unpriced}${brightener}`;
}
