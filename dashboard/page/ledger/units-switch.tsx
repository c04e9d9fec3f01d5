/* Metric or imperial, for the ledger; the same choice as everywhere else on this device. */
import type { UnitSystem } from '@bathkeeper/shared-core/trade';
import { units } from '../state/units.js';

export function UnitsSwitch() {
  return (
    <label class="units">
      Units
      <select
        value={units.value}
        onChange={(event) => {
          units.value = event.currentTarget.value as UnitSystem;
        }}
      >
        <option value="metric">L, g, g/L</option>
        <option value="imperial">US gal, oz, oz/US gal</option>
      </select>
    </label>
  );
}
