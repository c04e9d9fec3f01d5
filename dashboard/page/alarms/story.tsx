/*
 * The story of one alarm, or of a few that lie under the same mark of the night band, in a dialog: what to do first, then what it is, the button
 * that acknowledges (a notification leads here), and every change of it from the journal. Until the journal has answered, and when it does not,
 * the story is told from the alarm itself; an alarm of which only the mark is known is asked for.
 */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { AlarmView, Refusal } from '@bathkeeper/shared-core/messages';
import { firstStep } from '@bathkeeper/shared-core/watch';
import { RefusalWords } from '../screens/refusal.js';
import { askAlarm, askJournal } from '../state/api.js';
import { useAsked } from '../state/asked.js';
import { serverNowMs, snapshot } from '../state/state.js';
import { told } from '../state/units.js';
import { alarmStory, notificationWords, stateWords, wantsAcknowledging } from '../words/alarm-story.js';
import { raised, withPoint } from '../words/sentence.js';
import { silenceWords } from '../words/silences.js';
import { Acknowledge } from './acknowledge.js';
import { KeptAs } from './kept-as.js';

/** `isFromMarkAlone`: only its name and its times are known; what else stands in it is a stopgap, and is not shown. */
export type ToldAlarm = AlarmView & { readonly isFromMarkAlone?: true };

/** `children`: what else lies under the same mark, told after the alarms; `title`: then what all of it is. */
export function StoryDialog(props: {
  alarms: readonly ToldAlarm[];
  title?: string;
  children?: ComponentChildren;
  onClose: () => void;
}) {
  const isOne = props.title === undefined && props.alarms.length === 1;
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  return (
    <dialog ref={dialog} class="story" aria-labelledby="story-title" onClose={props.onClose}>
      <h2 id="story-title" class={isOne ? 'unseen' : undefined}>
        {isOne
          ? `Story of the alarm: ${told(props.alarms[0]!.title)}`
          : (props.title ?? `${props.alarms.length} alarms`)}
      </h2>
      {props.alarms.map((alarm) =>
        alarm.isFromMarkAlone ? (
          <StoryOfMark key={alarm.alarmId} alarm={alarm} />
        ) : (
          <Story key={alarm.alarmId} alarm={alarm} />
        ),
      )}
      {props.children}
      <button type="button" class="quiet" onClick={() => dialog.current?.close()}>
        Close
      </button>
    </dialog>
  );
}

/** Too old for the snapshot: the store may still have it. Until it answers, and when it does not, only what the mark knows is told. */
function StoryOfMark(props: { alarm: ToldAlarm }) {
  const { value } = useAsked(() => askAlarm(props.alarm.alarmId), [props.alarm.alarmId]);
  return <Story alarm={value ?? props.alarm} />;
}

/** The alarm that explains this one, by the name that it has where it is no longer known. */
function causeWords(causedByAlarmId: number): string {
  const cause = snapshot.value?.alarms.find((one) => one.alarmId === causedByAlarmId);
  return cause === undefined ? 'An alarm before it explains it.' : `“${told(cause.title)}” came first and explains it.`;
}

const STORY_ENTRIES_MAX = 200;

function Story(props: { alarm: ToldAlarm }) {
  const { alarm } = props;
  const step = firstStep(told(alarm.checkFirst));
  const nowMs = serverNowMs.value;
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const { value: entries } = useAsked(
    () => askJournal({ alarm: String(alarm.alarmId), count: STORY_ENTRIES_MAX }),
    [alarm.alarmId, alarm.state, alarm.acknowledgedAtMs, alarm.returnedAtMs],
  );
  return (
    <article>
      <h3>{step.first === '' ? told(alarm.title) : step.first}</h3>
      {step.rest !== '' && <p class="check-first">{step.rest}</p>}
      <p class="alarm-what">
        {step.first !== '' && <strong>{told(alarm.title)}.</strong>}{' '}
        {alarm.detail === '' ? '' : told(withPoint(raised(alarm.detail)))}
      </p>
      {!alarm.isFromMarkAlone && (
        <p class="alarm-when">
          {alarm.priority} · {stateWords(alarm)}
        </p>
      )}
      <Acknowledge alarm={alarm} refused={setRefusal} />
      {wantsAcknowledging(alarm) && <KeptAs what="Acknowledging" />}
      <RefusalWords refusal={refusal} />
      <ol class="story-lines">
        {alarmStory(alarm, nowMs, entries ?? []).map((line) => (
          <li key={line.at + line.what}>
            <time>{line.at}</time> {line.what}
          </li>
        ))}
      </ol>
      {(alarm.silences ?? []).map((silence) => (
        <p class="silence" key={silence.kind}>
          {silenceWords(silence, nowMs)}
        </p>
      ))}
      <p class="alarm-detail">
        {alarm.notification !== 'delivered' &&
          !alarm.isFromMarkAlone &&
          alarm.isImported !== true &&
          notificationWords(alarm)}
        {alarm.causedByAlarmId !== undefined && ` ${causeWords(alarm.causedByAlarmId)}`}
      </p>
    </article>
  );
}
