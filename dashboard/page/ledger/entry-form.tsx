/* Writes one entry into a ledger: what was done, its figures, when, by whom, a note. What will be written is shown before it is. */
import { useState } from 'preact/hooks';
import {
  type BathAccount,
  type BathProfile,
  type EntryAsked,
  entryFaults,
  settledEntry,
  unitName,
} from '@bathkeeper/shared-core/trade';
import { AsLeft } from '../forms/as-left.js';
import { useDraft } from '../forms/draft.js';
import { NoteField } from '../forms/note-field.js';
import { useSending } from '../forms/sending.js';
import { TypedField } from '../forms/typed-field.js';
import { typedIn } from '../forms/typed-figure.js';
import { WhenField, whenAsked } from '../forms/when-field.js';
import { WhoField } from '../forms/who-field.js';
import { RefusalWords } from '../screens/refusal.js';
import { writeEntry } from '../state/ledger-api.js';
import { snapshot } from '../state/state.js';
import { told, units } from '../state/units.js';
import type { Wish } from './bath-screen.js';
import { MixingCare, WasteCare } from './care.js';
import { begunWith, emptyEntry, isKnownEntry, otherFigures } from './entry-draft.js';
import { type Act, actGroups, actNames, fieldsOf } from './entry-fields.js';
import { type FieldSpec, type NumberSpec, valueOf } from './field-spec.js';
import { readEntry } from './entry-reading.js';
import { entryWords } from './entry-words.js';

/** After these something is left that must go somewhere. */
const wasteActs: readonly Act[] = ['waste-collected', 'waste-handed-over', 'filtration', 'carbon-treatment'];

export function EntryForm(props: {
  bathId: number;
  profile: BathProfile;
  account: BathAccount;
  begun: Wish;
  written: () => void;
}) {
  const { profile, begun } = props;
  const [firstAct, setFirstAct] = useState<Act>(begun.act);
  const draft = useDraft(`ledger/${String(props.bathId)}`, emptyEntry(firstAct), {
    fits: isKnownEntry,
    ...(begun.turn === 0 ? {} : { begin: begunWith(begun) }),
  });
  const { act, note, when, figures } = draft.typed;
  const typed = figures[act] ?? {};
  const sending = useSending(draft);
  const [said, setSaid] = useState('');
  /** What the dashboard has asked about, as it was sent. */
  const [doubtful, setDoubtful] = useState<string | null>(null);
  const controllerIds = snapshot.value?.controllers.map(({ controllerId }) => controllerId) ?? [];
  const reading = readEntry(act, typed, profile, units.value, controllerIds);
  const isDoubtful = doubtful !== null && doubtful === JSON.stringify(bodyIn(reading));
  const isNoteMissing = act === 'note' && note.trim() === '';
  const change: typeof draft.change = (part) => {
    // What was asked about is no longer what would be written.
    setDoubtful(null);
    sending.forgetRefusal();
    draft.change(part);
  };
  const choose = (chosen: Act): void => {
    change({ act: chosen });
    sending.beginAnew();
  };
  const write = async (isConfirmed: boolean): Promise<void> => {
    setSaid('');
    const whole = isNoteMissing ? undefined : bodyIn(reading);
    const answer = await sending.send(whole, (body, by) =>
      writeEntry(props.bathId, {
        who: by,
        body,
        ...(note.trim() === '' ? {} : { note: note.trim() }),
        ...whenAsked(when),
        ...(isConfirmed ? { isConfirmed } : {}),
      }),
    );
    if (answer === undefined) return;
    setDoubtful(
      !answer.ok && answer.status === 409 && answer.refusal.problems.length > 0 ? JSON.stringify(whole) : null,
    );
    if (!answer.ok) return;
    setSaid('Written.');
    setFirstAct(act);
    const others = otherFigures(figures, act);
    if (Object.keys(others).length > 0) draft.change({ act, figures: others });
    sending.beginAnew();
    props.written();
  };
  const sent = (event: Event): void => {
    event.preventDefault();
    void write(false);
  };
  const preview = previewWords(reading);
  return (
    <section id="write" aria-labelledby="write-title">
      <h2 id="write-title">Write into the ledger</h2>
      <form class="ledger-form" noValidate onSubmit={sent} aria-label="Write into the ledger">
        <AsLeft draft={draft} />
        <label class="field">
          <span>What was done</span>
          <select value={act} onChange={(event) => choose(event.currentTarget.value as Act)}>
            {actGroups.map(([group, acts]) => (
              <optgroup key={group} label={group}>
                {acts.map((one) => (
                  <option key={one} value={one}>
                    {actNames[one]}
                  </option>
                ))}
              </optgroup>
            ))}
          </select>
        </label>
        {fieldsOf(act, typed, profile, controllerIds).map((spec) => (
          <EntryField
            key={spec.key}
            spec={spec}
            value={valueOf(spec, typed, units.value)}
            problem={sending.isAsked ? reading.problems?.[spec.key] : undefined}
            change={(text) =>
              change({ figures: { ...figures, [act]: { ...typed, [spec.key]: typedIn(units.value, text) } } })
            }
          />
        ))}
        {preview !== undefined && act !== 'note' && <p class="preview">{preview}</p>}
        {(act === 'made-up' || act === 'addition') && <MixingCare />}
        {wasteActs.includes(act) && <WasteCare />}
        <NoteField
          words="Note"
          hint={act === 'note' ? undefined : 'if there is something to say'}
          most={2000}
          typed={note}
          problem={sending.isAsked && isNoteMissing ? 'Write a few words.' : undefined}
          change={(words) => change({ note: words })}
        />
        <WhenField typed={when} change={(time) => change({ when: time })} />
        <WhoField isAsked={sending.isAsked} />
        <RefusalWords refusal={sending.refusal} />
        <div class="row">
          <button type="submit" class="plain" disabled={sending.isUnderWay}>
            {isDoubtful ? 'Correct it and send again' : 'Write it down'}
          </button>
          {isDoubtful && (
            <button type="button" class="quiet" disabled={sending.isUnderWay} onClick={() => void write(true)}>
              It is right: write it down all the same
            </button>
          )}
        </div>
        <p role="status" class="said">
          {said}
        </p>
      </form>
    </section>
  );
}

/** undefined while something is missing. */
function bodyIn(reading: ReturnType<typeof readEntry>): EntryAsked | undefined {
  return reading.problems === undefined ? reading.body : undefined;
}

/** What will stand in the ledger; undefined while something is missing. */
function previewWords(reading: ReturnType<typeof readEntry>): string | undefined {
  if (reading.problems !== undefined || entryFaults(reading.body).length > 0) return undefined;
  try {
    return entryWords(settledEntry(reading.body), units.value);
  } catch (fault) {
    // Outside of what a formula is good for: its own words say what it expects.
    if (fault instanceof RangeError) return told(fault.message);
    throw fault;
  }
}

function EntryField(props: {
  spec: FieldSpec;
  value: string;
  problem: string | undefined;
  change: (text: string) => void;
}) {
  const { spec, value, problem, change } = props;
  if (spec.kind === 'choice')
    return (
      <label class="field">
        <span>{spec.words}</span>
        <select value={value} onChange={(event) => change(event.currentTarget.value)}>
          {spec.among.map(([key, words]) => (
            <option key={key} value={key}>
              {words}
            </option>
          ))}
        </select>
      </label>
    );
  return (
    <TypedField
      id={`entry-${spec.key}`}
      words={spec.words}
      kind={spec.kind === 'text' ? 'name' : 'number'}
      unit={spec.kind === 'text' ? undefined : fieldUnit(spec.unit)}
      typed={value}
      problem={problem}
      change={change}
    />
  );
}

function fieldUnit(unit: NumberSpec['unit']): string {
  return unit === '1' ? '' : unit === 'mol/L' ? unit : unitName(unit, units.value);
}
