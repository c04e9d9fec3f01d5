/*
 * The heartbeat outward: an address that is asked for regularly, so that somebody outside notices when this dashboard is dead.
 * Part of the settings. The address may hold a key: it is typed in, and comes back with the rest hidden.
 */
import { useState } from 'preact/hooks';
import type { HeartbeatView, Refusal } from '@bathkeeper/shared-core/messages';
import { AddressField, PrivateAddressTick } from '../forms/address-field.js';
import { AskedTwice } from '../forms/asked-twice.js';
import { typedNumber } from '../forms/typed-number.js';
import { askHeartbeat, setHeartbeat } from '../state/api.js';
import { useAsked } from '../state/asked.js';
import { serverNowMs } from '../state/state.js';
import { timeWords } from '../words/times.js';
import { RefusalWords } from './refusal.js';

export function Heartbeat() {
  const { value, refusal, take } = useAsked(askHeartbeat, []);
  return (
    <section aria-labelledby="heartbeat-title">
      <h2 id="heartbeat-title">Heartbeat outward</h2>
      <p>
        A dead dashboard calls nobody. Choose an address outside that is asked for regularly, at a service that raises
        its voice when the asking stops.
      </p>
      {value === null ? (
        refusal === null && <p class="hint">Fetching…</p>
      ) : (
        <HeartbeatForm now={value} onSaved={take} />
      )}
      <RefusalWords refusal={refusal} />
    </section>
  );
}

function HeartbeatForm(props: { now: HeartbeatView; onSaved: (saved: HeartbeatView) => void }) {
  const { now } = props;
  const [address, setAddress] = useState('');
  const [every, setEvery] = useState(String(now.everyMinutes));
  const [allowPrivateAddress, setAllow] = useState(false);
  const [problem, setProblem] = useState<string | undefined>();
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  const save = async (chosen: string): Promise<void> => {
    const everyMinutes = typedNumber(every);
    if (!everyMinutes) {
      setProblem(`Every how many minutes? Type a number above zero, such as 5; got “${every}”.`);
      return;
    }
    setProblem(undefined);
    setBusy(true);
    const answer = await setHeartbeat({ address: chosen, everyMinutes, allowPrivateAddress });
    setBusy(false);
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) {
      setAddress('');
      props.onSaved(answer.value);
    }
  };
  const nowMs = serverNowMs.value;
  return (
    <>
      <p role="status">
        {now.isSet ? (
          <>
            Set: <strong>{now.shownAddress}</strong>, every {now.everyMinutes} min.{' '}
            {now.lastAnsweredAtMs === null
              ? 'It has not answered yet.'
              : `It last answered ${timeWords(now.lastAnsweredAtMs, nowMs)}.`}
          </>
        ) : (
          'None is set: nobody outside would notice.'
        )}
      </p>
      {now.lastFailure !== null && <p class="caution">Last failure: {now.lastFailure}</p>}
      <form
        noValidate
        aria-label="Heartbeat outward"
        onSubmit={(event) => {
          event.preventDefault();
          if (address.trim() === '') setProblem('Type the address.');
          else void save(address.trim());
        }}
      >
        <AddressField words="Heartbeat address" typed={address} onTyped={setAddress} />
        <label>
          Every <span class="unit">minutes</span>
          <input
            type="text"
            inputMode="decimal"
            autocomplete="off"
            maxLength={6}
            value={every}
            onInput={(event) => setEvery(event.currentTarget.value)}
          />
        </label>
        <PrivateAddressTick isAllowed={allowPrivateAddress} onChange={setAllow} />
        <p role="alert" class="field-problem">
          {problem}
        </p>
        <div class="row">
          <button type="submit" class="plain" disabled={isBusy}>
            Save
          </button>
          {now.isSet && (
            <AskedTwice
              words="Remove"
              label="Remove the heartbeat"
              question="Remove the heartbeat? Then nobody outside notices when this dashboard is dead."
              yes="Remove the heartbeat"
              isBusy={isBusy}
              act={() => void save('')}
            />
          )}
        </div>
      </form>
      <RefusalWords refusal={refusal} />
    </>
  );
}
