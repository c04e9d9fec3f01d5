/* The story of one alarm, or of a few that lie under the same mark of the night band, in a dialog. */
import { useEffect, useRef } from 'preact/hooks';
import type { AlarmView } from '@bathkeeper/shared-core/messages';
import { serverNowMs } from '../state/state.js';
import { alarmStateWords, alarmStory, notificationWords } from '../words/alarm-story.js';

export function StoryDialog(props: { alarms: readonly AlarmView[]; onClose: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  return (
    <dialog ref={dialog} class="story" aria-labelledby="story-title" onClose={props.onClose}>
      <h2 id="story-title" class={props.alarms.length === 1 ? 'unseen' : undefined}>
        {props.alarms.length === 1 ? `Story of the alarm: ${props.alarms[0]!.title}` : `${props.alarms.length} alarms`}
      </h2>
      {props.alarms.map((alarm) => (
        <article key={alarm.alarmId}>
          <h3>{alarm.title}</h3>
          <p class="alarm-when">
            {alarm.priority} · {alarmStateWords[alarm.state]}
          </p>
          <p class="alarm-detail">{alarm.detail}</p>
          <ol class="story-lines">
            {alarmStory(alarm, serverNowMs.value).map((line) => (
              <li key={line.at + line.what}>
                <time>{line.at}</time> {line.what}
              </li>
            ))}
          </ol>
          <p class="alarm-detail">{notificationWords(alarm)}</p>
          <p class="check-first">{alarm.checkFirst}</p>
        </article>
      ))}
      <button type="button" class="quiet" onClick={() => dialog.current?.close()}>
        Close
      </button>
    </dialog>
  );
}
