/* The care that was set to be reminded of: what is due, and when the rest will be; with a press it is begun in the form. Nothing stands here before somebody set one. */
import { type BathLedger, type CareDue, careDue, daysWords, remindedKinds } from '@bathkeeper/shared-core/trade';
import { serverNowMs } from '../state/state.js';
import { ampereHoursWords } from '../words/numbers.js';
import { everyWords } from './care-words.js';
import type { Act } from './entry-fields.js';
import { capital, type Typed } from './field-spec.js';

export function CareReminders(props: { ledger: BathLedger; begin: (act: Act, typed: Typed) => void }) {
  const { entries, worked } = props.ledger;
  const all = careDue(entries, worked, serverNowMs.value);
  if (all.length === 0) return null;
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
