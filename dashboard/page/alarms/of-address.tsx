/*
 * The story of the alarm that the page's address names: where a notification leads. Shown over its bath; closing it leads to the bath.
 */
import type { Snapshot } from '@bathkeeper/shared-core/messages';
import { bathAddress } from '../state/route.js';
import { StoryDialog } from './story.js';

export function AlarmOfAddress(props: { alarmId: number; known: Snapshot }) {
  const alarm = props.known.alarms.find((one) => one.alarmId === props.alarmId);
  const leave = (): void => {
    const isOfABath = props.known.controllers.some((one) => one.controllerId === alarm?.controllerId);
    location.hash = alarm !== undefined && isOfABath ? bathAddress(alarm.controllerId) : '';
  };
  // Too old to be carried in the snapshot: the bath itself, and the journal, tell what is left of it.
  if (alarm === undefined) return null;
  return <StoryDialog alarms={[alarm]} onClose={leave} />;
}
