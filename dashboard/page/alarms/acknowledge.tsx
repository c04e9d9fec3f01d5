/*
 * The button that says "I have seen it" of one alarm, with the refusal where the dashboard gave one. In the list of alarms and in the story,
 * where a notification leads. It resets nothing at the bath, and is not there where nothing is left to acknowledge.
 */
import { useState } from 'preact/hooks';
import type { AlarmView, Refusal } from '@bathkeeper/shared-core/messages';
import { acknowledgeAlarm } from '../state/api.js';
import { told } from '../state/units.js';
import { signedName } from '../state/who.js';
import { wantsAcknowledging } from '../words/alarm-story.js';

/** `refused` is told what the dashboard answered; null: it took it. */
export function Acknowledge(props: { alarm: AlarmView; refused: (refusal: Refusal | null) => void }) {
  const { alarm, refused } = props;
  const [isBusy, setBusy] = useState(false);
  if (!wantsAcknowledging(alarm)) return null;
  const acknowledge = async (): Promise<void> => {
    setBusy(true);
    const answer = await acknowledgeAlarm(alarm.alarmId, signedName.value);
    setBusy(false);
    refused(answer.ok ? null : answer.refusal);
  };
  return (
    <button
      type="button"
      class="plain"
      disabled={isBusy}
      aria-label={`Acknowledge: ${told(alarm.title)}`}
      onClick={() => void acknowledge()}
    >
      Acknowledge
    </button>
  );
}
