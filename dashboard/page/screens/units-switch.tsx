/* Metric or imperial, in the heading of every screen: the one place where a person chooses. Kept on this device. */
import type { UnitSystem } from '@bathkeeper/shared-core/trade';
import { units } from '../state/units.js';

export function UnitsSwitch() {
  return (
    <label class="head-switch">
      <span>Units</span>
      <select
        value={units.value}
        onChange={(event) => {
          units.value = event.currentTarget.value as UnitSystem;
        }}
      >
        <option value="metric">Metric</option>
        <option value="imperial">Imperial</option>
      </select>
    </label>
  );
}
