/*
 * The alarms of a bath that are standing: what to do in front, then what happened and since when; those with one cause under their first,
 * the silent ones apart. Shown on the bath page. Acknowledging says "seen"; it resets nothing at the bath.
 */
import { useState } from 'preact/hooks';
import type { AlarmView, Refusal } from '@bathkeeper/shared-core/messages';
import { firstStep } from '@bathkeeper/shared-core/watch';
import { RefusalWords } from '../screens/refusal.js';
import { serverNowMs } from '../state/state.js';
import { told } from '../state/units.js';
import {
  groupedByCause,
  inOrderOfCare,
  isSilent,
  isStanding,
  notificationWords,
  stateWords,
  wantsAcknowledging,
} from '../words/alarm-story.js';
import { raised, withPoint } from '../words/sentence.js';
import { silenceWords } from '../words/silences.js';
import { timeWords } from '../words/times.js';
import { Acknowledge } from './acknowledge.js';
import { KeptAs } from './kept-as.js';
import { SilenceDialog } from './silence-dialog.js';
import { StoryDialog } from './story.js';

/** `alarms`: of this bath, and of the house itself. */
export function AlarmList(props: { alarms: readonly AlarmView[] }) {
  const standing = props.alarms.filter(isStanding);
  const calling = groupedByCause(standing.filter((alarm) => !isSilent(alarm)));
  const silent = inOrderOfCare(standing.filter(isSilent));
  // Once for all of them, at the first button that it is about.
  const first = [...calling.flatMap(({ alarm, cameWithIt }) => [alarm, ...cameWithIt]), ...silent].find(
    wantsAcknowledging,
  );
  return (
    <section class="alarms" aria-labelledby="alarms-title">
      <h2 id="alarms-title" class={standing.length === 0 ? 'unseen' : undefined}>
        Alarms
      </h2>
      <div aria-live="assertive">
        {calling.length === 0 ? (
          <p class="no-alarms">{silent.length === 0 ? 'No alarms.' : 'No alarms but the silent ones below.'}</p>
        ) : (
          <ul>
            {calling.map(({ alarm, cameWithIt }) => (
              <AlarmItem key={alarm.alarmId} alarm={alarm} cameWithIt={cameWithIt} first={first} />
            ))}
          </ul>
        )}
      </div>
      {silent.length > 0 && (
        <ul class="silent-alarms" aria-label="Silent alarms">
          {silent.map((alarm) => (
            <AlarmItem key={alarm.alarmId} alarm={alarm} cameWithIt={[]} first={first} />
          ))}
        </ul>
      )}
    </section>
  );
}

/** `first`: the alarm at whose buttons the name stands under which a press is kept. */
function AlarmItem(props: { alarm: AlarmView; cameWithIt: readonly AlarmView[]; first: AlarmView | undefined }) {
  const { alarm, cameWithIt, first } = props;
  const step = firstStep(told(alarm.checkFirst));
  const nowMs = serverNowMs.value;
  const titleId = `alarm-${String(alarm.alarmId)}`;
  return (
    <li
      class="alarm"
      data-priority={alarm.priority}
      data-state={alarm.state}
      data-silent={isSilent(alarm) ? '' : undefined}
      aria-labelledby={titleId}
    >
      <h3>{step.first === '' ? told(alarm.title) : step.first}</h3>
      {step.rest !== '' && <p class="check-first">{step.rest}</p>}
      <p class="alarm-what">
        <strong id={titleId}>{told(alarm.title)}</strong> since {timeWords(alarm.causeAtMs, nowMs)}.{' '}
        {told(withPoint(raised(alarm.detail)))}
      </p>
      <p class="alarm-when">
        {alarm.priority} · {stateWords(alarm)}
        {wantsAcknowledging(alarm) && !isSilent(alarm) && <span> · {notificationWords(alarm)}</span>}
      </p>
      {(alarm.silences ?? []).map((silence) => (
        <p class="silence" key={silence.kind}>
          {silenceWords(silence, nowMs)}
        </p>
      ))}
      <AlarmButtons alarm={alarm} />
      {alarm === first && <KeptAs what="Acknowledging" />}
      {cameWithIt.length > 0 && (
        <div class="came-with">
          <p>Came with it, likely from the same cause:</p>
          <ul>
            {cameWithIt.map((other) => (
              <li key={other.alarmId}>
                <p>
                  <strong>{told(other.title)}</strong> since {timeWords(other.causeAtMs, nowMs)} · {other.priority} ·{' '}
                  {stateWords(other)}
                </p>
                <AlarmButtons alarm={other} />
                {other === first && <KeptAs what="Acknowledging" />}
              </li>
            ))}
          </ul>
        </div>
      )}
    </li>
  );
}

function AlarmButtons(props: { alarm: AlarmView }) {
  const { alarm } = props;
  const title = told(alarm.title);
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [open, setOpen] = useState<'story' | 'silence' | null>(null);
  const close = (): void => setOpen(null);
  const mayBeSilent = alarm.mayBeShelved === true && !isSilent(alarm);
  return (
    <>
      <div class="alarm-buttons">
        <Acknowledge alarm={alarm} refused={setRefusal} />
        <button
          type="button"
          class="quiet"
          aria-label={`Story of the alarm: ${title}`}
          onClick={() => setOpen('story')}
        >
          Its story
        </button>
        {mayBeSilent && (
          <button type="button" class="quiet" aria-label={`Silence: ${title}`} onClick={() => setOpen('silence')}>
            Silence…
          </button>
        )}
      </div>
      <RefusalWords refusal={refusal} />
      {open === 'story' && <StoryDialog alarms={[alarm]} onClose={close} />}
      {open === 'silence' && (
        <SilenceDialog controllerId={alarm.controllerId} name={alarm.name} title={title} onClose={close} />
      )}
    </>
  );
}
