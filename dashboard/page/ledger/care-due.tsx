/*
 * The care that was set to be reminded of: what is due, and when the rest will be; with a press it is begun in the form. And what the bath takes that is running low in the
 * stock. Nothing stands here before somebody set one or the other.
 */
import {
  type BathLedger,
  careDue,
  type CareDue,
  daysWords,
  goodAmountWords,
  type GoodInStock,
  remindedKinds,
  stocked,
} from '@bathkeeper/shared-core/trade';
import { STOCK_ADDRESS } from '../state/route.js';
import { serverNowMs } from '../state/state.js';
import { units } from '../state/units.js';
import { ampereHoursWords } from '../words/numbers.js';
import { everyWords } from './care-words.js';
import type { Act } from './entry-fields.js';
import { capital, type Typed } from './field-spec.js';

export function CareReminders(props: { ledger: BathLedger; begin: (act: Act, typed: Typed) => void }) {
  const { entries, worked, lowGoods } = props.ledger;
  const all = careDue(entries, worked, serverNowMs.value);
  if (all.length === 0 && lowGoods.length === 0) return null;
  return (
    <section aria-labelledby="care-due">
      <h2 id="care-due">To be done</h2>
      <ul class="care-due">
        {all.map((one) => (
          <li key={one.of}>
            <p class={one.isDue ? 'caution' : undefined}>{dueWords(one)}</p>
            {one.isDue && (
              <button
                type="button"
                class="quiet"
                aria-label={`Write down: ${remindedKinds[one.of].name}`}
                onClick={() => props.begin(one.of, {})}
              >
                It was done: write it down
              </button>
            )}
          </li>
        ))}
        {lowGoods.map((good) => (
          <li key={good.of}>
            <p class="caution">{lowWords(good)}</p>
            <a class="target" href={STOCK_ADDRESS}>
              To the stock
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

function dueWords(due: CareDue): string {
  const name = capital(remindedKinds[due.of].name);
  const passed = `${daysWords(due.days)} and ${ampereHoursWords(due.ampereHours)}`;
  const since = due.wasDone ? 'since the last' : 'and none yet';
  return `${name}${due.isDue ? ' is due' : ''}: ${passed} ${since}; ${everyWords(due)}.`;
}

/** Example: "Running low: brightener. 310 mL are left, at least 500 mL were to be there." */
function lowWords({ of, amount, lowAt }: GoodInStock): string {
  const system = units.value;
  const left = amount > 0 ? `${goodAmountWords(of, amount, system)} are left` : 'By the books nothing is left';
  return `Running low: ${stocked[of].name}. ${left}, at least ${goodAmountWords(of, lowAt ?? 0, system)} were to be there.`;
}
