/*
 * The door: on first start it takes the one-time link and asks for a passphrase of one's own; later it asks for it.
 * Shown by the page while nobody is let in; keeps no passphrase.
 */
import { useState } from 'preact/hooks';
import type { Refusal } from '@bathkeeper/shared-core/messages';
import { enter, setFirstPassphrase } from '../state/api.js';
import { takenToken } from '../state/route.js';
import { refreshDoor } from '../state/state.js';
import { RefusalWords } from './refusal.js';

export function DoorScreen(props: { isFirstStart: boolean }) {
  const token = takenToken();
  return (
    <main class="leaf door">
      <h1>Bathkeeper</h1>
      {!props.isFirstStart ? (
        <Entry />
      ) : token === null ? (
        <>
          <h2>First start</h2>
          <p>
            Nobody has chosen a passphrase yet. Open the one-time link that the program printed when it started; it lets
            you choose one.
          </p>
        </>
      ) : (
        <FirstStart token={token} />
      )}
    </main>
  );
}

function FirstStart(props: { token: string }) {
  const [passphrase, setPassphrase] = useState('');
  const [again, setAgain] = useState('');
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  const choose = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (passphrase !== again) {
      setRefusal({ error: 'The two are not the same. Type both again.', problems: [] });
      return;
    }
    setBusy(true);
    const answer = await setFirstPassphrase(props.token, passphrase);
    setBusy(false);
    if (answer.ok) await refreshDoor();
    else setRefusal(answer.refusal);
  };
  return (
    <form onSubmit={(event) => void choose(event)}>
      <h2>First start: choose a passphrase</h2>
      <p id="passphrase-advice">
        Whoever knows it can stop a run, so choose one that nobody guesses: at least 8 characters, a few words in a row
        are easy to keep.
      </p>
      <label>
        Passphrase
        <input
          type="password"
          autocomplete="new-password"
          aria-describedby="passphrase-advice"
          required
          minLength={8}
          value={passphrase}
          onInput={(event) => setPassphrase(event.currentTarget.value)}
        />
      </label>
      <label>
        The same again
        <input
          type="password"
          autocomplete="new-password"
          required
          value={again}
          onInput={(event) => setAgain(event.currentTarget.value)}
        />
      </label>
      <button type="submit" disabled={isBusy}>
        Set the passphrase and open
      </button>
      <RefusalWords refusal={refusal} />
    </form>
  );
}

function Entry() {
  const [passphrase, setPassphrase] = useState('');
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  const open = async (event: Event): Promise<void> => {
    event.preventDefault();
    setBusy(true);
    const answer = await enter(passphrase);
    setBusy(false);
    setPassphrase('');
    if (answer.ok) await refreshDoor();
    else setRefusal(answer.refusal);
  };
  return (
    <form onSubmit={(event) => void open(event)}>
      <label>
        Passphrase
        <input
          type="password"
          autocomplete="current-password"
          required
          value={passphrase}
          onInput={(event) => setPassphrase(event.currentTarget.value)}
        />
      </label>
      <button type="submit" disabled={isBusy}>
        Open
      </button>
      <RefusalWords refusal={refusal} />
    </form>
  );
}
