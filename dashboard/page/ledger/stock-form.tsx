/* Writes one entry into the stock: bought, counted, or from which amount it is running low. Part of the stock's room. */
import { useState } from 'preact/hooks';
import { fromUnits, type StockBody, stocked, type StockGood, stockGoods, type StockView, unitName } from '@bathkeeper/shared-core/trade'; // prettier-ignore
import { AsLeft } from '../forms/as-left.js';
import { useDraft } from '../forms/draft.js';
import { NoteField } from '../forms/note-field.js';
import { useSending } from '../forms/sending.js';
import { TypedField } from '../forms/typed-field.js';
import { typedNumber } from '../forms/typed-number.js';
import { whenAsked, WhenField } from '../forms/when-field.js';
import { WhoField } from '../forms/who-field.js';
import { RefusalWords } from '../screens/refusal.js';
import { writeStock } from '../state/stock-api.js';
import { units } from '../state/units.js';
import { capital } from './field-spec.js';
import { boughtUnit, stockEntryWords } from './stock-words.js';

const kindNames: Readonly<Record<StockBody['kind'], string>> = {
  bought: 'It was bought',
  counted: 'It was counted on the shelf',
  'low-at': 'From when on it is running low',
};

/** What stays chosen for the next entry. */
interface Chosen {
  readonly kind: StockBody['kind'];
  readonly of: StockGood;
}

const isKnown = ({ kind, of }: Chosen): boolean => kind in kindNames && of in goodNames;

export function StockForm(props: { written: (view: StockView) => void }) {
  const [begun, setBegun] = useState<Chosen>({ kind: 'bought', of: 'copper-sulphate' });
  const draft = useDraft('stock', { ...begun, amount: '', price: '', note: '', when: '' }, { fits: isKnown });
  const { kind, of, amount, price, note, when } = draft.typed;
  const sending = useSending(draft);
  const [said, setSaid] = useState('');
  const unit = boughtUnit(of);
  const amountProblem = numberProblem(amount, kind === 'bought');
  const priceProblem = kind === 'bought' ? numberProblem(price, false) : undefined;
  const body = bodyOf(kind, of, fromUnits(typedNumber(amount) ?? 0, unit, units.value) * 1000, typedNumber(price) ?? 0);
  const isWhole = amountProblem === undefined && priceProblem === undefined;
  const write = async (event: Event): Promise<void> => {
    event.preventDefault();
    setSaid('');
    const words = note.trim();
    const answer = await sending.send(isWhole ? body : undefined, (whole, by) =>
      writeStock({ who: by, body: whole, ...(words === '' ? {} : { note: words }), ...whenAsked(when) }),
    );
    if (answer?.ok !== true) return;
    setSaid('Written.');
    setBegun({ kind, of });
    sending.beginAnew();
    props.written(answer.value);
  };
  return (
    <section aria-labelledby="stock-write-title">
      <h2 id="stock-write-title">Write into the stock</h2>
      <form class="narrow-form" noValidate onSubmit={(event) => void write(event)} aria-label="Write into the stock">
        <AsLeft draft={draft} />
        <Choice words="What" value={kind} names={kindNames} choose={(chosen) => draft.change({ kind: chosen })} />
        <Choice words="Of what" value={of} names={goodNames} choose={(chosen) => draft.change({ of: chosen })} />
        <TypedField
          id="stock-amount"
          words={kind === 'counted' ? 'How much is there' : kind === 'bought' ? 'How much' : 'Below how much'}
          unit={unitName(unit, units.value)}
          typed={amount}
          problem={sending.isAsked ? amountProblem : undefined}
          change={(typed) => draft.change({ amount: typed })}
        />
        {kind === 'bought' && (
          <TypedField
            id="stock-price"
            words="What all of it cost, with carriage"
            unit="in your money"
            typed={price}
            problem={sending.isAsked ? priceProblem : undefined}
            change={(typed) => draft.change({ price: typed })}
          />
        )}
        {kind === 'bought' && (
          <p class="hint">
            Its stock begins with the first purchase or count: what a bath took before that does not count.
          </p>
        )}
        {isWhole && <p class="preview">{stockEntryWords(body, units.value)}</p>}
        <NoteField
          words="Note"
          hint="supplier, batch, strength"
          most={2000}
          typed={note}
          change={(typed) => draft.change({ note: typed })}
        />
        <WhenField typed={when} change={(typed) => draft.change({ when: typed })} />
        <WhoField isAsked={sending.isAsked} />
        <button type="submit" class="plain" disabled={sending.isUnderWay}>
          Write it down
        </button>
        <p role="status" class="said">
          {said}
        </p>
        <RefusalWords refusal={sending.refusal} />
      </form>
    </section>
  );
}

const goodNames = Object.fromEntries(stockGoods.map((of) => [of, capital(stocked[of].name)])) as Record<StockGood, string>; // prettier-ignore

function Choice<Key extends string>(props: { words: string; value: Key; names: Readonly<Record<Key, string>>; choose: (key: Key) => void }) {
  return (
    <label class="field">
      <span>{props.words}</span>
      <select value={props.value} onChange={(event) => props.choose(event.currentTarget.value as Key)}>
        {Object.entries<string>(props.names).map(([key, name]) => (
          <option key={key} value={key}>
            {name}
          </option>
        ))}
      </select>
    </label>
  );
} // prettier-ignore

function bodyOf(kind: StockBody['kind'], of: StockGood, amount: number, price: number): StockBody {
  return kind === 'bought' ? { kind, of, amount, price } : { kind, of, amount };
}

function numberProblem(typed: string, isAboveZero: boolean): string | undefined {
  const value = typedNumber(typed);
  if (typed.trim() === '') return 'Type a number.';
  if (value === undefined || value < 0) return `Type a number; got “${typed}”.`;
  return isAboveZero && value === 0 ? `Type a number above zero; got “${typed}”.` : undefined;
}
