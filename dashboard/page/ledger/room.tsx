/* The ledgers of baths: which there are, and a new one begun. One of them is bath-screen.tsx. Reached from the heading. */
import { useState } from 'preact/hooks';
import { bathProfile, type LedgerBath, ledgerProfiles } from '@bathkeeper/shared-core/trade';
import { RefusalWords } from '../screens/refusal.js';
import { useAsked } from '../state/asked.js';
import { askBaths, beginLedger } from '../state/ledger-api.js';
import { ledgerAddress, route, STOCK_ADDRESS } from '../state/route.js';
import { serverNowMs } from '../state/state.js';
import { datedDay } from '../words/times.js';
import { BathLedgerScreen } from './bath-screen.js';
import { useSending } from '../forms/sending.js';
import { WhoField } from '../forms/who-field.js';

export function LedgerRoom() {
  const here = route.value;
  const bathId = here.screen === 'ledger' ? here.bathId : null;
  return bathId === null ? <Baths /> : <BathLedgerScreen key={bathId} bathId={bathId} />;
}

function Baths() {
  const { value: baths, refusal } = useAsked(askBaths, []);
  return (
    <main class="leaf ledger">
      <h1>Ledgers of baths</h1>
      <p>
        A bath has a life of its own: made up, dosed, analysed, corrected. Here stands what was done to it, when and by
        whom. Nothing is edited away: what was wrong is undone, with a reason.
      </p>
      {baths === null && refusal === null && <p class="hint">Looking…</p>}
      <RefusalWords refusal={refusal} />
      <ul class="plans">
        {baths?.map((bath) => (
          <BathRow key={bath.bathId} bath={bath} />
        ))}
      </ul>
      <p>
        <a class="target" href={STOCK_ADDRESS}>
          Stock of chemicals, and what a bath has cost
        </a>
      </p>
      {baths !== null && <BeginLedger isFirst={baths.length === 0} />}
    </main>
  );
}

function BathRow({ bath }: { bath: LedgerBath }) {
  return (
    <li>
      <h2>
        <a class="target" href={ledgerAddress(bath.bathId)}>
          {bath.name}
        </a>
      </h2>
      <p class="hint">
        {bathProfile(bath.profile)?.name ?? bath.profile}
        {bath.isSimulated
          ? ', simulated: nobody ever dosed it'
          : `, begun ${datedDay(bath.writtenAtMs, serverNowMs.peek())} by ${bath.who}`}
      </p>
    </li>
  );
}

function BeginLedger(props: { isFirst: boolean }) {
  const [name, setName] = useState('');
  const [profile, setProfile] = useState(ledgerProfiles[0]?.key ?? '');
  const sending = useSending();
  const isNameless = name.trim() === '';
  const isWrong = sending.isAsked && isNameless;
  const begin = async (event: Event): Promise<void> => {
    event.preventDefault();
    const answer = await sending.send(name.trim() || undefined, (named, by) =>
      beginLedger({ name: named, profile, who: by }),
    );
    if (answer?.ok === true) location.hash = ledgerAddress(answer.value.bathId);
  };
  return (
    <details class="fold" open={props.isFirst}>
      <summary>Begin a ledger</summary>
      <form class="ledger-form" noValidate onSubmit={(event) => void begin(event)} aria-label="Begin a ledger">
        <label class="field">
          <span>Name of the bath</span>
          <input
            type="text"
            autocomplete="off"
            maxLength={60}
            placeholder="such as Copper 60 L"
            value={name}
            aria-invalid={isWrong ? 'true' : undefined}
            onInput={(event) => setName(event.currentTarget.value)}
          />
          {isWrong && <span class="field-problem">Give the bath a name.</span>}
        </label>
        <label class="field">
          <span>What it is</span>
          <select value={profile} onChange={(event) => setProfile(event.currentTarget.value)}>
            {ledgerProfiles.map((one) => (
              <option key={one.key} value={one.key}>
                {one.name}
              </option>
            ))}
          </select>
        </label>
        <WhoField isAsked={sending.isAsked} />
        <button type="submit" class="plain" disabled={sending.isUnderWay}>
          Begin it
        </button>
        <RefusalWords refusal={sending.refusal} />
      </form>
    </details>
  );
}
