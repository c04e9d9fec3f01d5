/*
 * Asks why an alarm shall be silent, and until when: for a time (shelved), or until somebody puts it back (out of service).
 * It spares the phone and hides nothing; what may be silent is judged by the dashboard, whose refusal is shown here.
 */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { AlarmName, Refusal } from '@bathkeeper/shared-core/messages';
import { WhoField } from '../forms/who-field.js';
import { RefusalWords } from '../screens/refusal.js';
import { shelveAlarm, takeOutOfService } from '../state/api.js';
import { serverNowMs } from '../state/state.js';
import { signedName } from '../state/who.js';
import { alarmTitle } from '../words/alarm-titles.js';
import { shelfMinutes } from '../words/silences.js';
import { spanWords, timeWords } from '../words/times.js';
import { unkeptWords } from './kept-as.js';
import { silencesChanged } from './silences.js';

/** Without a name it asks which alarm: one may be silenced before it is raised. */
export function SilenceDialog(props: { controllerId: string; name?: AlarmName; title?: string; onClose: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  const [name, setName] = useState<AlarmName | ''>(props.name ?? '');
  const [reason, setReason] = useState('');
  const [isForATime, setForATime] = useState(true);
  const [minutes, setMinutes] = useState(60);
  const [problem, setProblem] = useState<string | undefined>();
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  const nowMs = serverNowMs.value;
  const silence = async (event: Event): Promise<void> => {
    event.preventDefault();
    const why = reason.trim();
    if (name === '') setProblem('Choose the alarm.');
    else if (why === '') setProblem('Say in a few words why it may be silent: whoever is on watch will read it.');
    else {
      setProblem(undefined);
      setBusy(true);
      const by = signedName.value;
      const request = { reason: why, ...(by === undefined ? {} : { by }) };
      const answer = isForATime
        ? await shelveAlarm(props.controllerId, name, { ...request, minutes })
        : await takeOutOfService(props.controllerId, name, request);
      setBusy(false);
      setRefusal(answer.ok ? null : answer.refusal);
      if (answer.ok) {
        silencesChanged();
        props.onClose();
      }
    }
  };
  return (
    <dialog ref={dialog} class="silence-dialog" aria-labelledby="silence-title" onClose={props.onClose}>
      <form noValidate onSubmit={(event) => void silence(event)}>
        <h2 id="silence-title">{props.title === undefined ? 'Silence an alarm' : `Silence: ${props.title}`}</h2>
        <p>It calls nobody meanwhile. It is still watched, still stands here, and what it trips it still trips.</p>
        {props.name === undefined && (
          <label>
            Alarm
            <select value={name} onChange={(event) => setName(event.currentTarget.value as AlarmName | '')}>
              <option value="">choose…</option>
              {(Object.entries(alarmTitle) as [AlarmName, string][]).map(([value, title]) => (
                <option key={value} value={value}>
                  {title}
                </option>
              ))}
            </select>
          </label>
        )}
        <label>
          Reason
          <input
            type="text"
            autocomplete="off"
            maxLength={200}
            value={reason}
            aria-invalid={problem !== undefined}
            aria-describedby="silence-problem"
            onInput={(event) => {
              setReason(event.currentTarget.value);
              setProblem(undefined);
            }}
          />
          <span id="silence-problem" role="alert" class="field-problem">
            {problem}
          </span>
        </label>
        <fieldset>
          <legend>Until when</legend>
          <label class="choice">
            <input type="radio" name="until" checked={isForATime} onChange={() => setForATime(true)} />
            For a time, then it calls again by itself
          </label>
          <label class="choice">
            <input type="radio" name="until" checked={!isForATime} onChange={() => setForATime(false)} />
            Out of service, until somebody puts it back
          </label>
        </fieldset>
        {isForATime && (
          <label>
            For how long
            <select
              value={String(minutes)}
              onChange={(event) => {
                setMinutes(Number(event.currentTarget.value));
              }}
            >
              {shelfMinutes.map((choice) => (
                <option key={choice} value={String(choice)}>
                  {spanWords(choice * 60)}, until {timeWords(nowMs + choice * 60_000, nowMs)}
                </option>
              ))}
            </select>
          </label>
        )}
        <WhoField isAsked={false} remark={unkeptWords()} />
        <p class="hint">Your name stands beside the silence. Left empty, it is kept as done on the page.</p>
        <div class="two-buttons">
          <button type="submit" class="plain" disabled={isBusy}>
            {isForATime ? 'Shelve' : 'Take out of service'}
          </button>
          <button type="button" class="quiet" onClick={() => dialog.current?.close()}>
            Leave it
          </button>
        </div>
        <RefusalWords refusal={refusal} />
      </form>
    </dialog>
  );
}
