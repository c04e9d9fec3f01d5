/*
 * Paper or lamp light: as the device has it, or as this device was told; kept on this device only.
 * Read by the header's switch and by the night band, which must draw anew when the colours change.
 */
import { effect, signal } from '@preact/signals';

export type Look = 'device' | 'day' | 'night';

const KEY = 'bathkeeper.look';

function keptLook(): Look {
  try {
    const kept = localStorage.getItem(KEY);
    return kept === 'day' || kept === 'night' ? kept : 'device';
  } catch {
    // Storage is closed on this device: the look lasts as long as the page.
    return 'device';
  }
}

export const look = signal<Look>(keptLook());
const deviceIsDark = matchMedia('(prefers-color-scheme: dark)');
/** Moves when the colours did. */
export const isNight = signal(false);

function judge(): void {
  isNight.value = look.value === 'night' || (look.value === 'device' && deviceIsDark.matches);
  document.documentElement.dataset.look = isNight.value ? 'night' : 'day';
}

export function startLook(): void {
  deviceIsDark.addEventListener('change', judge);
  effect(() => {
    judge();
    try {
      localStorage.setItem(KEY, look.value);
    } catch {
      // See keptLook.
    }
  });
}
