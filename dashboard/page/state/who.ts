/* The name under which this device's person writes things down; kept on this device only. Read by every form that asks who. */
import { effect, signal } from '@preact/signals';

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

effect(() => {
  try {
    localStorage.setItem(KEY, who.value);
  } catch {
    // See keptName.
  }
});
