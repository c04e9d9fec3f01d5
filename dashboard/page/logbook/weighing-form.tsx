/*
 * A weighing in the record of a run, in grams or ounces. What Faraday's law forbids the dashboard asks about first, and it is kept only by somebody who has read why.
 * Opened by the room of a run.
 */
import { useState } from 'preact/hooks';
import {
  newestWeighing,
  type RunRecord,
  significant,
  unitName,
  type WeighingBody,
} from '@bathkeeper/shared-core/trade';
import { AsLeft } from '../forms/as-left.js';
import { useDraft } from '../forms/draft.js';
import { LastRow } from '../forms/last-row.js';
import { NoteField } from '../forms/note-field.js';
import { useSending } from '../forms/sending.js';
import { TypedField } from '../forms/typed-field.js';
import { metricValue, nothingTyped, textIn, type TypedFigure, typedIn } from '../forms/typed-figure.js';
import { WhenField, whenAsked } from '../forms/when-field.js';
import { WhoField } from '../forms/who-field.js';
import { RefusalWords } from '../screens/refusal.js';
import { writeRunEntry } from '../state/logbook-api.js';
import { units } from '../state/units.js';
import { NOTE_CHARACTERS_MAX, runDraft } from './note-form.js';

/** The balance of the last weighing is most likely the one of this. */
function knownBalance({ entries }: RunRecord): TypedFigure {
  const last = newestWeighing(entries, 'after') ?? newestWeighing(entries, 'before');
  return last === undefined ? nothingTyped : typedIn('metric', significant(last.body.uncertaintyGrams, 7));
}

/** A weight; undefined where it is none. */
function gramsOf(figure: TypedFigure): number | undefined {
  const grams = metricValue(figure, 'g');
  return grams !== undefined && grams > 0 ? grams : undefined;
}

interface WeighingTyped {
  readonly when: WeighingBody['when'];
  readonly weight: TypedFigure;
  readonly balance: TypedFigure;
  readonly note: string;
  readonly day: string;
}

export function WeighingForm(props: { record: RunRecord; leave: () => void; done: () => void }) {
  const { record } = props;
  const isWeighedBefore = newestWeighing(record.entries, 'before') !== undefined;
  const first: WeighingTyped = {
    when: isWeighedBefore && !record.goesOn ? 'after' : 'before',
    weight: nothingTyped,
    balance: knownBalance(record),
    note: '',
    day: '',
  };
  const draft = useDraft(runDraft('weighing', record), first);
  const { when, weight, balance, note, day } = draft.typed;
  const sending = useSending(draft);
  const [isDoubtful, setDoubtful] = useState(false);
  const grams = gramsOf(weight);
  const uncertaintyGrams = gramsOf(balance);
  const system = units.value;
  const change = (part: Partial<WeighingTyped>): void => {
    // What was asked about is no longer what would be written.
    setDoubtful(false);
    sending.forgetRefusal();
    draft.change(part);
  };
  const weighing =
    grams === undefined || uncertaintyGrams === undefined
      ? undefined
      : ({ kind: 'weighing', when, grams, uncertaintyGrams } as const);
  const send = async (isConfirmed: boolean): Promise<void> => {
    const answer = await sending.send(weighing, (body, by) =>
      writeRunEntry(record, {
        who: by,
        body,
        ...(note.trim() === '' ? {} : { note: note.trim() }),
        ...whenAsked(day),
        ...(isConfirmed ? { isConfirmed } : {}),
      }),
    );
    if (answer === undefined) return;
    setDoubtful(!answer.ok && answer.status === 409 && answer.refusal.problems.length > 0);
    if (answer.ok) props.done();
  };
  const leave = (): void => {
    draft.clear();
    props.leave();
  };
  const sent = (event: Event): void => {
    event.preventDefault();
    void send(false);
  };
  return (
    <form class="narrow-form" noValidate onSubmit={sent} aria-label="Weigh the part">
      <p class="hint">Dry, and each time with the same wires and hooks. Before and after, on the same balance.</p>
      <AsLeft draft={draft} />
      <label class="field">
        <span>Weighed</span>
        <select value={when} onChange={(event) => change({ when: event.currentTarget.value as WeighingBody['when'] })}>
          <option value="before">before the run</option>
          <option value="after" disabled={record.goesOn}>
            after the run
          </option>
        </select>
      </label>
      <TypedField
        id="weighing-grams"
        words="Weight"
        unit={unitName('g', system)}
        typed={textIn(weight, 'g', system)}
        problem={sending.isAsked && grams === undefined ? 'What the balance shows, as a number above zero.' : undefined}
        change={(text) => change({ weight: typedIn(system, text) })}
      />
      <TypedField
        id="weighing-balance"
        words="The balance is right within"
        unit={unitName('g', system)}
        typed={textIn(balance, 'g', system)}
        problem={
          sending.isAsked && uncertaintyGrams === undefined ? 'Its last digit, if nothing better is known.' : undefined
        }
        change={(text) => change({ balance: typedIn(system, text) })}
      />
      <NoteField
        words="Note"
        hint="if there is something to say"
        most={NOTE_CHARACTERS_MAX}
        typed={note}
        change={(words) => draft.change({ note: words })}
      />
      <WhenField typed={day} change={(time) => draft.change({ day: time })} />
      <WhoField isAsked={sending.isAsked} />
      <RefusalWords refusal={sending.refusal} />
      {isDoubtful && (
        <button type="button" class="quiet" disabled={sending.isUnderWay} onClick={() => void send(true)}>
          It is right: write it down all the same
        </button>
      )}
      <LastRow
        send={isDoubtful ? 'Correct it and send again' : 'Write it down'}
        isDull={sending.isUnderWay}
        onLeave={leave}
      />
    </form>
  );
}
