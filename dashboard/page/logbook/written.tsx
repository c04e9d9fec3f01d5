/* What people wrote into the record of a run, in the order of what it tells, and the forms to write more. What was undone stays, crossed out, with who and why. */
import { useState } from 'preact/hooks';
import type { RunRecord } from '@bathkeeper/shared-core/trade';
import { hasDraft } from '../forms/draft.js';
import { NoteForm, runDraft } from './note-form.js';
import { PhotographForm } from './photograph-form.js';
import { WeighingForm } from './weighing-form.js';
import { WrittenEntry } from './written-entry.js';

const forms = [
  ['note', 'Write a note'],
  ['weighing', 'Weigh the part'],
  ['photograph', 'Add a photograph'],
] as const;
type Form = (typeof forms)[number][0];

export function Written(props: { record: RunRecord; changed: () => void }) {
  const { record, changed } = props;
  const [form, setForm] = useState<Form | null>(
    () => forms.find(([name]) => hasDraft(runDraft(name, record)))?.[0] ?? null,
  );
  const leave = (): void => setForm(null);
  const done = (): void => {
    setForm(null);
    changed();
  };
  return (
    <section aria-labelledby="written-title">
      <h2 id="written-title">Notes, weighings, photographs</h2>
      {record.entries.length === 0 && <p class="hint">Nothing yet.</p>}
      <ol class="written">
        {record.entries.map((entry) => (
          <WrittenEntry key={entry.entryId} record={record} entry={entry} changed={changed} />
        ))}
      </ol>
      {form === null && (
        <div class="row">
          {forms.map(([name, words]) => (
            <button key={name} type="button" class="quiet" onClick={() => setForm(name)}>
              {words}
            </button>
          ))}
        </div>
      )}
      {form === 'note' && <NoteForm runKey={record} leave={leave} done={done} />}
      {form === 'weighing' && <WeighingForm record={record} leave={leave} done={done} />}
      {form === 'photograph' && <PhotographForm runKey={record} leave={leave} done={done} />}
    </section>
  );
}
