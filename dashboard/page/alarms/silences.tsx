/*
 * Which alarms of a bath are silent now, raised or not: why, by whom, until when, and the button that ends it. Shown on the bath page,
 * so that a silence is never forgotten. It decides nothing: the dashboard keeps the silences and ends shelves by its clock.
 */
import { signal } from '@preact/signals';
import { useState } from 'preact/hooks';
import type { AlarmSilence, AlarmStandingView, ControllerView, Refusal } from '@bathkeeper/shared-core/messages';
import { RefusalWords } from '../screens/refusal.js';
import { askSilences, putBackInService, unshelveAlarm } from '../state/api.js';
import { useAsked } from '../state/asked.js';
import { serverNowMs, snapshot } from '../state/state.js';
import { signedName } from '../state/who.js';
import { silenceWords } from '../words/silences.js';
import { KeptAs } from './kept-as.js';
import { SilenceDialog } from './silence-dialog.js';

const changes = signal(0);

/** Called by whoever changed a silence: the list asks anew. */
export function silencesChanged(): void {
  changes.value += 1;
}

export function Silences(props: { controller: ControllerView }) {
  const { controllerId } = props.controller;
  const [isAsking, setAsking] = useState(false);
  // What another page silenced shows in the snapshot's alarms.
  const seen = JSON.stringify(
    (snapshot.value?.alarms ?? []).map((alarm) => (alarm.silences ?? []).map((silence) => silence.kind)),
  );
  const { value } = useAsked(() => askSilences(controllerId), [controllerId, changes.value, seen]);
  const { value: ofTheHouse } = useAsked(() => askSilences(''), [changes.value, seen]);
  const nowMs = serverNowMs.value;
  const standing = [...(value ?? []), ...(ofTheHouse ?? [])].flatMap((one) => {
    const silences = one.silences.filter((silence) => silence.kind !== 'shelved' || silence.untilMs > nowMs);
    return silences.length === 0 ? [] : [{ ...one, silences }];
  });
  return (
    <section class="silences" aria-labelledby="silences-title">
      <h2 id="silences-title">Silent alarms</h2>
      {standing.length === 0 ? (
        <p class="hint">None: every alarm calls.</p>
      ) : (
        <ul>
          {standing.map((one) => (
            <Silent key={`${one.controllerId} ${one.name}`} one={one} nowMs={nowMs} />
          ))}
        </ul>
      )}
      {standing.some(({ silences }) => silences.some(({ kind }) => kind !== 'suppressed-by-design')) && (
        <KeptAs what="Ending a silence" />
      )}
      <button type="button" class="quiet" onClick={() => setAsking(true)}>
        Silence an alarm…
      </button>
      {isAsking && <SilenceDialog controllerId={controllerId} onClose={() => setAsking(false)} />}
    </section>
  );
}

function Silent(props: { one: AlarmStandingView; nowMs: number }) {
  const { one, nowMs } = props;
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  const end = async (kind: AlarmSilence['kind']): Promise<void> => {
    setBusy(true);
    const answer = await (kind === 'shelved' ? unshelveAlarm : putBackInService)(
      one.controllerId,
      one.name,
      signedName.value,
    );
    setBusy(false);
    setRefusal(answer.ok ? null : answer.refusal);
    if (answer.ok) silencesChanged();
  };
  return (
    <li>
      <h3>{one.title}</h3>
      {one.silences.map((silence) => (
        <div class="silent-line" key={silence.kind}>
          <p>{silenceWords(silence, nowMs)}</p>
          {silence.kind !== 'suppressed-by-design' && (
            <button
              type="button"
              class="quiet"
              disabled={isBusy}
              aria-label={`${silence.kind === 'shelved' ? 'End the shelf' : 'Put back in service'}: ${one.title}`}
              onClick={() => void end(silence.kind)}
            >
              {silence.kind === 'shelved' ? 'End the shelf' : 'Put back in service'}
            </button>
          )}
        </div>
      ))}
      <RefusalWords refusal={refusal} />
    </li>
  );
}
