/*
 * The story of the alarm that the page's address names: where a notification and the journal lead. Shown over its bath; closing it leads to the
 * bath. One that is too old for the snapshot is asked for, and one that nobody knows is said to be unknown.
 */
import { useEffect, useRef } from 'preact/hooks';
import type { AlarmView, Refusal, Snapshot } from '@bathkeeper/shared-core/messages';
import { RefusalWords } from '../screens/refusal.js';
import { askAlarm } from '../state/api.js';
import { useAsked } from '../state/asked.js';
import { bathAddress } from '../state/route.js';
import { StoryDialog } from './story.js';

export function AlarmOfAddress(props: { alarmId: number; known: Snapshot }) {
  const alarm = props.known.alarms.find((one) => one.alarmId === props.alarmId);
  const leave = (left: AlarmView | null): void => {
    const isOfABath = props.known.controllers.some((one) => one.controllerId === left?.controllerId);
    location.hash = left !== null && isOfABath ? bathAddress(left.controllerId) : '';
  };
  if (alarm === undefined) return <OldAlarm alarmId={props.alarmId} onClose={leave} />;
  return <StoryDialog alarms={[alarm]} onClose={() => leave(alarm)} />;
}

function OldAlarm(props: { alarmId: number; onClose: (alarm: AlarmView | null) => void }) {
  const { value, refusal } = useAsked(() => askAlarm(props.alarmId), [props.alarmId]);
  if (value !== null) return <StoryDialog alarms={[value]} onClose={() => props.onClose(value)} />;
  return refusal === null ? null : <NoStory refusal={refusal} onClose={() => props.onClose(null)} />;
}

function NoStory(props: { refusal: Refusal; onClose: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  return (
    <dialog ref={dialog} class="story" aria-labelledby="no-story-title" onClose={props.onClose}>
      <h2 id="no-story-title">The story of this alarm cannot be told</h2>
      <RefusalWords refusal={props.refusal} />
      <p>
        <a class="target" href="#journal">
          Look in the journal
        </a>
      </p>
      <button type="button" class="quiet" onClick={() => dialog.current?.close()}>
        Close
      </button>
    </dialog>
  );
}
