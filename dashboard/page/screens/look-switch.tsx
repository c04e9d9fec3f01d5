/* The switch between paper and lamp light. Kept on this device; the words say what a press changes to. */
import { isNight, look } from '../state/look.js';

export function LookSwitch() {
  return (
    <button
      type="button"
      class="look-switch"
      onClick={() => {
        look.value = isNight.value ? 'day' : 'night';
      }}
    >
      <span class="unseen">Light: </span>
      {isNight.value ? 'By day' : 'By night'}
    </button>
  );
}
