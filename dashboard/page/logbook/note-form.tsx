/* A note in the record of a run: written, or corrected as the words of a photograph are, which undoes the one before and says why. Opened by the room of a run. */
import type { RunEntry, RunKey } from '@bathkeeper/shared-core/trade';
import { AsLeft } from '../forms/as-left.js';
import { useDraft } from '../forms/draft.js';
import { LastRow } from '../forms/last-row.js';
import { NoteField } from '../forms/note-field.js';
import { useSending } from '../forms/sending.js';
import { WhenField, whenAsked } from '../forms/when-field.js';
import { WhoField } from '../forms/who-field.js';
import { WhyField } from '../forms/why-field.js';
import { RefusalWords } from '../screens/refusal.js';
import { correctRunNote, runPath, writeRunEntry } from '../state/logbook-api.js';

export const NOTE_CHARACTERS_MAX = 4000;

/** Of a form in the room of this run. */
export function runDraft(form: string, runKey: RunKey): string {
  return `${form}${runPath(runKey)}`;
}

export function correctionDraft(runKey: RunKey, { entryId }: RunEntry): string {
  return `${runDraft('correct', runKey)}/${String(entryId)}`;
}

export function NoteForm(props: { runKey: RunKey; leave: () => void; done: () => void }) {
  const draft = useDraft(runDraft('note', props.runKey), { note: '', when: '' });
  const { note, when } = draft.typed;
  const sending = useSending(draft);
  const isMissing = note.trim() === '';
  const leave = (): void => {
    draft.clear();
    props.leave();
  };
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    const answer = await sending.send(note.trim() || undefined, (words, by) =>
      writeRunEntry(props.runKey, { who: by, note: words, ...whenAsked(when), body: { kind: 'note' } }),
    );
    if (answer?.ok === true) props.done();
  };
  return (
    <form class="narrow-form" noValidate onSubmit={(event) => void send(event)} aria-label="Write a note">
      <AsLeft draft={draft} />
      <NoteField
        words="Note"
        most={NOTE_CHARACTERS_MAX}
        typed={note}
        problem={sending.isAsked && isMissing ? 'Write a few words.' : undefined}
        change={(words) => draft.change({ note: words })}
      />
      <WhenField typed={when} change={(time) => draft.change({ when: time })} />
      <WhoField isAsked={sending.isAsked} />
      <LastRow send="Write it down" isDull={sending.isUnderWay} onLeave={leave} />
      <RefusalWords refusal={sending.refusal} />
    </form>
  );
}

export function CorrectWordsForm(props: { runKey: RunKey; entry: RunEntry; leave: () => void; done: () => void }) {
  const draft = useDraft(correctionDraft(props.runKey, props.entry), { note: props.entry.note, reason: '' });
  const { note, reason } = draft.typed;
  const sending = useSending(draft);
  const isNote = props.entry.body.kind === 'note';
  const isMissing = note.trim() === '';
  const leave = (): void => {
    draft.clear();
    props.leave();
  };
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    const correction = isMissing || reason.trim() === '' ? undefined : { note: note.trim(), reason: reason.trim() };
    const answer = await sending.send(correction, (whole, by) =>
      correctRunNote(props.runKey, props.entry.entryId, { who: by, ...whole }),
    );
    if (answer?.ok === true) props.done();
  };
  return (
    <form
      class="narrow-form"
      noValidate
      onSubmit={(event) => void send(event)}
      aria-label={isNote ? 'Correct this note' : 'Correct what is seen in it'}
    >
      <p class="hint">
        {isNote ? 'The note stays' : 'The words stay'} to be read, crossed out, and the new words stand beside{' '}
        {isNote ? 'it' : 'them'}.
      </p>
      <AsLeft draft={draft} />
      <NoteField
        words={isNote ? 'Note' : 'What is seen in it'}
        most={NOTE_CHARACTERS_MAX}
        typed={note}
        problem={sending.isAsked && isMissing ? 'Write a few words, or undo it.' : undefined}
        change={(words) => draft.change({ note: words })}
      />
      <WhyField reason={reason} isAsked={sending.isAsked} change={(words) => draft.change({ reason: words })} />
      <WhoField isAsked={sending.isAsked} />
      <LastRow send="Correct it" isDull={sending.isUnderWay} onLeave={leave} />
      <RefusalWords refusal={sending.refusal} />
    </form>
  );
}
