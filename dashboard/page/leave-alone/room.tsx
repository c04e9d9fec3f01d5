/*
 * The leave-alone check: what should stand before a run is left alone, what is missing first and why it matters, and a test call to a phone
 * that lies locked in its night mode. Reached from the bath page. It advises; it blocks nothing.
 */
import { useState } from 'preact/hooks';
import type { ControllerView, LeaveAloneItem } from '@bathkeeper/shared-core/messages';
import { deviceName } from '../calls/push-here.js';
import { TestCall } from '../calls/test-call.js';
import { RefusalWords } from '../screens/refusal.js';
import { askContacts, askLeaveAlone } from '../state/api.js';
import { useAsked } from '../state/asked.js';
import { bathAddress } from '../state/route.js';
import { serverNowMs } from '../state/state.js';
import { told } from '../state/units.js';
import { leaveAloneState, leaveAloneTitle, leaveAloneVerdict, missingFirst } from '../words/leave-alone-words.js';
import { aboutTime, timeWords } from '../words/times.js';

export function LeaveAloneScreen(props: { controllerId: string; controller: ControllerView | null }) {
  const { controllerId, controller } = props;
  const {
    value: check,
    refusal,
    again,
  } = useAsked(async () => askLeaveAlone(controllerId, await deviceName()), [controllerId]);
  const nowMs = serverNowMs.value;
  const sorted = check === null ? null : missingFirst(check);
  return (
    <main class="leaf leave-alone">
      <h1>Before it is left alone</h1>
      <p class="bath-name">
        {controller?.bathName ?? ''} <span class="controller-name">{controllerId}</span>
      </p>
      <p>
        What wakes you tonight, and what may keep it from doing so. It is advice: it blocks nothing, and it does not
        replace what hangs at the bath.
      </p>
      {check === null ? (
        refusal === null && <p class="hint">Looking…</p>
      ) : (
        <>
          <p class="verdict" role="status" data-missing={sorted?.missing.length === 0 ? undefined : ''}>
            {leaveAloneVerdict(check)}
          </p>
          <p class="hint">
            {check.plannedFinishAtMs === null
              ? 'When it will be done, nobody can tell now.'
              : `It will be done ${aboutTime(check.plannedFinishAtMs, nowMs)}.`}{' '}
            Checked {timeWords(check.checkedAtMs, nowMs)}.
          </p>
          {sorted !== null && sorted.missing.length > 0 && <Items title="Missing" items={sorted.missing} />}
        </>
      )}
      <RefusalWords refusal={refusal} />
      <button type="button" class="quiet" onClick={again}>
        Check again
      </button>
      <WakeMe onConfirmed={again} />
      {sorted !== null && sorted.good.length > 0 && <Items title="Good" items={sorted.good} />}
      <p>
        <a class="target" href={bathAddress(controllerId)}>
          Back to the bath
        </a>
      </p>
    </main>
  );
}

function Items(props: { title: string; items: readonly LeaveAloneItem[] }) {
  const id = `check-${props.title.toLowerCase()}`;
  return (
    <section aria-labelledby={id}>
      <h2 id={id}>{props.title}</h2>
      <ul class="check-items">
        {props.items.map((item) => (
          <li key={item.name} data-state={item.state}>
            <h3>
              {leaveAloneTitle[item.name] ?? item.name}
              <span class="unseen">: {leaveAloneState[item.state]}</span>
              {item.state === 'unknown' && (
                <span class="unit" aria-hidden="true">
                  {' '}
                  not known
                </span>
              )}
            </h3>
            <p>{told(item.words)}</p>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** The test that counts: the phone as it will lie tonight. */
function WakeMe(props: { onConfirmed: () => void }) {
  const { value: contacts, refusal } = useAsked(askContacts, []);
  const [chosen, setChosen] = useState<number | null>(null);
  const able = (contacts ?? []).filter((contact) => contact.channels.length > 0);
  const contact = able.find((one) => one.contactId === chosen) ?? able[0];
  return (
    <section class="wake-me" aria-labelledby="wake-title">
      <h2 id="wake-title">Will it wake you?</h2>
      <p>
        Put the phone where it will lie tonight: locked, in its night mode. Then start the test call, and confirm it
        there. It repeats each minute until somebody did.
      </p>
      {contacts !== null && contact === undefined && (
        <p class="caution">
          Nobody can be called yet. Add somebody under <a href="#calls">Who is called</a>.
        </p>
      )}
      {able.length > 1 && (
        <label>
          Whose phone
          <select
            value={String(contact?.contactId ?? '')}
            onChange={(event) => setChosen(Number(event.currentTarget.value))}
          >
            {able.map((one) => (
              <option key={one.contactId} value={String(one.contactId)}>
                {one.name}
              </option>
            ))}
          </select>
        </label>
      )}
      {contact !== undefined && (
        <TestCall
          key={contact.contactId}
          contactId={contact.contactId}
          name={contact.name}
          repeats
          onConfirmed={props.onConfirmed}
        />
      )}
      <RefusalWords refusal={refusal} />
    </section>
  );
}
