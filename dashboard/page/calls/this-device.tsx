/*
 * Whether this very device is called, at the head of the room of calls: who is called on it, or why nobody is, and the one press that mends it.
 * The dashboard is asked by the device's name (push-here.ts); for whom it was called last is kept on this device only.
 */
import { useEffect, useState } from 'preact/hooks';
import type { ContactView, Refusal } from '@bathkeeper/shared-core/messages';
import { RefusalWords } from '../screens/refusal.js';
import { addChannel } from '../state/api.js';
import { useAsked } from '../state/asked.js';
import { serverNowMs } from '../state/state.js';
import { deviceWords, isDeviceAmiss } from '../words/device-words.js';
import { askDeviceHere, channelHere } from './push-here.js';

const KEY = 'bathkeeper.called-as';

function keptContactId(): number | null {
  try {
    return Number(localStorage.getItem(KEY)) || null;
  } catch {
    // Storage is closed on this device: the first person stands chosen.
    return null;
  }
}
function keepContactId(contactId: number): void {
  try {
    localStorage.setItem(KEY, String(contactId));
  } catch {
    // See keptContactId.
  }
}

export function ThisDevice(props: { contacts: readonly ContactView[]; onChanged: () => void }) {
  const { contacts } = props;
  const { value: state, refusal, again } = useAsked(askDeviceHere, [contacts]);
  const [chosen, setChosen] = useState(keptContactId);
  const calledAs = state?.kind === 'called' ? state.on[0]!.contactId : null;
  useEffect(() => {
    if (calledAs !== null) keepContactId(calledAs);
  }, [calledAs]);
  const mayBeCalled = state?.kind === 'never-asked' || state?.kind === 'not-known';
  const contact = contacts.find((one) => one.contactId === chosen) ?? contacts[0];
  return (
    <section class="this-device" aria-labelledby="this-device-title">
      <h2 id="this-device-title">This device</h2>
      {state === null ? (
        refusal === null && <p class="hint">Looking whether this device is called…</p>
      ) : state.kind !== 'called' && contacts.length === 0 ? null : (
        <p role="status" class={isDeviceAmiss(state) ? 'caution' : undefined}>
          {deviceWords(state, serverNowMs.value)}
        </p>
      )}
      {contacts.length === 0 && <p>Add a person below, then this device can be called for them.</p>}
      {mayBeCalled && contact !== undefined && (
        <Subscribe
          contact={contact}
          contacts={contacts}
          words={state.kind === 'not-known' ? 'Subscribe again' : 'Call this device'}
          onChosen={setChosen}
          onDone={() => {
            again();
            props.onChanged();
          }}
        />
      )}
      <RefusalWords refusal={refusal} />
    </section>
  );
}

/** One press; where there are several people, for whom. */
function Subscribe(props: {
  contact: ContactView;
  contacts: readonly ContactView[];
  words: string;
  onChosen: (contactId: number) => void;
  onDone: () => void;
}) {
  const { contact, contacts } = props;
  const [problem, setProblem] = useState<string | undefined>();
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  const subscribe = async (): Promise<void> => {
    setBusy(true);
    setProblem(undefined);
    setRefusal(null);
    const here = await channelHere();
    if ('problem' in here) setProblem(here.problem);
    else if ('refusal' in here) setRefusal(here.refusal);
    else {
      const answer = await addChannel(contact.contactId, here.request);
      setRefusal(answer.ok ? null : answer.refusal);
    }
    setBusy(false);
    // Refused or not: what the browser says of itself may have changed.
    props.onDone();
  };
  return (
    <>
      {contacts.length > 1 && (
        <label>
          Whose device is it?
          <select
            value={String(contact.contactId)}
            onChange={(event) => props.onChosen(Number(event.currentTarget.value))}
          >
            {contacts.map((one) => (
              <option key={one.contactId} value={String(one.contactId)}>
                {one.name}
              </option>
            ))}
          </select>
        </label>
      )}
      <button type="button" class="plain" disabled={isBusy} onClick={() => void subscribe()}>
        {props.words}
      </button>
      <p role="alert" class="field-problem">
        {problem}
      </p>
      <RefusalWords refusal={refusal} />
    </>
  );
}
