/*
 * Settings: bring-up, pairing a controller, the heartbeat outward, HTTPS, signing out. Who is called has a screen of its own.
 * Secrets are never shown: a controller's secret is typed in and does not come back.
 */
import { useState } from 'preact/hooks';
import { type PairResult, readPairingText, type Refusal, type Snapshot } from '@bathkeeper/shared-core/messages';
import { leave, pairController } from '../state/api.js';
import { refreshDoor } from '../state/state.js';
import { BringUpLinks } from './bring-up-links.js';
import { Heartbeat } from './heartbeat.js';
import { HttpsWords } from './https-words.js';
import { RefusalWords } from './refusal.js';

export function SettingsScreen(props: { known: Snapshot }) {
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const signOut = async (): Promise<void> => {
    const answer = await leave();
    if (answer.ok) {
      location.hash = '';
      await refreshDoor();
    } else setRefusal(answer.refusal);
  };
  return (
    <main class="leaf settings">
      <h1>Settings</h1>
      <section aria-labelledby="calls-link-title">
        <h2 id="calls-link-title">Who is called</h2>
        <p>
          <a class="target" href="#calls">
            People, hours, Web Push, e‑mail, webhook, test calls
          </a>
        </p>
      </section>
      <section aria-labelledby="keeping-link-title">
        <h2 id="keeping-link-title">What is kept</h2>
        <p>
          <a class="target" href="#keeping">
            Room on the disk, backups, is the store sound
          </a>
        </p>
      </section>
      <BringUpLinks known={props.known} />
      <Pairing known={props.known} />
      <Heartbeat />
      <HttpsWords />
      <section aria-labelledby="signed-in-title">
        <h2 id="signed-in-title">Signed in on this device</h2>
        <button type="button" class="quiet" onClick={() => void signOut()}>
          Sign out
        </button>
        <RefusalWords refusal={refusal} />
      </section>
    </main>
  );
}

function Pairing(props: { known: Snapshot }) {
  const [controllerId, setControllerId] = useState('');
  const [bathName, setBathName] = useState('');
  const [secretText, setSecretText] = useState('');
  const [paired, setPaired] = useState<PairResult | null>(null);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  const real = props.known.controllers.filter((one) => !one.isSimulated);
  const again = real.filter((one) => one.mustBePairedAgain);
  const isKnown = real.some((one) => one.controllerId === controllerId.trim());
  const isSecretRight = readPairingText(secretText).secret !== undefined;
  const pair = async (event: Event): Promise<void> => {
    event.preventDefault();
    setBusy(true);
    const name = bathName.trim();
    const answer = await pairController({
      controllerId: controllerId.trim(),
      ...(name === '' ? {} : { bathName: name }),
      secretText,
    });
    setBusy(false);
    setRefusal(answer.ok ? null : answer.refusal);
    setPaired(answer.ok ? answer.value : null);
    if (answer.ok) setSecretText('');
  };
  return (
    <section aria-labelledby="pair-title">
      <h2 id="pair-title">Pair a controller</h2>
      <p>
        In bring-up the controller draws a secret and shows it once on its console. Type it here: it proves every
        command to the controller, and lets it in here.
        {real.length < props.known.controllers.length &&
          ' The virtual bath ends when a real controller is paired, and does not come back by itself.'}
      </p>
      {again.map((one) => (
        <p class="caution" key={one.controllerId}>
          {one.bathName} ({one.controllerId}) must be paired again: this dashboard does not hold its secret. It is
          watched, but takes no command from here.
        </p>
      ))}
      <form onSubmit={(event) => void pair(event)}>
        <label>
          Controller's name <span class="unit">small letters, digits, hyphens</span>
          <input
            type="text"
            autocomplete="off"
            autocapitalize="none"
            spellcheck={false}
            required
            pattern="[a-z0-9][a-z0-9\-]{0,30}"
            maxLength={31}
            placeholder="north-bench"
            value={controllerId}
            onInput={(event) => setControllerId(event.currentTarget.value)}
          />
        </label>
        <label>
          Bath's name {isKnown && <span class="unit">leave it empty to keep the present one</span>}
          <input
            type="text"
            autocomplete="off"
            required={!isKnown}
            maxLength={60}
            placeholder="Copper 60 L"
            value={bathName}
            onInput={(event) => setBathName(event.currentTarget.value)}
          />
        </label>
        <label>
          Secret from its console <span class="unit">eight groups of eight characters</span>
          <textarea
            rows={3}
            autocomplete="off"
            autocapitalize="characters"
            spellcheck={false}
            required
            maxLength={400}
            value={secretText}
            onInput={(event) => setSecretText(event.currentTarget.value)}
          />
        </label>
        <p role="status" class="said">
          {isSecretRight ? 'Every group of the secret fits its check character.' : ''}
        </p>
        <button type="submit" class="plain" disabled={isBusy}>
          {isKnown ? 'Pair again' : 'Pair'}
        </button>
      </form>
      <RefusalWords refusal={refusal} />
      {paired && (
        <div class="paired" role="status">
          <h3>{paired.controllerId} is paired. Tell it over USB where this dashboard is:</h3>
          <dl class="lines">
            <div>
              <dt>Address</dt>
              <dd>
                <code>{paired.address}</code>
              </dd>
            </div>
            <div>
              <dt>Port</dt>
              <dd>
                <code>{paired.port}</code>
              </dd>
            </div>
            <div>
              <dt>Port of the sign of life (UDP)</dt>
              <dd>
                <code>{paired.signOfLifePort}</code>
              </dd>
            </div>
          </dl>
          <p>When a controller of this name was paired before, its old secret no longer lets anybody in.</p>
        </div>
      )}
    </section>
  );
}
