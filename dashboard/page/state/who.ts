/* The name under which this device's person writes things down; kept on this device only. Read by every form that asks who, and by what is done to an alarm. */
import { computed, effect, signal } from '@preact/signals';
import { nameFault } from '@bathkeeper/shared-core/watch';

const KEY = 'bathkeeper.who';

function keptName(): string {
  try {
    return localStorage.getItem(KEY) ?? '';
  } catch {
    // Storage is closed on this device: the name lasts as long as the page.
    return '';
  }
}

export const who = signal(keptName());

/** What signs an act on an alarm. undefined: none is known, or one that the dashboard would refuse; then it is kept as done on the page. */
export const signedName = computed(() => {
  const name = who.value.trim();
  return name === '' || nameFault(name) !== null ? undefined : name;
});

effect(() => {
  try {
    localStorage.setItem(KEY, who.value);
  } catch {
    // See keptName.
  }
});
