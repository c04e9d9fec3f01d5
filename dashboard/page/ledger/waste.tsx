/* The waste of a bath that waits to be handed over; with a press the handing over is begun in the form. */
import { type Waste, wasteAccount, type WasteHeld, wastes } from '@bathkeeper/shared-core/trade';
import type { LedgerEntry } from '@bathkeeper/shared-core/trade';
import { typedTexts } from '../forms/typed-figure.js';
import { units } from '../state/units.js';
import { WasteCare } from './care.js';
import { wasteWords } from './care-words.js';
import type { Act } from './entry-fields.js';
import { asTyped, type Typed } from './field-spec.js';

export function WasteStanding(props: { entries: readonly LedgerEntry[]; begin: (act: Act, typed: Typed) => void }) {
  const held = wasteAccount(props.entries);
  if (held.length === 0) return null;
  return (
    <section aria-labelledby="waste">
      <h2 id="waste">Waste</h2>
      <ul class="waste-held">
        {held.map((one) => (
          <li key={one.what}>
            <p>{heldWords(one)}</p>
            {one.left > 0 && (
              <button
                type="button"
                class="quiet"
                aria-label={`Write down that it was handed over: ${wastes[one.what].name}`}
                onClick={() => props.begin('waste-handed-over', typedOf(one.what, one.left))}
              >
                It was handed over
              </button>
            )}
          </li>
        ))}
      </ul>
      <WasteCare />
    </section>
  );
}

function typedOf(what: Waste, left: number): Typed {
  return typedTexts({ what, amount: asTyped(left) });
}

function heldWords({ what, handedOver, left }: WasteHeld): string {
  const gone = handedOver > 0 ? `; ${wasteWords(what, handedOver, units.value)} handed over so far` : '';
  if (left < 0)
    return `More ${wastes[what].name} was handed over than was written down: ${wasteWords(what, -left, units.value)} too much.`;
  return left === 0
    ? `No ${wastes[what].name} waits${gone}.`
    : `${wasteWords(what, left, units.value)} waits to be handed over${gone}.`;
}
