/* The paper of run sheets: as this device was told, else Letter where its language is that of a country that prints on it; kept on this device only. */
import { effect, signal } from '@preact/signals';

export type Paper = 'a4' | 'letter';

const KEY = 'bathkeeper.paper';
/** Where Letter is usual: Unicode CLDR, territory data on paper sizes (US, CA, MX and some more; from memory). */
const LETTER = ['US', 'CA', 'MX', 'PH', 'CL', 'CO', 'CR', 'GT', 'PA', 'PR', 'SV', 'VE'];

function keptPaper(): Paper {
  const usual = LETTER.includes(new Intl.Locale(navigator.language).region ?? '') ? 'letter' : 'a4';
  try {
    const kept = localStorage.getItem(KEY);
    return kept === 'a4' || kept === 'letter' ? kept : usual;
  } catch {
    // Storage is closed on this device: the choice lasts as long as the page.
    return usual;
  }
}

export const paper = signal<Paper>(keptPaper());

effect(() => {
  try {
    localStorage.setItem(KEY, paper.value);
  } catch {
    // See keptPaper.
  }
});
