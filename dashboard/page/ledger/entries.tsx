/* Everything that was written into a ledger, newest first; what was undone stays, crossed out, with who and why. */
import type { LedgerEntry } from '@bathkeeper/shared-core/trade';
import { undoEntry } from '../state/ledger-api.js';
import { units } from '../state/units.js';
import { BookEntry } from './book-entry.js';
import { entryWords } from './entry-words.js';
import { MoreButton, useMore } from './shown-more.js';

/** Written down so much later than it happened, an entry says so. */
const LATE_MS = 60_000;

export function Entries(props: { bathId: number; entries: readonly LedgerEntry[]; changed: () => void }) {
  const { entries } = props;
  const { shown, more } = useMore(entries);
  return (
    <section aria-labelledby="entries-title">
      <h2 id="entries-title">Entries</h2>
      {entries.length === 0 && <p>Nothing yet.</p>}
      <ol class="entries">
        {shown.map((entry) => (
          <BookEntry
            key={entry.entryId}
            book={`ledger/${String(props.bathId)}`}
            entry={entry}
            words={entryWords(entry.body, units.value)}
            writtenAtMs={entry.writtenAtMs - entry.atMs > LATE_MS ? entry.writtenAtMs : undefined}
            undoHint="The entry stays to be read and no longer counts. What is in the bath is in the bath."
            undo={(request) => undoEntry(props.bathId, entry.entryId, request)}
            changed={props.changed}
          />
        ))}
      </ol>
      <MoreButton more={more} />
    </section>
  );
}
