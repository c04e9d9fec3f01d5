/* Adds a photograph to the record of a run: from the phone's camera or from a file, drawn anew in this device and seen before it is sent. Opened by the room of a run. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { RunKey } from '@bathkeeper/shared-core/trade';
import { AsLeft } from '../forms/as-left.js';
import { useDraft } from '../forms/draft.js';
import { LastRow } from '../forms/last-row.js';
import { NoteField } from '../forms/note-field.js';
import { useSending } from '../forms/sending.js';
import { WhenField, whenAsked } from '../forms/when-field.js';
import { WhoField } from '../forms/who-field.js';
import { RefusalWords } from '../screens/refusal.js';
import { sendPhotograph } from '../state/logbook-api.js';
import { drawnPhotograph, type DrawnPhotograph } from './drawn-photograph.js';
import { NOTE_CHARACTERS_MAX, runDraft } from './note-form.js';

export function PhotographForm(props: { runKey: RunKey; leave: () => void; done: () => void }) {
  const [drawn, setDrawn] = useState<DrawnPhotograph | 'drawing' | null>(null);
  const draft = useDraft(runDraft('photograph', props.runKey), { note: '', when: '' });
  const { note, when } = draft.typed;
  const sending = useSending(draft);
  const chosen = useRef(0);
  const choose = async (file: File | undefined): Promise<void> => {
    if (file === undefined) return;
    const turn = ++chosen.current;
    setDrawn('drawing');
    sending.forgetRefusal();
    const photograph = await drawnPhotograph(file);
    // Somebody may have chosen another one meanwhile.
    if (turn === chosen.current) setDrawn(photograph);
  };
  const ready = drawn !== null && drawn !== 'drawing' && !('fault' in drawn) ? drawn : null;
  const send = async (event: Event): Promise<void> => {
    event.preventDefault();
    const answer = await sending.send(ready?.bytes, (bytes, by) =>
      sendPhotograph(props.runKey, { who: by, note: note.trim(), ...whenAsked(when), bytes }),
    );
    if (answer?.ok === true) props.done();
  };
  const leave = (): void => {
    draft.clear();
    props.leave();
  };
  return (
    <form class="narrow-form" noValidate onSubmit={(event) => void send(event)} aria-label="Add a photograph">
      <AsLeft draft={draft} more="No picture is kept: choose it again." />
      <p class="hint">Made smaller where needed, and sent without the notes of the camera (place, time, device).</p>
      <PictureField words="Take a photograph" isCamera chosen={(file) => void choose(file)} />
      <PictureField words="Choose a picture" chosen={(file) => void choose(file)} />
      <div aria-live="polite">
        {drawn === 'drawing' && <p class="hint">Reading the picture…</p>}
        {drawn !== null && drawn !== 'drawing' && 'fault' in drawn && <p class="field-problem">{drawn.fault}</p>}
        {sending.isAsked && drawn === null && <p class="field-problem">Take or choose a picture first.</p>}
        {ready !== null && <Preview canvas={ready.canvas} bytes={ready.bytes} />}
      </div>
      <NoteField
        words="What is seen in it"
        hint="for whoever does not see it, too"
        most={NOTE_CHARACTERS_MAX}
        typed={note}
        change={(words) => draft.change({ note: words })}
      />
      <WhenField typed={when} change={(time) => draft.change({ when: time })} />
      <WhoField isAsked={sending.isAsked} />
      <LastRow send={sending.isUnderWay ? 'Sending…' : 'Add it'} isDull={sending.isUnderWay} onLeave={leave} />
      <RefusalWords refusal={sending.refusal} />
    </form>
  );
}

/** A field for a file; the camera's own is shown only where there is a finger, since elsewhere browsers take it for the other. */
function PictureField(props: { words: string; isCamera?: boolean; chosen: (file: File | undefined) => void }) {
  return (
    <label class={props.isCamera === true ? 'field from-camera' : 'field'}>
      <span>{props.words}</span>
      <input
        type="file"
        accept="image/jpeg,image/png,image/webp"
        {...(props.isCamera === true ? { capture: 'environment' as const } : {})}
        onChange={(event) => props.chosen(event.currentTarget.files?.[0])}
      />
    </label>
  );
}

/** The picture as it will be kept. */
function Preview(props: { canvas: HTMLCanvasElement; bytes: Blob }) {
  const { canvas, bytes } = props;
  const frame = useRef<HTMLDivElement>(null);
  useEffect(() => {
    canvas.setAttribute('role', 'img');
    canvas.setAttribute('aria-label', 'The photograph as it will be kept');
    frame.current?.replaceChildren(canvas);
  }, [canvas]);
  return (
    <>
      <div class="photograph-preview" ref={frame} />
      <p class="hint">
        {canvas.width} × {canvas.height} pixels, {Math.max(1, Math.round(bytes.size / 1000))} kB
      </p>
    </>
  );
}
