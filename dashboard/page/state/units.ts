/* Metric or imperial: as this device was told; kept on this device only. Read by whatever shows or takes a figure. Everything is kept in metric. */
import { effect, signal } from '@preact/signals';
import { inWords, type UnitSystem } from '@bathkeeper/shared-core/trade';

const KEY = 'bathkeeper.units';

function keptUnits(): UnitSystem {
  try {
    return localStorage.getItem(KEY) === 'imperial' ? 'imperial' : 'metric';
  } catch {
    // Storage is closed on this device: the choice lasts as long as the page.
    return 'metric';
  }
}

export const units = signal<UnitSystem>(keptUnits());

/** A sentence that was written in metric (by planner, dashboard or virtual bath, which do not know who reads), in the units chosen here. */
export function told(sentence: string): string {
  return inWords(sentence, units.value);
}

effect(() => {
  try {
    localStorage.setItem(KEY, units.value);
  } catch {
    // See keptUnits.
  }
});
