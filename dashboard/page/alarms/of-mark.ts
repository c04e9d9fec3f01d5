/* The alarms under a mark of a band or a chart, to be told: as the snapshot knows them, else from the mark alone until the store has answered. */
import type { NightMark } from '@bathkeeper/shared-core/messages';
import { snapshot } from '../state/state.js';
import { alarmTitle } from '../words/alarm-titles.js';
import type { ToldAlarm } from './story.js';

export function toldOfMarks(marks: readonly NightMark[]): ToldAlarm[] {
  const known = snapshot.value?.alarms ?? [];
  return marks.map((mark): ToldAlarm => {
    const found = known.find((alarm) => alarm.alarmId === mark.alarmId);
    if (found) return found;
    return {
      alarmId: mark.alarmId,
      controllerId: '',
      name: mark.name,
      priority: 'medium',
      state: mark.untilMs === null ? 'acknowledged' : 'normal',
      title: alarmTitle[mark.name],
      detail: 'An older alarm: its details are no longer on this page.',
      checkFirst: '',
      causeAtMs: mark.atMs,
      raisedAtMs: mark.atMs,
      notifiedAtMs: null,
      acknowledgedAtMs: null,
      acknowledgedBy: null,
      returnedAtMs: mark.untilMs,
      notification: 'none',
      isFromMarkAlone: true,
    };
  });
}
