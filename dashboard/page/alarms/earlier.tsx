/* Alarms that are over: returned to normal and acknowledged, folded; each opens its story. Shown at the foot of the bath page. */
import { useState } from 'preact/hooks';
import type { AlarmView } from '@bathkeeper/shared-core/messages';
import { serverNowMs } from '../state/state.js';
import { told } from '../state/units.js';
import { inOrderOfCare, isStanding } from '../words/alarm-story.js';
import { timeWords } from '../words/times.js';
import { StoryDialog } from './story.js';

export function EarlierAlarms(props: { alarms: readonly AlarmView[] }) {
  const earlier = inOrderOfCare(props.alarms.filter((alarm) => !isStanding(alarm)));
  const [shown, setShown] = useState<AlarmView | null>(null);
  if (earlier.length === 0) return null;
  return (
    <details class="earlier fold">
      <summary>Earlier alarms ({earlier.length})</summary>
      <ul>
        {earlier.map((alarm) => (
          <li key={alarm.alarmId}>
            <button type="button" class="row-button" onClick={() => setShown(alarm)}>
              <span class="row-time">{timeWords(alarm.raisedAtMs, serverNowMs.value)}</span> {told(alarm.title)}
            </button>
          </li>
        ))}
      </ul>
      <p>
        <a class="target" href="#journal">
          Every change of every alarm stands in the journal
        </a>
      </p>
      {shown && <StoryDialog alarms={[shown]} onClose={() => setShown(null)} />}
    </details>
  );
}
