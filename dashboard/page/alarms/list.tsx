/*
 * The alarms of a bath: what wants a person first, what to do in front, the numbers behind; and the earlier ones, folded.
 * Shown on the bath page. Acknowledging says "seen"; it resets nothing at the bath.
 */
import { useState } from 'preact/hooks';
import type { AlarmView, Refusal } from '@bathkeeper/shared-core/messages';
import { RefusalWords } from '../screens/refusal.js';
import { acknowledgeAlarm } from '../state/api.js';
import { serverNowMs } from '../state/state.js';
import {
  alarmStateWords,
  inOrderOfCare,
  isActive,
  notificationWords,
  wantsAcknowledging,
} from '../words/alarm-story.js';
import { timeWords } from '../words/times.js';
import { StoryDialog } from './story.js';

/** Everything that is active or not yet acknowledged. */
export function AlarmList(props: { alarms: readonly AlarmView[] }) {
  const standing = inOrderOfCare(props.alarms.filter((alarm) => isActive(alarm) || wantsAcknowledging(alarm)));
  return (
    <section class="alarms" aria-labelledby="alarms-title">
      <h2 id="alarms-title" class={standing.length === 0 ? 'unseen' : undefined}>
        Alarms
      </h2>
      <div aria-live="assertive">
        {standing.length === 0 ? (
          <p class="no-alarms">No alarms.</p>
        ) : (
          <ul>
            {standing.map((alarm) => (
              <AlarmItem key={alarm.alarmId} alarm={alarm} />
            ))}
          </ul>
        )}
      </div>
    </section>
  );
}

function AlarmItem(props: { alarm: AlarmView }) {
  const { alarm } = props;
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [isBusy, setBusy] = useState(false);
  const [isStoryOpen, setStoryOpen] = useState(false);
  const acknowledge = async (): Promise<void> => {
    setBusy(true);
    const answer = await acknowledgeAlarm(alarm.alarmId);
    setBusy(false);
    setRefusal(answer.ok ? null : answer.refusal);
  };
  const isUnseen = wantsAcknowledging(alarm);
  return (
    <li class="alarm" data-priority={alarm.priority} data-state={alarm.state}>
      <h3>{alarm.title}</h3>
      <p class="alarm-when">
        {timeWords(alarm.raisedAtMs, serverNowMs.value)} · {alarm.priority} · {alarmStateWords[alarm.state]}
      </p>
      <p class="check-first">{alarm.checkFirst}</p>
      <p class="alarm-detail">
        {alarm.detail.replace(/[^.]$/, '$&.')} {isUnseen && <span>{notificationWords(alarm)}</span>}
      </p>
      <div class="alarm-buttons">
        {isUnseen && (
          <button
            type="button"
            class="plain"
            disabled={isBusy}
            aria-label={`Acknowledge: ${alarm.title}`}
            onClick={() => void acknowledge()}
          >
            Acknowledge
          </button>
        )}
        <button
          type="button"
          class="quiet"
          aria-label={`Story of the alarm: ${alarm.title}`}
          onClick={() => setStoryOpen(true)}
        >
          Its story
        </button>
      </div>
      <RefusalWords refusal={refusal} />
      {isStoryOpen && <StoryDialog alarms={[alarm]} onClose={() => setStoryOpen(false)} />}
    </li>
  );
}

/** Those that are over: returned to normal and acknowledged. */
export function EarlierAlarms(props: { alarms: readonly AlarmView[] }) {
  const earlier = inOrderOfCare(props.alarms.filter((alarm) => alarm.state === 'normal'));
  const [shown, setShown] = useState<AlarmView | null>(null);
  if (earlier.length === 0) return null;
  return (
    <details class="earlier fold">
      <summary>Earlier alarms ({earlier.length})</summary>
      <ul>
        {earlier.map((alarm) => (
          <li key={alarm.alarmId}>
            <button type="button" class="row-button" onClick={() => setShown(alarm)}>
              <span class="row-time">{timeWords(alarm.raisedAtMs, serverNowMs.value)}</span> {alarm.title}
            </button>
          </li>
        ))}
      </ul>
      {shown && <StoryDialog alarms={[shown]} onClose={() => setShown(null)} />}
    </details>
  );
}
