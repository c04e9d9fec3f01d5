/* One note, weighing or photograph in the record of a run. What a person wrote is shown as text, whatever stands in it. */
import { useState } from 'preact/hooks';
import { runClock, runDay, type RunEntry, runEntryWords, type RunRecord } from '@bathkeeper/shared-core/trade';
import { hasDraft } from '../forms/draft.js';
import { UndoForm } from '../forms/undo-form.js';
import { photographAddress, undoRunEntry } from '../state/logbook-api.js';
import { units } from '../state/units.js';
import { correctionDraft, CorrectWordsForm, runDraft } from './note-form.js';
import { ownZone } from '../words/zone.js';

/** Example: "Tue 10 Feb 2026, 02:04". */
const whenWords = (atMs: number): string => `${runDay(atMs, ownZone())}, ${runClock(atMs, ownZone())}`;

const LATE_MS = 60_000;

export function WrittenEntry(props: { record: RunRecord; entry: RunEntry; changed: () => void }) {
  const { record, entry } = props;
  const { undone, body } = entry;
  const undoName = `${runDraft('undo', record)}/${String(entry.entryId)}`;
  const [open, setOpen] = useState<'undo' | 'correct' | null>(() =>
    hasDraft(undoName) ? 'undo' : hasDraft(correctionDraft(record, entry)) ? 'correct' : null,
  );
  const leave = (): void => setOpen(null);
  const done = (): void => {
    setOpen(null);
    props.changed();
  };
  const words = runEntryWords(body, units.value);
  const when = whenWords(entry.atMs);
  return (
    <li id={`entry-${String(entry.entryId)}`} data-undone={undone !== null}>
      <p class="written-when">
        {when}, {entry.who}
        {entry.writtenAtMs - entry.atMs > LATE_MS && (
          <span class="hint"> (written {whenWords(entry.writtenAtMs)})</span>
        )}
      </p>
      {body.kind === 'weighing' && <p>{undone === null ? words : <s>{words}</s>}</p>}
      {body.kind === 'photograph' && <Photograph record={record} entry={entry} />}
      {body.kind !== 'photograph' && entry.note !== '' && (
        <p class="written-note">{undone === null ? entry.note : <s>{entry.note}</s>}</p>
      )}
      {undone !== null && (
        <p>
          Undone {whenWords(undone.atMs)} by {undone.who}: {undone.reason}
        </p>
      )}
      {undone === null && open === null && (
        <div class="row">
          {body.kind !== 'weighing' && (
            <button
              type="button"
              class="quiet"
              aria-label={`Correct: ${words}, ${when}`}
              onClick={() => setOpen('correct')}
            >
              Correct
            </button>
          )}
          <button type="button" class="quiet" aria-label={`Undo: ${words}, ${when}`} onClick={() => setOpen('undo')}>
            Undo
          </button>
        </div>
      )}
      {open === 'correct' && <CorrectWordsForm runKey={record} entry={entry} leave={leave} done={done} />}
      {open === 'undo' && (
        <UndoForm
          draftName={undoName}
          hint="It stays to be read, crossed out, and no longer counts."
          send={(request) => undoRunEntry(record, entry.entryId, request)}
          leave={leave}
          done={done}
        />
      )}
    </li>
  );
}

/** One that was undone is shown only to whoever opens it. */
function Photograph({ record, entry }: { record: RunRecord; entry: RunEntry }) {
  const { body, note, undone } = entry;
  if (body.kind !== 'photograph') return null;
  if (body.isElsewhere === true) {
    const words = <span class="written-note">{note === '' ? 'nobody said what is seen' : note}</span>;
    return <p>Photograph, which stayed where the run was made: {undone === null ? words : <s>{words}</s>}</p>;
  }
  const figure = (
    <figure class="photograph">
      <img
        src={photographAddress(record, entry.entryId)}
        width={body.widthPixels}
        height={body.heightPixels}
        style={{ '--wide': `${String(body.widthPixels)}px`, '--ratio': String(body.widthPixels / body.heightPixels) }}
        loading="lazy"
        alt={note === '' ? `Photograph by ${entry.who}, ${whenWords(entry.atMs)}; nobody said what is seen` : note}
      />
      {note !== '' && <figcaption class="written-note">{note}</figcaption>}
    </figure>
  );
  if (undone === null) return figure;
  return (
    <details>
      <summary>
        <s>Photograph{note === '' ? '' : `: ${note}`}</s>
      </summary>
      {figure}
    </details>
  );
}
