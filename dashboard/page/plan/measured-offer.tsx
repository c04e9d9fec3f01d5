/*
 * What the balance has shown of baths of this kind so far, offered for the next plan in place of the table's value: with how many weighings it stands on and how far
 * they spread. Nothing is taken without a press. Shown beside the choice of the bath; nothing where nobody has weighed.
 */
import { type MeasuredEfficiency, significant } from '@bathkeeper/shared-core/trade';
import { useAsked } from '../state/asked.js';
import { askMeasuredEfficiency } from '../state/logbook-api.js';
import { textAt } from './plan-form.js';
import { planForm, typePlan } from './plan-state.js';

/** As it is typed into the field: no more than a charge can deposit. */
const percentText = ({ cathodeEfficiency }: MeasuredEfficiency): string =>
  significant(Math.min(100, 100 * cathodeEfficiency), 3);

/** Example: "Weighed in Copper 60 L: 97.2 % over 4 runs, each 95.8 to 98.6 %; within 95.9 to 98.4 % by balance and count of charge." */
export function offerWords(measured: MeasuredEfficiency): string {
  const { bathName, isSimulated, runCount, leastOfRuns, mostOfRuns, low, high } = measured;
  const percent = (share: number): string => significant(100 * share, 3);
  const runs = runCount === 1 ? '1 run' : `${String(runCount)} runs, each ${percent(leastOfRuns)} to ${percent(mostOfRuns)} %`;
  return (
    `${isSimulated ? 'SIMULATED. ' : ''}Weighed in ${bathName}: ${percent(measured.cathodeEfficiency)} % over ${runs}; ` +
    `within ${percent(low)} to ${percent(high)} % by balance and count of charge.`
  );
} // prettier-ignore

export function MeasuredOffer() {
  const { value } = useAsked(askMeasuredEfficiency, []);
  const offers = (value ?? []).filter(({ profile }) => profile === planForm.value.bath);
  if (offers.length === 0) return null;
  const typed = textAt(planForm.value, 'cathodeEfficiency', 'metric');
  return (
    <div class="measured-offers" role="group" aria-label="Cathode efficiency as it was weighed">
      {offers.map((measured) => {
        const text = percentText(measured);
        const isTaken = typed === text;
        return (
          <p key={offerWords(measured)}>
            <span>{offerWords(measured)}</span>{' '}
            <button
              type="button"
              class="quiet"
              aria-pressed={isTaken}
              onClick={() => typePlan('cathodeEfficiency', isTaken ? '' : text)}
            >
              {isTaken ? `Planned with ${text} %: take the table’s value again` : `Plan with ${text} %`}
            </button>
          </p>
        );
      })}
    </div>
  );
}
