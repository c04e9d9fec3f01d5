/* One line of a book in which nothing is edited away: when, who, what, and how it was undone or how to undo it. Shown by ledgers and the stock. */
import { useState } from 'preact/hooks';
import type { LedgerEntry, StockEntry } from '@bathkeeper/shared-core/trade';
import { hasDraft } from '../forms/draft.js';
import { UndoForm } from '../forms/undo-form.js';
import type { Answer } from '../state/api.js';
import { serverNowMs } from '../state/state.js';
import { timeWords } from '../words/times.js';

export function BookEntry(props: {
  /** Which book it stands in, such as "ledger/1". */
  book: string;
  entry: Omit<LedgerEntry | StockEntry, 'body'>;
  /** What it says, in the person's units. */
  words: string;
  /** When it was written down, where that was later than it happened. */
  writtenAtMs?: number | undefined;
  /** What an undoing changes, and what it does not. */
  undoHint: string;
  undo: (request: { readonly who: string; readonly reason: string }) => Promise<Answer<unknown>>;
  changed: () => void;
}) {
  const { words, writtenAtMs } = props;
  const { atMs, who, note, undone } = props.entry;
  const draftName = `undo/${props.book}/${String(props.entry.entryId)}`;
  const [isAsking, setAsking] = useState(() => hasDraft(draftName));
  const nowMs = serverNowMs.value;
  return (
    <li class="entry" data-undone={undone !== null}>
      <p class="entry-when">
        {timeWords(atMs, nowMs)}, {who}
        {writtenAtMs !== undefined && <span class="hint"> (written {timeWords(writtenAtMs, nowMs)})</span>}
      </p>
      <p class="entry-words">{undone === null ? words : <s>{words}</s>}</p>
      {note !== '' && <p class="entry-note">{note}</p>}
      {undone !== null ? (
        <p>
          Undone {timeWords(undone.atMs, nowMs)} by {undone.who}: {undone.reason}
        </p>
      ) : isAsking ? (
        <UndoForm
          draftName={draftName}
          hint={props.undoHint}
          send={props.undo}
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
