/* Everything that was written into a ledger, newest first; what was undone stays, crossed out, with who and why. */
import { useState } from 'preact/hooks';
import type { LedgerEntry } from '@bathkeeper/shared-core/trade';
import { UndoForm } from '../forms/undo-form.js';
import { undoEntry } from '../state/ledger-api.js';
import { serverNowMs } from '../state/state.js';
import { units } from '../state/units.js';
import { timeWords } from '../words/times.js';
import { entryWords } from './entry-words.js';
import { MoreButton, useMore } from './shown-more.js';

export function Entries(props: { bathId: number; entries: readonly LedgerEntry[]; changed: () => void }) {
  const { entries } = props;
  const { shown, more } = useMore(entries);
  return (
    <section aria-labelledby="entries-title">
      <h2 id="entries-title">Entries</h2>
      {entries.length === 0 && <p>Nothing yet.</p>}
      <ol class="entries">
        {shown.map((entry) => (
          <Entry key={entry.entryId} bathId={props.bathId} entry={entry} changed={props.changed} />
        ))}
      </ol>
      <MoreButton more={more} />
    </section>
  );
}

function Entry(props: { bathId: number; entry: LedgerEntry; changed: () => void }) {
  const { entry } = props;
  const { undone } = entry;
  const [isAsking, setAsking] = useState(false);
  const nowMs = serverNowMs.value;
  const words = entryWords(entry.body, units.value);
  const isLate = entry.writtenAtMs - entry.atMs > 60_000;
  return (
    <li class="entry" data-undone={undone !== null}>
      <p class="entry-when">
        {timeWords(entry.atMs, nowMs)}, {entry.who}
        {isLate && <span class="hint"> (written {timeWords(entry.writtenAtMs, nowMs)})</span>}
      </p>
      <p class="entry-words">{undone === null ? words : <s>{words}</s>}</p>
      {entry.note !== '' && <p class="entry-note">{entry.note}</p>}
      {undone !== null ? (
        <p>
          Undone {timeWords(undone.atMs, nowMs)} by {undone.who}: {undone.reason}
        </p>
      ) : isAsking ? (
        <UndoForm
          hint="The entry stays to be read and no longer counts. What is in the bath is in the bath."
          send={(request) => undoEntry(props.bathId, entry.entryId, request)}
          leave={() => setAsking(false)}
          done={() => {
            setAsking(false);
            props.changed();
          }}
        />
      ) : (
        <button type="button" class="quiet" aria-label={`Undo: ${words}`} onClick={() => setAsking(true)}>
          Undo
        </button>
      )}
    </li>
  );
}
