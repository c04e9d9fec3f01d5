/* The charge that went through a bath, and what brightener it has used up since the last dose; with a press the dose is written down. */
import {
  type BathLedger,
  brightenerDue,
  brightenerRate,
  millilitresWords,
  shownWith,
} from '@bathkeeper/shared-core/trade';
import { typedTexts } from '../forms/typed-figure.js';
import { serverNowMs } from '../state/state.js';
import { units } from '../state/units.js';
import { ampereHoursWords } from '../words/numbers.js';
import { timeWords } from '../words/times.js';
import type { Act } from './entry-fields.js';
import { asTyped, type Typed } from './field-spec.js';

export function WorkedCharge(props: { ledger: BathLedger; begin: (act: Act, typed: Typed) => void }) {
  const { worked, entries } = props.ledger;
  const rate = brightenerRate(entries);
  const due = rate === undefined ? undefined : brightenerDue(rate, worked.sinceDoseMillicoulombs);
  return (
    <section aria-labelledby="worked">
      <h2 id="worked">What it worked</h2>
      <p>
        {ampereHoursWords(worked.millicoulombs / 3.6e6)}
        {worked.uncountedControllerId !== null
          ? '.'
          : worked.controllerId === null
            ? '. It stands under no controller: write down when it was put under one, so that its runs count.'
            : `, under ${worked.controllerId} now.`}
      </p>
      {worked.uncountedControllerId !== null && (
        <p class="caution">
          It was put under {worked.uncountedControllerId}, but only one of the two is simulated: those runs do not count
          here. Write down that it was taken off its controller.
        </p>
      )}
      {rate === undefined || due === undefined ? (
        <p class="hint">
          Nobody wrote down how its brightener is used up. There is no usual rate: the supplier’s sheet says it, and the
          Hull cell has the last word.
        </p>
      ) : (
        <>
          <p class={due.isDue ? 'caution' : undefined}>
            {due.isDue ? 'Brightener is due: ' : 'Brightener: '}
            {ampereHoursWords(due.ampereHours)}
            {worked.dosedAtMs === null ? '' : ` since ${timeWords(worked.dosedAtMs, serverNowMs.value)}`} have used up{' '}
            {millilitresWords(due.usedUpMillilitres, units.value)}, at{' '}
            {shownWith(rate.litresPerKiloampereHour, 'L/kAh', units.value, 3)} ({rate.source}).
          </p>
          {due.isDue && (
            <button
              type="button"
              class="quiet"
              onClick={() =>
                props.begin('addition', typedTexts({ of: 'brightener', amount: asTyped(due.usedUpMillilitres) }))
              }
            >
              I dosed it: write it down
            </button>
          )}
        </>
      )}
    </section>
  );
}
