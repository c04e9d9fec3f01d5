/* A note in the record of a run: written, or corrected, which undoes the one before and says why. Opened by the room of a run. */
import { useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import type { RunEntry, RunKey } from '@bathkeeper/shared-core/trade';
import { LastRow } from '../forms/last-row.js';
import { NoteField } from '../forms/note-field.js';
import { WhenField, whenAsked } from '../forms/when-field.js';
import { WhoField } from '../forms/who-field.js';
import { WhyField } from '../forms/why-field.js';
import { RefusalWords } from '../screens/refusal.js';
import { correctRunNote, writeRunEntry } from '../state/logbook-api.js';
import { who } from '../state/who.js';

export const NOTE_CHARACTERS_MAX = 4000;

export function NoteForm(props: { runKey: RunKey; leave: () => void; done: () => void }) {
  const [note, setNote] = useState('');
  const [when, setWhen] = useState('');
  const [isAsked, setAsked] = useState(false);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const isMissing = note.trim() === '';
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    setAsked(true);
    if (isMissing || who.value.trim() === '') return;
    const told = { who: who.value.trim(), note: note.trim(), ...whenAsked(when) };
    const answer = await writeRunEntry(props.runKey, { ...told, body: { kind: 'note' } });
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) props.done();
  };
  return (
    <form class="narrow-form" noValidate onSubmit={(event) => void send(event)} aria-label="Write a note">
      <NoteField
        words="Note"
        most={NOTE_CHARACTERS_MAX}
        typed={note}
        problem={isAsked && isMissing ? 'Write a few words.' : undefined}
        change={setNote}
      />
      <WhenField typed={when} change={setWhen} />
      <WhoField isAsked={isAsked} />
      <LastRow send="Write it down" isDull={false} onLeave={props.leave} />
      <RefusalWords refusal={refusal} />
    </form>
  );
}

export function CorrectNoteForm(props: { runKey: RunKey; entry: RunEntry; leave: () => void; done: () => void }) {
  const [note, setNote] = useState(props.entry.note);
  const [reason, setReason] = useState('');
  const [isAsked, setAsked] = useState(false);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const isMissing = note.trim() === '';
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    setAsked(true);
    if (isMissing || reason.trim() === '' || who.value.trim() === '') return;
    const correction = { who: who.value.trim(), note: note.trim(), reason: reason.trim() };
    const answer = await correctRunNote(props.runKey, props.entry.entryId, correction);
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) props.done();
  };
  return (
    <form class="narrow-form" noValidate onSubmit={(event) => void send(event)} aria-label="Correct this note">
      <p class="hint">The note stays to be read, crossed out, and the new words stand beside it.</p>
      <NoteField
        words="Note"
        most={NOTE_CHARACTERS_MAX}
        typed={note}
        problem={isAsked && isMissing ? 'Write a few words, or undo the note.' : undefined}
        change={setNote}
      />
      <WhyField reason={reason} isAsked={isAsked} change={setReason} />
      <WhoField isAsked={isAsked} />
      <LastRow send="Correct it" isDull={false} onLeave={props.leave} />
      <RefusalWords refusal={refusal} />
    </form>
  );
}
