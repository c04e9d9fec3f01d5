/* Paper, lamp light, or as the device has it. Kept on this device. */
import { type Look, look } from '../state/look.js';

const words: Readonly<Record<Look, string>> = { device: 'As the device', day: 'By day', night: 'By night' };

export function LookSwitch() {
  return (
    <label class="head-switch">
      <span>Light</span>
      <select
        value={look.value}
        onChange={(event) => {
          look.value = event.currentTarget.value as Look;
        }}
      >
        {Object.entries(words).map(([value, name]) => (
          <option key={value} value={value}>
            {name}
          </option>
        ))}
      </select>
    </label>
  );
}
