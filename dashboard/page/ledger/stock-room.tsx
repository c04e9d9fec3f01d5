/*
 * The stock of chemicals: what is left, what it cost, what is running low, what each bath took, and every entry. Reached from the ledgers. What baths took is read
 * from their ledgers: a dose is written down once.
 */
import {
  goodAmountWords,
  type GoodInStock,
  stocked,
  type StockEntry,
  type StockView,
} from '@bathkeeper/shared-core/trade';
import { RefusalWords } from '../screens/refusal.js';
import { useAsked } from '../state/asked.js';
import { ledgerAddress } from '../state/route.js';
import { askStock, undoStock } from '../state/stock-api.js';
import { units } from '../state/units.js';
import { BookEntry } from './book-entry.js';
import { capital } from './field-spec.js';
import { MoreButton, useMore } from './shown-more.js';
import { StockForm } from './stock-form.js';
import { bathCostWords, goodWords, stockEntryWords } from './stock-words.js';

export function StockRoom() {
  const { value: stock, refusal, again, take } = useAsked(askStock, []);
  return (
    <main class="leaf ledger">
      <h1>Stock of chemicals</h1>
      <p>
        Write down what you buy, anodes too. What the baths take is read from their ledgers, from the first purchase or
        count of each on.
      </p>
      {stock === null && refusal === null && <p class="hint">Looking…</p>}
      <RefusalWords refusal={refusal} />
      {stock !== null && (
        <>
          <Shelf goods={stock.goods} />
          <StockForm written={take} />
          <Baths baths={stock.baths} />
          <Entries entries={stock.entries} changed={again} />
        </>
      )}
      <p>
        <a class="target" href={ledgerAddress(null)}>
          All baths
        </a>
      </p>
    </main>
  );
}

function Shelf({ goods }: { goods: readonly GoodInStock[] }) {
  if (goods.length === 0) return <p>Nothing is known of what stands on the shelf yet.</p>;
  return (
    <section aria-labelledby="shelf-title">
      <h2 id="shelf-title">On the shelf</h2>
      <ul class="plans">
        {goods.map((good) => (
          <li key={good.of}>
            <h3>
              {capital(stocked[good.of].name)}: {goodAmountWords(good.of, Math.max(0, good.amount), units.value)}
            </h3>
            {goodWords(good, units.value).map(({ words, isCaution }) => (
              <p key={words} class={isCaution ? 'caution' : undefined}>
                {words}
              </p>
            ))}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Baths({ baths }: { baths: StockView['baths'] }) {
  if (baths.length === 0) return null;
  return (
    <section aria-labelledby="bath-costs-title">
      <h2 id="bath-costs-title">What the baths took</h2>
      {baths.map((bath) => (
        <div key={bath.bathId}>
          <h3>
            <a class="target" href={ledgerAddress(bath.bathId)}>
              {bath.name}
            </a>
          </h3>
          <p>{bathCostWords(bath)}</p>
        </div>
      ))}
      <p class="hint">
        By the weighted average of what was bought. Current and work are not in it; what a count found missing belongs
        to no bath.
      </p>
    </section>
  );
}

function Entries(props: { entries: readonly StockEntry[]; changed: () => void }) {
  const { shown, more } = useMore(props.entries);
  return (
    <section aria-labelledby="stock-entries-title">
      <h2 id="stock-entries-title">Entries</h2>
      {shown.length === 0 && <p>Nothing yet.</p>}
      <ol class="entries">
        {shown.map((entry) => (
          <BookEntry
            key={entry.entryId}
            book="stock"
            entry={entry}
            words={stockEntryWords(entry.body, units.value)}
            undoHint="The entry stays to be read and no longer counts."
            undo={(request) => undoStock(entry.entryId, request)}
            changed={props.changed}
          />
        ))}
      </ol>
      <MoreButton more={more} />
    </section>
  );
}
